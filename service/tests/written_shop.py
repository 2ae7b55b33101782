"""A scenario text that uses the whole format, and small edits of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.shop import Shop
from mouldwright.scenario.read import read_scenario_text

WHOLE = (Path(__file__).parent / "scenario" / "whole_shop.toml").read_text(encoding="utf-8")


def edited(*edits: tuple[str, str]) -> str:
    """Return the text with the first place of each old piece replaced; each must be there."""
    text = WHOLE
    for old, new in edits:
        assert old in text, f"the whole shop has no {old!r}"
        text = text.replace(old, new, 1)
    return text


def whole_shop() -> Shop:
    return read_scenario_text(WHOLE).shop


def faults_in(text: str) -> tuple[Fault, ...]:
    """Return every fault of a text that must have some."""
    with pytest.raises(InvalidInput) as raised:
        read_scenario_text(text, "shop.toml")
    return raised.value.faults


def only_fault(*edits: tuple[str, str]) -> Fault:
    """Return the one fault that edits bring in; fail where there is another besides."""
    faults = faults_in(edited(*edits))
    assert len(faults) == 1, "\n".join(str(fault) for fault in faults)
    return faults[0]


def only_warning(*edits: tuple[str, str]) -> Fault:
    """Return the one warning that edits bring in."""
    warnings = read_scenario_text(edited(*edits), "shop.toml").warnings
    assert len(warnings) == 1, "\n".join(str(warning) for warning in warnings)
    return warnings[0]


def line_of(text: str, piece: str) -> int:
    """Return the line, from 1, on which a piece of text first stands."""
    return text[: text.index(piece)].count("\n") + 1
