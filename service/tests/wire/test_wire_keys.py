"""Which keys may stand where."""

from __future__ import annotations

from mouldwright.wire.keys import fields_at
from mouldwright.wire.scenario import Scenario


def test_the_keys_of_a_shape_depend_on_its_kind() -> None:
    document = {"parts": {"a": {"section": {"shape": "tube"}}}}
    known = fields_at(Scenario, document, ("parts", "a", "section"))
    assert set(known) == {"shape", "outer_mm", "inner_mm", "tip_outer_mm", "tip_inner_mm"}


def test_the_keys_of_a_hold_are_those_written_not_those_of_the_language() -> None:
    document = {"processes": {"a": {"holds": [{}]}}}
    known = fields_at(Scenario, document, ("processes", "a", "holds", 0))
    assert set(known) == {"resource", "from", "to"}


def test_a_listed_mould_has_keys_and_a_count_has_none() -> None:
    listed = {"moulds": {"a": {"count": [{}]}}}
    assert "pulls" in fields_at(Scenario, listed, ("moulds", "a", "count", 0))
    assert fields_at(Scenario, {"moulds": {"a": {"count": 3}}}, ("moulds", "a", "count")) == {}


def test_nothing_is_known_below_an_unknown_key() -> None:
    assert fields_at(Scenario, {"nonsense": {}}, ("nonsense",)) == {}
