"""A week that repeats for ever: weekly hours without exceptions, and work that fits in them.

Minute 0 is Monday 00:00. No zone, no closed date, no clock change: this is the week a
rate is stated for, not a date that is promised.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from mouldwright.domain.hours.clock import intersect, union
from mouldwright.domain.hours.opening import MINUTES_A_DAY, DayTimes, Window

MINUTES_A_WEEK = 7 * MINUTES_A_DAY
ALWAYS: tuple[Window, ...] = ((0, MINUTES_A_WEEK),)


def week_of(weekly: Sequence[DayTimes]) -> tuple[Window, ...]:
    """Return a week's openings as windows in [0, 10080), a Sunday night shift wrapped round."""
    found: list[Window] = []
    for day, times in enumerate(weekly):
        for opens, closes in times:
            start, end = day * MINUTES_A_DAY + opens, day * MINUTES_A_DAY + closes
            found.append((start, min(end, MINUTES_A_WEEK)))
            if end > MINUTES_A_WEEK:
                found.append((0, end - MINUTES_A_WEEK))
    return union(found)


def unrolled(week: Sequence[Window], weeks: int) -> tuple[Window, ...]:
    """Return a week repeated, openings joined where Sunday's midnight is worked through."""
    return union(
        (start + turn * MINUTES_A_WEEK, end + turn * MINUTES_A_WEEK)
        for turn in range(weeks)
        for start, end in week
    )


def longest_opening(week: Sequence[Window]) -> int:
    """Return the longest opening of a repeated week in minutes, a whole week if never shut."""
    if tuple(week) == ALWAYS:
        return MINUTES_A_WEEK
    return max((end - start for start, end in unrolled(week, 2)), default=0)


def at_least(weeks: Iterable[Sequence[Window]], count: int) -> tuple[Window, ...]:
    """Return when at least ``count`` of several are open."""
    edges: list[tuple[int, int]] = []
    for week in weeks:
        for start, end in week:
            edges += [(start, 1), (end, -1)]
    edges.sort()
    found: list[Window] = []
    present, since = 0, None
    for minute, change in edges:
        present += change
        if present >= count and since is None:
            since = minute
        elif present < count and since is not None:
            found.append((since, minute))
            since = None
    return union(window for window in found if window[0] < window[1])


def both(left: Sequence[Window], right: Sequence[Window]) -> tuple[Window, ...]:
    """Return when both are open."""
    return intersect(left, right)


def open_days(week: Sequence[Window]) -> int:
    """Return on how many days of the week something is open."""
    return len(
        {
            day
            for start, end in week
            for day in range(start // MINUTES_A_DAY, (end - 1) // MINUTES_A_DAY + 1)
        }
    )
