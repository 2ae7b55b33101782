"""How a measure is said: with as many decimals as its size, or the limit beside it, asks for."""

from __future__ import annotations

import math
from collections.abc import Sequence

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


def lasting(minutes: float, *, to_the_minute: bool = False) -> str:
    """Return a length of time: 45 min, 21 h 34 min, 24 h, 2 d 3 h; what is negative has a minus.

    Args:
        minutes: Rounded to whole ones.
        to_the_minute: Whether from a day on, too, every minute is said: 2 d 3 h 5 min. Else
            days begin at 48 h and leave the minutes out.
    """
    whole = round(minutes)
    left = abs(whole)
    hours, rest = divmod(left, 60)
    days = hours // 24 if to_the_minute or hours >= 48 else 0
    if days and not to_the_minute:
        rest = 0
    parts = ((days, "d"), (hours - 24 * days, "h"), (rest, "min"))
    said = " ".join(f"{number} {unit}" for number, unit in parts if number) or "0 min"
    return f"-{said}" if whole < 0 else said


def worked(minutes: float) -> str:
    """Return how long hands are at work, in hours and never in days: 45 min, 40 h 13 min."""
    hours, left = divmod(round(minutes), 60)
    return " ".join(f"{n} {unit}" for n, unit in ((hours, "h"), (left, "min")) if n) or "0 min"


def listed(words: Sequence[str]) -> str:
    """Return "a", "a and b" or "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
