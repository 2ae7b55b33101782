"""The rooms of a shop minute by minute: in which state each may be worked in, and when."""

from __future__ import annotations

from mouldwright.planning.ground import Ground
from mouldwright.planning.timelines import Room

# A room and one of its states, by index.
Where = tuple[int, int]


class Quarters:
    """Keeps the states of every room apart, settling included.

    For each state it counts the work that keeps others out: work in another state over
    [start, end) keeps this one out from its own settling before the start to the other's
    settling after the end.
    """

    def __init__(self, ground: Ground) -> None:
        """Begin with every room in no state."""
        self.settle_min = ground.settle_min
        self._shut = [[Room(0) for _ in states] for states in ground.states]

    def first_fit(self, where: Where, earliest: int, duration: int) -> int:
        """Return the first start from which a room may stay in a state so long."""
        room, state = where
        return self._shut[room][state].first_fit(earliest, duration, 0)

    def add(self, where: Where, start: int, end: int, count: int = 1) -> None:
        """Work in a state over [start, end); a count of -1 takes it back."""
        if start == end:
            return
        room, state = where
        settles = self.settle_min[room]
        for other, shut in enumerate(self._shut[room]):
            if other != state:
                shut.add(start - settles[other], end + settles[state], count)
