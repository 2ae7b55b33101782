"""The first of many ever larger changes that is enough, found with few looks."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TypeVar

T = TypeVar("T")
# Where along a lever one looks if its end is not enough: one that helps may harm further on.
_LOOKS = (0.5, 0.25, 0.75)


def first_enough(candidates: Sequence[T], used: Callable[[T], float], *, now: float) -> T | None:
    """Return the least candidate that is enough, where those after it are too; None for none.

    The stretch in which it first holds is cut where the straight line through the logarithms of
    what is used crosses 1, and now and then in half, until its edge is found.

    Args:
        candidates: In rising order of change.
        used: Share used of what is allowed: 1 or less is enough, infinite for what cannot be.
        now: The same with no change at all.
    """
    if not candidates:
        return None
    last = len(candidates) - 1
    below, below_used = -1, now
    for at in dict.fromkeys((last, *(round(last * look) for look in _LOOKS))):
        above_used = used(candidates[at])
        if above_used <= 1:
            above = at
            break
    else:
        return None
    for turn in range(2 * len(candidates)):
        if above - below == 1:
            break
        at = (above + below) // 2
        if turn % 3 != 2 and math.isfinite(below_used) and 0 < above_used < below_used:
            share = math.log(below_used) / math.log(below_used / above_used)
            at = min(max(below + math.ceil(share * (above - below)), below + 1), above - 1)
        found = used(candidates[at])
        if found <= 1:
            above, above_used = at, found
        else:
            below, below_used = at, found
    return candidates[above]
