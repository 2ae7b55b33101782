"""Proven lower bounds on what any plan can do, each with the argument that gives it.

Every bound comes from a relaxation: something that binds a plan is left out, never added.

* a chain: one unit alone in the shop, through everyone's hours;
* a pool: moulds or station units, each going round alone as fast as hours allow; the
  n-th release of any of them is no earlier than the n-th of all so found;
* people: open minutes of those who alone can do some work, from when it can begin;
* order: whichever orders a resource finishes first, the k-th is no earlier than the k
  smallest could be together; the cheapest giving out of places bounds lateness.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from mouldwright.domain.shown import listed
from mouldwright.planning.assignment import least_cost
from mouldwright.planning.energy import OpenTime, attended_work, crew_unions
from mouldwright.planning.pools import Pool, pools_of
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import NEVER, ORDER, Step
from mouldwright.planning.rules import batch_limits
from mouldwright.planning.shares import is_for_all, optional, ways
from mouldwright.planning.timelines import LONG_AGO
from mouldwright.planning.walk import Walks


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """Lower bounds on the parts of the objective.

    Attributes:
        finish_min: On minutes from now to the last end of all.
        finish_name: Which argument gave it.
        weighted_late_min: On the sum of weight x minutes late.
        late_name: Which argument gave it.
        order_finish: For each order, on its finish.
    """

    finish_min: int
    finish_name: str
    weighted_late_min: int
    late_name: str
    order_finish: tuple[int, ...]


def bound_of(problem: Problem, untouched: Sequence[int], running_end: Sequence[int]) -> Bound:
    """Return the bounds of a problem.

    Args:
        problem: The problem.
        untouched: For each lot, its units of which nothing has begun.
        running_end: For each order, the last end of its running tasks, which may be before
            now; 0 where it has none.
    """
    return _Bounds(problem, untouched, running_end).all()


class _Bounds:
    def __init__(
        self, problem: Problem, untouched: Sequence[int], running_end: Sequence[int]
    ) -> None:
        self.problem, self.untouched, self.running_end = problem, untouched, running_end
        self.walks = Walks(problem)
        self.unions = crew_unions(problem)
        self.open = [OpenTime([problem.windows[p] for p in sorted(s)]) for s in self.unions]
        stated = batch_limits(problem)
        same = [[o.index for o in problem.lots if o.routing == lot.routing] for lot in problem.lots]
        self.most = [max(stated[o] for o in group) for group in same]
        self.shared = [len(group) > 1 for group in same]
        self._finish: dict[int, tuple[int, str]] = {}
        self.pools = pools_of(problem, self.walks, self.most, self.shared)

    def all(self) -> Bound:
        problem = self.problem
        own: list[tuple[int, str]] = []
        for i, demand in enumerate(problem.demands):
            best = (self.running_end[i], "what is running")
            for lot in demand.lots:
                best = max(best, self.finish(lot), key=lambda b: b[0])
            own.append(best)
        finish, name = max(own, key=lambda b: b[0], default=(0, "nothing to do"))
        lots = [lot for lot in problem.lots if self.untouched[lot.index] and lot.order >= 0]
        for together, argument in self._together(lots):
            if together > finish:
                finish, name = together, argument
        late, late_name = self._lateness([f for f, _ in own])
        return Bound(
            finish_min=max(finish, 0),
            finish_name=name,
            weighted_late_min=late,
            late_name=late_name,
            order_finish=tuple(f for f, _ in own),
        )

    # One lot.

    def ready(self, lot: Lot) -> int:
        """Return the earliest any unit of a lot can start."""
        ready = lot.release
        if lot.tools:
            made = []
            for t in lot.tools:
                tool = self.problem.tools[t]
                before = tool.proved_by if lot.proves < 0 else -1
                before = before if before >= 0 else tool.built_by
                made.append(0 if before < 0 else self.finish(before)[0])
            ready = max(ready, min(made))
        for earlier in lot.after_lots:
            ready = max(ready, self.finish(earlier)[0])
        return ready

    def finish(self, index: int) -> tuple[int, str]:
        """Return the earliest a lot can be finished, and why."""
        if index not in self._finish:
            lot = self.problem.lots[index]
            if not self.untouched[index]:
                self._finish[index] = (LONG_AGO, "what is running")
                return self._finish[index]
            ready = self.ready(lot)
            self._finish[index] = best = (self._longest(lot, ready), f"one {lot.part} alone")
            for other in self._together([lot]):
                best = max(best, other, key=lambda b: b[0])
            self._finish[index] = best
        return self._finish[index]

    def _longest(self, lot: Lot, ready: int) -> int:
        """Return the earliest end of the part that has most to go through."""
        if not lot.skips or self.problem.running:
            return self.walks.chain(lot, ready)
        steps = self.problem.routings[lot.routing].steps
        return max(self.walks.chain(lot, ready, passing=way) for way in ways(lot, steps))

    # Several lots together.

    def _together(self, lots: Sequence[Lot]) -> list[tuple[int, str]]:
        """Return bounds on when the last of some lots is finished."""
        found = [self._pool_bound(pool, lots) for pool in self.pools]
        found += [self._people_bound(s, lots) for s in range(len(self.unions))]
        return [bound for bound in found if bound is not None]

    def _pool_bound(self, pool: Pool, lots: Sequence[Lot]) -> tuple[int, str] | None:
        mine = [lot for lot in lots if lot.index in pool.lots]
        if not mine:
            return None
        tasks = pool.tasks({lot.index: self.untouched[lot.index] for lot in mine})
        ready = min(self.ready(lot) for lot in mine)
        at = pool.nth_release(tasks, ready, whole=self._is_whole(pool, mine))
        if at >= NEVER:
            return None
        ends = [self.walks.chain(lot, at, done=pool.last) for lot in mine]
        return min(ends), pool.name

    def _is_whole(self, pool: Pool, lots: Sequence[Lot]) -> bool:
        """Return whether those lots are all that goes through a pool, none of it begun."""
        return {lot.index for lot in lots} == set(pool.lots) and all(
            self.untouched[i] == lot.units for i, lot in pool.lots.items()
        )

    def _work(self, lot: Lot, step: Step) -> int:
        if step.level == ORDER and self.problem.running:
            return 0
        return attended_work(
            lot,
            step,
            self.untouched[lot.index],
            self.most[lot.index],
            shared=self.shared[lot.index],
        )

    def _people_bound(self, union: int, lots: Sequence[Lot]) -> tuple[int, str] | None:
        """Return when people could be through what only they can do, and what follows it."""
        people, open_time = self.unions[union], self.open[union]
        alike: dict[tuple[int, int, frozenset[int]], list[Lot]] = {}
        for lot in lots:
            alike.setdefault((lot.routing, lot.cavities, optional(lot)), []).append(lot)
        # Work, earliest start, least minutes after it, the least lot of its kind, the step.
        items: list[tuple[int, int, int, Lot, Step]] = []
        for group in alike.values():
            ready = min(self.ready(lot) for lot in group)
            least = min(group, key=lambda lot: (lot.units, lot.index))
            for step in self.problem.routings[least.routing].steps:
                if step.crew < 0 or not people.issuperset(self.problem.crews[step.crew]):
                    continue
                work = sum(self._work(lot, step) for lot in group)
                head, tail = self._head(least, step, ready), self._tail(least, step)
                items.append((work, head, tail, least, step))
        if not items:
            return None
        best = 0
        rows = sorted(items, key=lambda r: -r[2])
        work, head = 0, NEVER
        for i, row in enumerate(rows):
            work, head = work + row[0], min(head, row[1])
            if i + 1 < len(rows) and rows[i + 1][2] == row[2]:
                continue
            at = open_time.when(head, work)
            if at >= NEVER:
                continue
            # What follows the last of them is least as a rule, and most often settles it.
            after = self.walks.chain(row[3], at, done=row[4].index)
            for r in rows[:i]:
                if after <= best:
                    break
                after = min(after, self.walks.chain(r[3], at, done=r[4].index))
            best = max(best, after)
        rows.sort(key=lambda r: -r[1])
        work = 0
        for i, row in enumerate(rows):
            work += row[0]
            if i + 1 < len(rows) and rows[i + 1][1] == row[1]:
                continue
            at = open_time.when(row[1], work)
            if at < NEVER:
                best = max(best, at)
        return best, f"the hours of {self._people_name(union)}"

    def _people_name(self, union: int) -> str:
        names = [self.problem.people[p] for p in sorted(self.unions[union])]
        return listed(names)

    def _head(self, lot: Lot, step: Step, ready: int) -> int:
        """Return the earliest a step of a lot can start, closed hours counted."""
        steps = self.problem.routings[lot.routing].steps
        ends: dict[int, int] = {}
        for s in steps[: step.index]:
            at = max([ready, *_readies(s, ends)])
            if is_for_all(lot, s):
                at = self.walks.step_end(lot, s, at)
            else:
                at = max([ready, *(ends[p] for p in s.preds)])
            ends[s.index] = at
        return max([ready, *_readies(step, ends)])

    def _tail(self, lot: Lot, step: Step) -> int:
        """Return the least minutes from a step's end to the lot's, closed hours left out."""
        steps = self.problem.routings[lot.routing].steps
        ends = {step.index: 0}
        for s in steps[step.index + 1 :]:
            before = _readies(s, ends)
            if before:
                through = max(before) + self.walks.work(lot, s)
                past = max([0, *(ends[p] for p in s.preds if p in ends)])
                ends[s.index] = through if is_for_all(lot, s) else past
        return max(ends.values())

    # Lateness.

    def _lateness(self, own: Sequence[int]) -> tuple[int, str]:
        """Return a bound on the sum of weight x minutes late."""
        demands = self.problem.demands
        late = [
            0 if d.due is None else d.weight * max(0, own[i] - d.due) for i, d in enumerate(demands)
        ]
        best, name = sum(late), "each order's own least finish"
        for places, orders, argument in self._sequences():
            if len(orders) < 2:
                continue
            costs = np.zeros((len(orders), len(orders)), dtype=np.int64)
            for row, i in enumerate(orders):
                demand = demands[i]
                if demand.due is None:
                    continue
                ends = np.maximum(np.asarray(places, dtype=np.int64), own[i])
                costs[row] = demand.weight * np.maximum(0, ends - demand.due)
            others = sum(late[i] for i in range(len(demands)) if i not in set(orders))
            value = least_cost(costs) + others
            if value > best:
                best, name = value, argument
        return best, name

    def _sequences(self) -> list[tuple[list[int], list[int], str]]:
        """Return, for each shared resource, the earliest k-th finish for every k."""
        found: list[tuple[list[int], list[int], str]] = []
        by_order = [
            [self.problem.lots[index] for index in d.lots if self.untouched[index]]
            for d in self.problem.demands
        ]
        for pool in self.pools:
            units = {
                i: sum(self.untouched[lot.index] for lot in lots if lot.index in pool.lots)
                for i, lots in enumerate(by_order)
            }
            orders = [i for i, count in units.items() if count]
            if len(orders) < 2:
                continue
            mine = [lot for i in orders for lot in by_order[i] if lot.index in pool.lots]
            ready = min(self.ready(lot) for lot in mine)
            places = []
            turns = pool.in_turn([units[i] for i in orders])
            for turn, tasks in enumerate(turns, 1):
                whole = turn == len(turns) and self._is_whole(pool, mine)
                at = pool.nth_release(tasks, ready, whole=whole)
                places.append(min(self.walks.chain(lot, at, done=pool.last) for lot in mine))
            if places[-1] < NEVER:
                found.append((places, orders, f"orders in turn on {pool.name}"))
        for s, people in enumerate(self.unions):
            work = {
                i: sum(
                    self._work(lot, step)
                    for lot in lots
                    for step in self.problem.routings[lot.routing].steps
                    if step.crew >= 0 and people.issuperset(self.problem.crews[step.crew])
                )
                for i, lots in enumerate(by_order)
            }
            orders = [i for i, minutes in work.items() if minutes]
            if len(orders) < 2:
                continue
            ready = min(self.ready(lot) for i in orders for lot in by_order[i])
            total, places = 0, []
            for minutes in sorted(work[i] for i in orders):
                total += minutes
                places.append(self.open[s].when(ready, total))
            if places[-1] < NEVER:
                name = f"orders in turn in the hours of {self._people_name(s)}"
                found.append((places, orders, name))
        return found


def _readies(step: Step, ends: Mapping[int, int]) -> list[int]:
    """Return when each thing that a step waits for lets it start, of those that are known."""
    found = [ends[p] + step.wait_min for p in step.preds if p in ends]
    if step.age_of in ends:
        found.append(ends[step.age_of] + step.age_min)
    return found
