"""Whether work with releases and deadlines fits one machine that may be interrupted.

Serving the earliest deadline first meets every deadline if anything does (Jackson's
rule with releases and pre-emption; Horn 1974, "Some simple scheduling algorithms",
Naval Research Logistics Quarterly 21, from memory). It fails exactly when some interval
holds more work than it is long.
"""

from __future__ import annotations

from heapq import heappop, heappush
from typing import Any


def misses_a_deadline(start: Any, end: Any, work: Any) -> bool:
    """Return whether some work cannot be done by its end.

    Args:
        start: Releases, in ascending order.
        end: Deadlines.
        work: Minutes.
    """
    count = len(start)
    waiting = [(0, 0)]
    waiting.pop()
    now = 0
    place = 0
    while place < count or len(waiting) > 0:
        if len(waiting) == 0 and start[place] > now:
            now = start[place]
        while place < count and start[place] <= now:
            heappush(waiting, (end[place], work[place]))
            place += 1
        until, left = heappop(waiting)
        runs = left
        if place < count and now + left > start[place]:
            runs = start[place] - now
        now += runs
        if now > until:
            return True
        if runs < left:
            heappush(waiting, (until, left - runs))
    return False
