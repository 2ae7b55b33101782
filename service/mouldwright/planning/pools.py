"""Moulds and station units going round alone: the earliest n-th release of a pool."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from heapq import heapify, heapreplace
from itertools import accumulate

from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import (
    BATCH,
    NEVER,
    ORDER,
    PART,
    UNIT,
    Keep,
    Routing,
    Step,
    duration_min,
)
from mouldwright.planning.shares import is_for_all, optional
from mouldwright.planning.walk import Walks


class Pool:
    """Copies of a resource that a part of one routing goes through.

    Attributes:
        lots: Indices of the lots that go through it.
        last: Step at whose end a copy is given back.
        name: What it is, in words.
    """

    def __init__(
        self,
        walks: Walks,
        lots: Sequence[Lot],
        first: int,
        last: int,
        *,
        name: str,
        copies: Sequence[tuple[int, int, int]],
        level: int,
        most: int = 1,
        shared: bool = False,
        per_part: bool = False,
        conditioning: Step | None = None,
    ) -> None:
        """Describe a pool.

        Args:
            walks: The problem's walks.
            lots: Lots of one routing.
            first: Step at whose start a copy is taken.
            last: Step at whose end it is given back.
            name: What it is.
            copies: For each copy, tasks until it is first conditioned, tasks between
                conditionings, and tasks it lasts for.
            level: What one task is: a part, a unit, a batch or an order.
            most: The most units of a batch.
            shared: Whether lots may share a batch.
            per_part: Whether a copy is the place of one part.
            conditioning: The upkeep between tasks.
        """
        self.lots = {lot.index: lot for lot in lots}
        self.first, self.last, self.name, self.level = first, last, name, level
        self._walks, self._copies, self._most = walks, copies, most
        self._shared, self._per_part, self._conditioning = shared, per_part, conditioning
        # The least of them bounds them all.
        self._lot = min(lots, key=lambda lot: (lot.cavities, lot.units, lot.index))
        self._passing = frozenset[int]().union(*(optional(lot) for lot in lots))
        self._known: dict[tuple[int, bool], list[int]] = {}

    def tasks(self, units: Mapping[int, int]) -> int:
        """Return how many tasks so many units of its lots are, at the least."""
        if not any(units.values()):
            return 0
        if self.level == ORDER:
            return sum(1 for count in units.values() if count)
        if self.level == BATCH:
            if self._shared:
                return -(-sum(units.values()) // self._most)
            return sum(-(-count // self._most) for count in units.values())
        each = {
            i: self.lots[i].cavities if self._per_part or self.level == PART else 1 for i in units
        }
        return sum(count * each[i] for i, count in units.items())

    def in_turn(self, units: Sequence[int]) -> list[int]:
        """Return, for every k, the least tasks of k orders together, given each order's units."""
        orders = sorted(units)
        if self.level == BATCH and self._shared:
            return [-(-total // self._most) for total in accumulate(orders)]
        least = min(lot.cavities for lot in self.lots.values())
        each = least if self._per_part or self.level == PART else 1
        if self.level == BATCH:
            return list(accumulate(-(-count // self._most) for count in orders))
        if self.level == ORDER:
            return list(range(1, len(orders) + 1))
        return list(accumulate(count * each for count in orders))

    def nth_release(self, n: int, ready: int, *, whole: bool) -> int:
        """Return the earliest end of the n-th task of all copies together.

        Args:
            n: Which, from 1.
            ready: Earliest start of any of them.
            whole: Whether these are all the tasks the copies ever do. Where they are not,
                other tasks may bring the conditioning on outside them, so none is counted.
        """
        known = self._known.setdefault((ready, whole), [])
        if len(known) < n:
            self._known[ready, whole] = known = self._releases(n, ready, whole)
        return known[n - 1] if len(known) >= n else NEVER

    def _releases(self, n: int, ready: int, whole: bool) -> list[int]:
        heap: list[tuple[int, int, int]] = []
        for copy, (_, _, life) in enumerate(self._copies):
            if life > 0:
                heap.append((self._next(copy, 0, ready, whole), copy, 1))
        heapify(heap)
        found: list[int] = []
        while heap and len(found) < n:
            end, copy, done = heap[0]
            found.append(end)
            if end >= NEVER:
                break
            over = done >= self._copies[copy][2]
            following = NEVER if over else self._next(copy, done, end, whole)
            heapreplace(heap, (following, copy, done + 1))
        return found

    def _next(self, copy: int, done: int, free: int, whole: bool) -> int:
        until, every, _ = self._copies[copy]
        step = self._conditioning if whole else None
        if step is not None and every < NEVER and done >= until and (done - until) % every == 0:
            # Before the first task it may be done from now on, ready or not.
            after = free if done else 0
            free = max(free, self._walks.end(step, after, duration_min(step.operation, 0)))
        return self._walks.chain(self._lot, free, self.first, self.last, passing=self._passing)


def pools_of(
    problem: Problem, walks: Walks, most: Sequence[int], shared: Sequence[bool]
) -> list[Pool]:
    """Return the pools of a problem: moulds, and stations by hold and by step."""
    found: list[Pool] = []
    groups: dict[tuple[int, tuple[int, ...]], list[Lot]] = {}
    for lot in problem.lots:
        if lot.order >= 0:
            groups.setdefault((lot.routing, lot.tools), []).append(lot)
    for (routing_index, tools), lots in groups.items():
        routing = problem.routings[routing_index]
        found += [
            _moulds(problem, walks, routing, keep, lots, tools)
            for keep in routing.keeps
            if keep.station < 0 and tools and _alike(routing, keep.first, keep.last, lots)
        ]
    by_routing: dict[int, list[Lot]] = {}
    for lot in problem.lots:
        if lot.order >= 0:
            by_routing.setdefault(lot.routing, []).append(lot)
    for routing_index, lots in by_routing.items():
        routing = problem.routings[routing_index]
        uses = [(k.station, k.first, k.last, k.level) for k in routing.keeps if k.station >= 0]
        uses += [(s.station, s.index, s.index, s.level) for s in routing.steps if s.station >= 0]
        for station, first, last, level in uses:
            place = problem.places[station]
            slots = len(place.units) * (place.room or 1)
            if level in (BATCH, ORDER) and place.room:
                continue
            if not _alike(routing, first, last, lots):
                continue
            if not all(is_for_all(lot, routing.steps[first]) for lot in lots):
                continue
            found.append(
                Pool(
                    walks,
                    lots,
                    first,
                    last,
                    name=place.key,
                    copies=[(NEVER, NEVER, NEVER)] * slots,
                    level=level,
                    most=max(most[lot.index] for lot in lots),
                    shared=any(shared[lot.index] for lot in lots),
                    per_part=bool(place.room),
                )
            )
    return found


def _moulds(
    problem: Problem,
    walks: Walks,
    routing: Routing,
    keep: Keep,
    lots: Sequence[Lot],
    tools: tuple[int, ...],
) -> Pool:
    """Return the pool of moulds.

    What runs already may have used them, so upkeep and life then count for nothing.
    """
    copies = []
    for t in tools:
        tool = problem.tools[t]
        # Pulls that prove it, or are under way, bring its upkeep on outside these tasks.
        other = problem.running or tool.proof
        until = NEVER if other else max(tool.every - tool.since, 0)
        every = NEVER if other else tool.every
        copies.append((until, every, NEVER if problem.running else tool.life_left))
    return Pool(
        walks,
        lots,
        keep.first,
        keep.last,
        name=f"the moulds {problem.families[problem.tools[tools[0]].family].key}",
        copies=copies,
        level=UNIT,
        conditioning=routing.conditioning,
    )


def _alike(routing: Routing, first: int, last: int, lots: Sequence[Lot]) -> bool:
    """Return whether a task takes no longer for the least of the lots than for any other."""
    return len(lots) == 1 or all(s.level != ORDER for s in routing.steps[first : last + 1])
