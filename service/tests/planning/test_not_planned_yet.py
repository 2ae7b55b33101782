"""What the planner does not do yet is refused by name, never left out in silence."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldwright.domain.errors import InvalidInput
from mouldwright.scenario.read import read_scenario_text

ROOT = Path(__file__).parents[3]
FIRST_PART = (ROOT / "scenarios" / "first-part" / "shop.toml").read_text(encoding="utf-8")
PAGE = (ROOT / "docs" / "scenario-format.md").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("instead_of", "asked", "key"),
    [
        ('name = "trim"\n', 'name = "trim"\nper_session_min = 15\n', "per_session_min"),
        ('name = "trim"\n', 'name = "trim"\nshare = 0.2\n', "share"),
        ('per = "pull"\nattended_min = 2 ', 'per = "session"\nattended_min = 2 ', "session"),
    ],
)
def test_what_cannot_be_said_is_refused_by_name(instead_of: str, asked: str, key: str) -> None:
    text = FIRST_PART.replace(instead_of, asked, 1)
    assert text != FIRST_PART
    with pytest.raises(InvalidInput) as refused:
        read_scenario_text(text)
    assert any(key in f"{fault.path} {fault.value}" for fault in refused.value.faults)


@pytest.mark.parametrize("word", ["matched sets"])
def test_the_page_of_the_format_says_so(word: str) -> None:
    section = PAGE.partition("## What a scenario cannot say yet")[2].partition("\n## ")[0]
    assert word in section.lower()
