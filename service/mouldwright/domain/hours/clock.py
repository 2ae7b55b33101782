"""Arithmetic on open time: where work fits, and when work that may pause ends."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence

from mouldwright.domain.hours.opening import Window


def intersect(left: Sequence[Window], right: Sequence[Window]) -> tuple[Window, ...]:
    """Return the time open in both, each given in order and without overlaps."""
    found: list[Window] = []
    i = j = 0
    while i < len(left) and j < len(right):
        start, end = max(left[i][0], right[j][0]), min(left[i][1], right[j][1])
        if start < end:
            found.append((start, end))
        if left[i][1] <= right[j][1]:
            i += 1
        else:
            j += 1
    return tuple(found)


def union(windows: Iterable[Window]) -> tuple[Window, ...]:
    """Return the windows in order, joined where they meet or overlap."""
    found: list[Window] = []
    for start, end in sorted(windows):
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], end))
        else:
            found.append((start, end))
    return tuple(found)


def open_minutes(windows: Iterable[Window]) -> int:
    """Return the total length in minutes."""
    return sum(end - start for start, end in windows)


def longest(windows: Iterable[Window]) -> int:
    """Return the length in minutes of the longest opening, 0 where there is none."""
    return max((end - start for start, end in windows), default=0)


def fit(windows: Sequence[Window], earliest: int, duration_min: int) -> int | None:
    """Return the first start at or after ``earliest`` that lies whole within one opening.

    Returns:
        Minutes since the epoch, or None where no opening of the horizon is long enough.
    """
    at = max(bisect_right(windows, (earliest, 1 << 62)) - 1, 0)
    for opens, closes in windows[at:]:
        start = max(opens, earliest)
        if start + duration_min <= closes and (start < closes or duration_min == 0):
            return start
    return None


def spans(windows: Sequence[Window], earliest: int, work_min: int) -> tuple[Window, ...] | None:
    """Return the pieces of work that pauses when hours close and resumes when they reopen.

    Returns:
        One or more windows whose lengths add up to ``work_min``, or None where the
        horizon is too short.
    """
    at = max(bisect_right(windows, (earliest, 1 << 62)) - 1, 0)
    found: list[Window] = []
    left = work_min
    for opens, closes in windows[at:]:
        start = max(opens, earliest)
        if start >= closes:
            continue
        end = min(closes, start + left)
        found.append((start, end))
        left -= end - start
        if left == 0:
            return tuple(found)
    return None
