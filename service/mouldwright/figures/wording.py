"""How figures say numbers: decimals of the unit, lists in words."""

from __future__ import annotations

from collections.abc import Sequence


def said(value: float, decimals: int) -> str:
    """Return a value with so many decimals and no minus before nought."""
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0 else text


def plain(value: float) -> str:
    """Return a round value without needless decimals."""
    return f"{value:g}" if abs(value) < 1e6 else f"{value:.0f}"


def listed(words: Sequence[str]) -> str:
    """Return "a", "a and b" or "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def people(count: int) -> str:
    """Return "1 person" or "2 people"."""
    return "1 person" if count == 1 else f"{count} people"
