"""How a measure is said: with as many decimals as its size, or the limit beside it, asks for."""

from __future__ import annotations

import math

_MOST_DECIMALS = 6


def fitted(value: float, *, beside: float | None = None) -> str:
    """Return a measure to a tenth, and below 1 to two significant figures: 26.0, 2.5, 0.031.

    Args:
        value: In its unit.
        beside: A limit it is set beside: where both would look alike, decimals are added until
            they do not.
    """
    decimals = decimals_of(value)
    while (
        beside is not None
        and value != beside
        and decimals < _MOST_DECIMALS
        and round(value, decimals) == round(beside, decimals)
    ):
        decimals += 1
    return f"{value:,.{decimals}f}"


def decimals_of(value: float) -> int:
    """Return how many decimals the size of a measure asks for."""
    size = abs(value)
    if not 0 < size < 1:
        return 1
    return min(1 - math.floor(math.log10(size)), _MOST_DECIMALS)
