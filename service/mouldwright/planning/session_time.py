"""A person's time where going in and coming out of some work costs minutes of it.

What is free depends on the work asked for: next to work of the same session nothing is
lost, next to other work, and at the edges of an opening, gearing up and cleaning down
must find room.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Sequence

from mouldwright.domain.hours.opening import Window
from mouldwright.planning.ground import NO_SESSION, Ground
from mouldwright.planning.routing import NEVER
from mouldwright.planning.timelines import FreeTime

# Start, end and session of one piece of work.
Piece = tuple[int, int, int]


class SessionTime(FreeTime):
    """The free time of one person; it is itself the time free for work of no session.

    Attributes:
        of: For each session, the time in which work of it may lie.
    """

    __slots__ = ("_ground", "_opens", "_pieces", "_windows", "of")

    def __init__(self, windows: Sequence[Window], ground: Ground) -> None:
        """Begin with every window free."""
        super().__init__(windows)
        self._ground, self._windows = ground, windows
        self._opens = [opens for opens, _ in windows]
        self._pieces: list[Piece] = []
        self.of: list[FreeTime] = [self, *(FreeTime(()) for _ in ground.sessions[1:])]
        for session in range(1, len(self.of)):
            free = self.of[session]
            for opens, closes in windows:
                for start, end in self._free_in(opens, closes, (), session):
                    free.starts.append(start)
                    free.ends.append(end)

    def first_any(self, earliest: int) -> int:
        """Return the first minute from ``earliest`` that is free for work of any kind."""
        return min(free.first_free(earliest) for free in self.of)

    def take(self, start: int, end: int, session: int = NO_SESSION) -> None:
        """Book work over [start, end), which lies in one opening and is free for it."""
        if start < end:
            insort(self._pieces, (start, end, session))
            self._lay_out(start)

    def give(self, start: int, end: int) -> None:
        """Take a booking back."""
        if start < end:
            i = bisect_left(self._pieces, (start, end, -1))
            del self._pieces[i]
            self._lay_out(start)

    def block(self, start: int, end: int, session: int = NO_SESSION) -> None:
        """Book whatever of [start, end) lies in open time, free or not."""
        for opens, closes in self._windows:
            if opens < end and closes > start:
                self.take(max(opens, start), min(closes, end), session)

    def _lay_out(self, minute: int) -> None:
        """Work out anew what is free in the opening of that minute."""
        opens, closes = self._windows[bisect_right(self._opens, minute) - 1]
        first = bisect_left(self._pieces, (opens, -NEVER, -1))
        last = bisect_left(self._pieces, (closes, -NEVER, -1))
        pieces = self._pieces[first:last]
        for session, free in enumerate(self.of):
            found = self._free_in(opens, closes, pieces, session)
            i, j = bisect_left(free.starts, opens), bisect_left(free.starts, closes)
            free.starts[i:j] = [start for start, _ in found]
            free.ends[i:j] = [end for _, end in found]

    def _free_in(
        self, opens: int, closes: int, pieces: Sequence[Piece], session: int
    ) -> list[Window]:
        """Return where in an opening work of a session may lie."""
        gear, clean = self._ground.gear_up_min, self._ground.clean_down_min
        found: list[Window] = []
        ready = opens + gear[session]
        at, before = opens, -1
        for start, end, of in pieces:
            until = start if of == session else start - gear[of] - clean[session]
            if ready < until:
                found.append((ready, until))
            if end >= at:
                at, before = end, of
            ready = at if before == session else at + clean[before] + gear[session]
        until = closes - clean[session]
        if ready < until:
            found.append((ready, until))
        return found
