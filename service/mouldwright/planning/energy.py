"""How soon a crew could get through its work, counting open minutes only."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import accumulate, pairwise

from mouldwright.domain.hours.opening import Window
from mouldwright.domain.quantity import exact
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import BATCH, NEVER, ORDER, PART, Step
from mouldwright.planning.shares import is_for_all, taken


class OpenTime:
    """The open minutes of several people together."""

    def __init__(self, windows: Sequence[Sequence[Window]]) -> None:
        """Sum the windows up."""
        edges: dict[int, int] = {}
        for person in windows:
            for start, end in person:
                edges[start] = edges.get(start, 0) + 1
                edges[end] = edges.get(end, 0) - 1
        self._minutes = sorted(edges)
        self._there = list(accumulate(edges[m] for m in self._minutes))
        self._done = [0]
        for i in range(1, len(self._minutes)):
            length = self._minutes[i] - self._minutes[i - 1]
            self._done.append(self._done[-1] + length * self._there[i - 1])

    def before(self, minute: int) -> int:
        """Return the person-minutes open before a minute."""
        i = bisect_right(self._minutes, minute) - 1
        if i < 0:
            return 0
        return self._done[i] + (minute - self._minutes[i]) * self._there[i]

    def when(self, start: int, work: int) -> int:
        """Return the first minute by which so much work from ``start`` could be done."""
        if work <= 0:
            return start
        wanted = self.before(start) + work
        i = bisect_left(self._done, wanted)
        if i >= len(self._done):
            return NEVER
        there = self._there[i - 1]
        return self._minutes[i - 1] + -(-(wanted - self._done[i - 1]) // there)


def there_by_time(
    windows: Sequence[Sequence[Window]], until: int
) -> Iterator[tuple[int, int, int]]:
    """Yield from when to when so many people are in, from minute 0 on."""
    inside = [(max(a, 0), min(b, until)) for each in windows for a, b in each]
    edges = {0: 0, until: 0}
    for opens, closes in inside:
        if opens < closes:
            edges[opens] = edges.get(opens, 0) + 1
            edges[closes] = edges.get(closes, 0) - 1
    there = 0
    minutes = sorted(edges)
    for start, end in pairwise(minutes):
        there += edges[start]
        yield start, end, there


def crew_unions(problem: Problem, *, most: int = 64) -> list[frozenset[int]]:
    """Return the sets of people whose joint work is worth counting: unions of crews."""
    unions: set[frozenset[int]] = set()
    for crew in map(frozenset, problem.crews):
        if not crew:
            continue
        unions |= {crew} | {crew | other for other in unions}
        if len(unions) > most:
            unions = set(sorted(unions, key=lambda s: (len(s), sorted(s)))[:most])
    return sorted(unions, key=lambda s: (len(s), sorted(s)))


def attended_work(lot: Lot, step: Step, units: int, most: int, *, shared: bool) -> int:
    """Return the least person-minutes of a step for so many units of a lot.

    Args:
        lot: The lot.
        step: One of its steps, attended.
        units: How many units are to be done.
        most: The most units a batch may have.
        shared: Whether other lots may share its batches: then only its share of the
            fixed minutes is sure.
    """
    if step.level == ORDER:
        return lot.durations[step.index] * step.people
    # Of what has begun nobody knows here how much went through.
    begun = lot.units - units
    if step.level != BATCH:
        each = lot.cavities if step.level == PART else 1
        tasks = units * each
        if not is_for_all(lot, step):
            tasks = max(0, taken(lot, step) - begun * each)
        return lot.durations[step.index] * tasks * step.people
    operation = step.operation
    if not is_for_all(lot, step):
        units = max(0, taken(lot, step) - begun)
    batches = Fraction(units, most) if shared else Fraction(-(-units // most))
    minutes = exact(operation.fixed_min) * batches
    minutes += exact(operation.each_min) * units * lot.cavities
    return int(minutes) * step.people
