"""Who and what is free when: free time that work is cut out of, and can be put back into.

Everything taken is logged, so that a block tried and found not to fit is undone exactly.
Free time is kept as two parallel sorted lists (starts, ends) of half-open intervals.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Sequence
from itertools import pairwise

from mouldwright.domain.hours.opening import Window
from mouldwright.planning.routing import NEVER

LONG_AGO = -NEVER

# One line of the log: what kind, which one, and the two numbers that undo it.
Entry = tuple[str, int, int, int]


class FreeTime:
    """The free time of one person or one station unit."""

    __slots__ = ("ends", "starts")

    def __init__(self, windows: Sequence[Window]) -> None:
        """Begin with every window free."""
        self.starts = [start for start, _ in windows]
        self.ends = [end for _, end in windows]

    def first_fit(self, earliest: int, duration: int) -> int:
        """Return the first start from ``earliest`` with that much free time ahead; else NEVER."""
        starts, ends = self.starts, self.ends
        i = bisect_right(starts, earliest) - 1
        if i >= 0 and ends[i] - earliest >= duration:
            return earliest
        i += 1
        count = len(starts)
        while i < count:
            if ends[i] - starts[i] >= duration:
                return starts[i]
            i += 1
        return NEVER

    def first_free(self, earliest: int) -> int:
        """Return the first free minute from ``earliest``; else NEVER."""
        i = bisect_right(self.starts, earliest) - 1
        if i >= 0 and self.ends[i] > earliest:
            return earliest
        i += 1
        return self.starts[i] if i < len(self.starts) else NEVER

    def is_free(self, start: int, end: int) -> bool:
        """Return whether all of [start, end) is one free stretch."""
        i = bisect_right(self.starts, start) - 1
        return i >= 0 and self.ends[i] >= end

    def take(self, start: int, end: int) -> None:
        """Cut [start, end) out; it must be free."""
        if start == end:
            return
        starts, ends = self.starts, self.ends
        i = bisect_right(starts, start) - 1
        opens, closes = starts[i], ends[i]
        if opens == start:
            if closes == end:
                del starts[i], ends[i]
            else:
                starts[i] = end
        elif closes == end:
            ends[i] = start
        else:
            ends[i] = start
            starts.insert(i + 1, end)
            ends.insert(i + 1, closes)

    def block(self, start: int, end: int) -> None:
        """Cut out whatever of [start, end) is free."""
        starts, ends = self.starts, self.ends
        first = max(bisect_right(starts, start) - 1, 0)
        pieces = []
        for i in range(first, len(starts)):
            if starts[i] >= end:
                break
            if ends[i] > start:
                pieces.append((max(starts[i], start), min(ends[i], end)))
        for a, b in pieces:
            self.take(a, b)

    def give(self, start: int, end: int) -> None:
        """Put [start, end) back, joining it to the free time it touches."""
        if start == end:
            return
        starts, ends = self.starts, self.ends
        i = bisect_right(starts, start) - 1
        left = i >= 0 and ends[i] == start
        right = i + 1 < len(starts) and starts[i + 1] == end
        if left and right:
            ends[i] = ends[i + 1]
            del starts[i + 1], ends[i + 1]
        elif left:
            ends[i] = end
        elif right:
            starts[i + 1] = start
        else:
            starts.insert(i + 1, start)
            ends.insert(i + 1, end)


class Hours:
    """A person's open hours, to tell a pause at closing from one that someone else caused."""

    __slots__ = ("closings", "reopens")

    def __init__(self, windows: Sequence[Window]) -> None:
        """Remember each closing and when hours reopen after it."""
        self.closings = frozenset(end for _, end in windows)
        self.reopens = {a[1]: b[0] for a, b in pairwise(windows)}


def pausing_fit(
    free: FreeTime, hours: Hours, earliest: int, work: int
) -> tuple[tuple[int, int], ...] | None:
    """Return the first spans of work that pauses only at closing and resumes at reopening."""
    starts, ends = free.starts, free.ends
    i = max(bisect_right(starts, earliest) - 1, 0)
    count = len(starts)
    while i < count:
        start = starts[i] if starts[i] > earliest else earliest
        end = ends[i]
        if start >= end:
            i += 1
            continue
        if end - start >= work:
            return ((start, start + work),)
        spans = [(start, end)]
        left = work - (end - start)
        j = i
        while left:
            reopen = hours.reopens.get(ends[j])
            j += 1
            if reopen is None or j >= count or starts[j] != reopen:
                break
            piece = min(left, ends[j] - reopen)
            spans.append((reopen, reopen + piece))
            left -= piece
        if not left:
            return tuple(spans)
        # Every start before the place where it got stuck gets stuck there as well.
        i = max(j, i + 1)
    return None


class Room:
    """How many parts one unit of a roomy station holds, minute by minute."""

    __slots__ = ("room", "times", "used")

    def __init__(self, room: int) -> None:
        """Begin empty."""
        self.room = room
        self.times: list[int] = [LONG_AGO]
        self.used: list[int] = [0]

    def first_fit(self, earliest: int, duration: int, parts: int) -> int:
        """Return the first start with room for so many parts throughout; else NEVER."""
        limit = self.room - parts
        if limit < 0:
            return NEVER
        times, used = self.times, self.used
        count = len(times)
        i = bisect_right(times, earliest) - 1
        start = earliest
        while True:
            # Move past every stretch that is too full before the stay would end.
            while i < count and times[i] < start + duration:
                if used[i] > limit:
                    i += 1
                    if i == count:
                        return NEVER
                    start = times[i]
                else:
                    i += 1
            return start

    def add(self, start: int, end: int, parts: int) -> None:
        """Add parts (or take them out, below 0) over [start, end)."""
        if start == end:
            return
        first, last = self._edge(start), self._edge(end)
        used = self.used
        for i in range(first, last):
            used[i] += parts

    def _edge(self, minute: int) -> int:
        """Return the index of the stretch that begins at that minute, making one."""
        i = bisect_left(self.times, minute)
        if i == len(self.times) or self.times[i] != minute:
            insort(self.times, minute)
            self.used.insert(i, self.used[i - 1])
        return i
