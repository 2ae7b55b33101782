"""How figures say numbers: decimals of the unit, lists in words."""

from __future__ import annotations


def said(value: float, decimals: int) -> str:
    """Return a value with so many decimals and no minus before nought."""
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0 else text


def plain(value: float) -> str:
    """Return a round value without needless decimals."""
    return f"{value:g}" if abs(value) < 1e6 else f"{value:.0f}"


def people(count: int) -> str:
    """Return "1 person" or "2 people"."""
    return "1 person" if count == 1 else f"{count} people"
