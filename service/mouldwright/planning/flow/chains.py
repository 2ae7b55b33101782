"""The bound of the moulds: one copy takes its units one after the other.

Of N units on k copies some copy takes at least ceil(N / k), each only after the last
was taken off, and that wait for someone to take it off is part of it. With several
orders on a pool the walk uses the shortest of each step among them, which no real
sequence of them can beat.
"""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.planning.flow.reach import Reach
from mouldwright.planning.flow.stages import NEVER, Stages


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """What one unit asks of a copy.

    Attributes:
        taken_at: Stage at whose start the copy is taken.
        given_at: Stage with or after whose start it is given back.
        work: Attended minutes of the stages from one to the other, in turn.
        lags: Unattended minutes between them.
        after: Minutes from the start of the last stage to the giving back.
    """

    order: int
    pool: int
    taken_at: int
    given_at: int
    work: tuple[int, ...]
    lags: tuple[int, ...]
    after: int


def visits(stages: Stages) -> list[Visit]:
    """Return each order's visits to each pool, in the order they are made."""
    found = []
    for order in range(stages.orders):
        for taken in stages.stages_of(order):
            for pool in stages.take[stages.take_from[taken] : stages.take_from[taken + 1]]:
                given, after = _given(stages, order, taken, pool)
                found.append(
                    Visit(
                        order=order,
                        pool=pool,
                        taken_at=taken,
                        given_at=given,
                        work=tuple(stages.duration[taken : given + 1]),
                        lags=tuple(stages.lag[taken:given]),
                        after=after,
                    )
                )
    return found


def _given(stages: Stages, order: int, taken: int, pool: int) -> tuple[int, int]:
    """Return the stage that gives a pool back and the minutes from its start to that."""
    for stage in range(taken, stages.first[order + 1]):
        for index in range(stages.give_from[stage], stages.give_from[stage + 1]):
            if stages.give_pool[index] == pool:
                return stage, stages.give_after[index]
    raise ValueError("a pool is taken and never given back")


def shortest(group: list[Visit]) -> Visit | None:
    """Return a visit that is in every part as short as the shortest, None where they differ.

    Visits of a different number of stages cannot be compared part by part.
    """
    if len({len(visit.work) for visit in group}) != 1:
        return None
    return Visit(
        order=-1,
        pool=group[0].pool,
        taken_at=-1,
        given_at=-1,
        work=tuple(min(part) for part in zip(*(visit.work for visit in group), strict=True)),
        lags=tuple(min(part) for part in zip(*(visit.lags for visit in group), strict=True)),
        after=min(visit.after for visit in group),
    )


def walk(reach: Reach, visit: Visit, since: int) -> tuple[int, int]:
    """Return the earliest (start of the last stage, giving back) of a visit from a minute."""
    now, start = since, since
    for place, minutes in enumerate(visit.work):
        start = reach.fit(now, minutes)
        if start >= NEVER:
            return NEVER, NEVER
        now = start + minutes + (visit.lags[place] if place < len(visit.lags) else 0)
    return start, start + visit.after


class PoolChains:
    """Finishes that the pools alone allow for any set of orders."""

    def __init__(self, reach: Reach) -> None:
        """Find every visit once."""
        self._reach = reach
        self.visits = visits(reach.stages)
        self._known: dict[tuple[frozenset[int], int, int], list[tuple[int, int]]] = {}

    def finish(self, orders: frozenset[int]) -> int:
        """Return a lower bound on the last end of all of those orders."""
        groups: dict[int, list[Visit]] = {}
        for visit in self.visits:
            if visit.order in orders:
                groups.setdefault(visit.pool, []).append(visit)
        return max((self._pool_finish(pool, group) for pool, group in groups.items()), default=0)

    def served(self, pool: int, until: int) -> int:
        """Return the most units that can have left a pool's copies by a minute.

        Left means that the stage with which they leave has ended. NEVER where the pool's
        visits cannot be compared.
        """
        reach, stages = self._reach, self._reach.stages
        group = [visit for visit in self.visits if visit.pool == pool]
        visit = shortest(group) if group else None
        if visit is None:
            return NEVER
        since = min(reach.earliest_start[each.taken_at] for each in group)
        least = min(stages.duration[each.given_at] for each in group)
        cycles = 0
        while True:
            start = self._cycles(visit, since, cycles + 1)
            if start >= NEVER or start + least > until:
                return cycles * stages.copies(pool)
            cycles += 1

    def rounds(self, pool: int, until: int) -> list[int] | None:
        """Return the earliest minute before ``until`` at which a copy is taken, round by round.

        None where the pool's visits cannot be compared.
        """
        group = [visit for visit in self.visits if visit.pool == pool]
        visit = shortest(group) if group else None
        if visit is None:
            return None
        since = min(self._reach.earliest_start[each.taken_at] for each in group)
        found = []
        while since < until:
            found.append(since)
            _, since = walk(self._reach, visit, since)
        return found

    def _pool_finish(self, pool: int, group: list[Visit]) -> int:
        """Return the end after the busiest copy's last unit, and what must follow it."""
        reach, stages = self._reach, self._reach.stages
        visit = shortest(group)
        if visit is None:
            return 0
        units = sum(stages.units[each.taken_at] for each in group)
        cycles = -(-units // stages.copies(pool))
        since = min(reach.earliest_start[each.taken_at] for each in group)
        start = self._cycles(visit, since, cycles)
        if start >= NEVER:
            return NEVER
        ends = []
        for each in group:
            last = stages.first[each.order + 1]
            ends.append(
                reach.through(
                    each.given_at + 1,
                    last,
                    start + stages.duration[each.given_at] + stages.lag[each.given_at],
                )
            )
        return min(ends)

    def _cycles(self, visit: Visit, since: int, cycles: int) -> int:
        """Return the earliest start of the last stage of the last of so many visits."""
        key = (frozenset([hash((visit.work, visit.lags, visit.after))]), visit.pool, since)
        walked = self._known.setdefault(key, [])
        while len(walked) < cycles:
            now = walked[-1][1] if walked else since
            walked.append(walk(self._reach, visit, now) if now < NEVER else (NEVER, NEVER))
        return walked[cycles - 1][0]
