"""Open time that several people share, for work they do together and pause together."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from mouldwright.domain.hours.opening import Window
from mouldwright.planning.routing import NEVER
from mouldwright.planning.timelines import FreeTime


def common_spans(
    people: Sequence[FreeTime],
    hours: Sequence[Sequence[Window]],
    team: Sequence[int],
    start: int,
    work: int,
) -> tuple[Window, ...] | None:
    """Return the spans of work in the team's common hours, None where one of them is taken.

    Args:
        people: The free time of everyone.
        hours: The open time of everyone.
        team: Who does it.
        start: The minute it begins.
        work: Minutes of work.
    """
    spans: list[Window] = []
    at, left = start, work
    while left:
        opens = at
        while True:
            latest = max(_open_from(hours[p], opens)[0] for p in team)
            if latest >= NEVER:
                return None
            if latest == opens:
                break
            opens = latest
        closes = min(_open_from(hours[p], opens)[1] for p in team)
        end = min(closes, opens + left)
        spans.append((opens, end))
        left -= end - opens
        at = end
    if spans[0][0] != start:
        return None
    for person in team:
        for opens, closes in open_pieces(hours[person], start, spans[-1][1]):
            if not people[person].is_free(opens, closes):
                return None
    return tuple(spans)


def open_pieces(windows: Sequence[Window], start: int, end: int) -> list[Window]:
    """Return a person's open time within [start, end)."""
    i = max(bisect_right(windows, (start, NEVER)) - 1, 0)
    pieces: list[Window] = []
    while i < len(windows) and windows[i][0] < end:
        a, b = max(windows[i][0], start), min(windows[i][1], end)
        if a < b:
            pieces.append((a, b))
        i += 1
    return pieces


def _open_from(windows: Sequence[Window], at: int) -> Window:
    """Return the rest of the window open at that minute, or the next one."""
    i = bisect_right(windows, (at, NEVER)) - 1
    if i >= 0 and windows[i][1] > at:
        return max(windows[i][0], at), windows[i][1]
    return windows[i + 1] if i + 1 < len(windows) else (NEVER, NEVER)
