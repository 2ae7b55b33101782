"""The page of worked cases names tests that are there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

TESTS = Path(__file__).parent.parent
PAGE = (TESTS.parents[1] / "docs" / "worked-cases.md").read_text(encoding="utf-8")
NAMED = re.findall(r"`([\w/]+\.py)::(test_\w+)`", PAGE)


def test_every_row_of_the_page_names_a_test() -> None:
    rows = [line for line in PAGE.splitlines() if line.startswith("| ") and "---" not in line]
    cases = [row for row in rows if not row.startswith("| case |")]
    assert len(cases) == len(NAMED) > 30


@pytest.mark.parametrize(("file", "test"), NAMED)
def test_a_test_that_the_page_names_is_there(file: str, test: str) -> None:
    text = (TESTS / file).read_text(encoding="utf-8")
    assert re.search(rf"^def {test}\(", text, re.M)
