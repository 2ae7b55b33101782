"""Whatever stands in a document, reading it ends in a shop or in faults, never otherwise."""

from __future__ import annotations

import copy
import tomllib
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from written_shop import WHOLE

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.scenario.document import Document
from mouldwright.scenario.read import read_document

WHOLE_DOCUMENT = tomllib.loads(WHOLE, parse_float=Decimal)

scraps = st.recursive(
    st.one_of(
        st.booleans(),
        st.integers(-5, 200_000),
        st.decimals(allow_nan=True, allow_infinity=True),
        st.text(max_size=8),
        st.sampled_from(["part", "pull", "mean", "tube", "mix", "vane", "press", "mould", "1.5"]),
        st.sampled_from([date(2027, 3, 28), datetime(2027, 3, 28, 2, 30)]),
    ),
    lambda below: (
        st.lists(below, max_size=3)
        | st.dictionaries(st.sampled_from(["name", "number", "per", "kind", "x y", ""]), below)
    ),
    max_leaves=4,
)


def places(node: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    below = node.items() if isinstance(node, dict) else ()
    below = enumerate(node) if isinstance(node, list) else below
    return [path, *(place for key, value in below for place in places(value, (*path, key)))]


PLACES = [path for path in places(WHOLE_DOCUMENT) if path]


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_a_document_in_which_anything_was_changed_is_read_or_refused(data: st.DataObject) -> None:
    root = copy.deepcopy(WHOLE_DOCUMENT)
    for path in data.draw(st.lists(st.sampled_from(PLACES), min_size=1, max_size=4)):
        parent: Any = root
        try:
            for segment in path[:-1]:
                parent = parent[segment]
            if data.draw(st.booleans()):
                parent[path[-1]] = data.draw(scraps)
            else:
                del parent[path[-1]]
        except (KeyError, IndexError, TypeError):
            continue  # an earlier change took the place away
    for fault in faults_of_reading(root):
        assert fault.problem.endswith(".")
        assert "\n" not in fault.problem
        assert fault.remedy
        assert not fault.is_warning


def faults_of_reading(root: dict[str, Any]) -> tuple[Fault, ...]:
    try:
        read_document(Document(root=root), None)
    except InvalidInput as refused:
        return refused.faults or (Fault(path="", value="", problem="none said", remedy=""),)
    return ()
