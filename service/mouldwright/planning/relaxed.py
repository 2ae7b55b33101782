"""A bound by constraint programming for small plans with every rule: what no plan can beat.

The model leaves rules out and adds none, so that whatever it proves holds for every plan:

* each unit goes through its steps in their order, with their least waits, in open hours;
* whoever works is at one task at a time, and no more people are at work than are in;
* moulds and stations are kept as the routing says, by no more units than there are.

Left out are batches (each member does its batch's work by itself, with nobody's hands), work
that pauses (it takes nobody's hands), greatest waits, pot life, rooms, upkeep, wear, moulds
still to be made, and steps that some parts pass by.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from ortools.sat.python import cp_model

from mouldwright.planning.energy import crew_unions, there_by_time
from mouldwright.planning.flow.prover import WORKERS, stop_when, whole_bound
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import BATCH, ORDER, PART, Keep, Step, least_min
from mouldwright.planning.shares import optional
from mouldwright.planning.walk import Walks

# More tasks than this are past what the solver proves while one waits.
MOST_TASKS = 150

NAME = "constraint solver, on hands, moulds and stations together"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Task:
    """One task of the model: its interval, and what it takes hands of."""

    lot: Lot
    step: Step
    start: cp_model.IntVar
    end: cp_model.LinearExprT
    interval: cp_model.IntervalVar | None


Value = tuple[int, int]


def relaxed_bound(
    problem: Problem,
    value: Value,
    *,
    least: Sequence[int],
    seconds: float,
    seed: int = 1,
    work: float | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> int:
    """Return what no plan is better than; for problems that are small.

    Args:
        problem: The problem; nothing of it has begun.
        value: Weighted minutes late and the last finish of a plan that is known. The bound is
            on the first of them that is not zero.
        least: For each order, minutes from now that it is known not to be finished before.
        seconds: How long to look.
        seed: Of the solver's own choices.
        work: The solver's deterministic limit, with which runs repeat; None for none.
        cancelled: Asked ten times a second.
    """
    return _Model(problem, value, least).solve(
        seconds=seconds, seed=seed, work=work, cancelled=cancelled
    )


def is_small(problem: Problem) -> bool:
    """Return whether a problem is worth asking about: few tasks, and none of them begun."""
    return not problem.has_begun and 0 < _size(problem) <= MOST_TASKS


def _size(problem: Problem) -> int:
    return sum(
        _count(problem.lots[index], step)
        for demand in problem.demands
        for index in demand.lots
        for step in problem.routing_of(problem.lots[index]).steps
    )


def _count(lot: Lot, step: Step) -> int:
    if step.level == ORDER:
        return 1
    return lot.units * (lot.cavities if step.level == PART else 1)


class _Model:
    def __init__(self, problem: Problem, value: Value, least: Sequence[int]) -> None:
        self.problem, self.least = problem, least
        self.late, self.finish = value
        self.model = cp_model.CpModel()
        self.walks = Walks(problem)
        self.until = [self._deadline(i) for i in range(len(problem.demands))]
        self.tasks: dict[tuple[int, int], list[_Task]] = {}
        self.kept: dict[int, list[tuple[cp_model.IntervalVar, int]]] = {}
        self.moulds: list[tuple[frozenset[int], cp_model.IntervalVar]] = []
        self.possible = True
        lots = [i for d, t in zip(problem.demands, self.until, strict=True) if t for i in d.lots]
        for index in sorted(lots):
            lot = problem.lots[index]
            for step in problem.routing_of(lot).steps:
                self._add_step(lot, step)
        for index in lots:
            self._follow_lots(problem.lots[index])
            for keep in problem.routing_of(problem.lots[index]).keeps:
                self._add_hold(problem.lots[index], keep)
        if self.possible:
            self._add_people()
            self._add_units()
            self._add_objective()

    def _deadline(self, order: int) -> int:
        """Return the latest end of an order in any plan no worse; 0 where that is not known."""
        demand = self.problem.demands[order]
        counts = demand.due is not None and demand.weight > 0
        if not self.late:
            return max(min(self.finish, demand.due or 0), 0) if counts else self.finish
        return (demand.due or 0) + self.late // demand.weight if counts else 0

    # Tasks.

    def _add_step(self, lot: Lot, step: Step) -> None:
        until = self.until[lot.order]
        passes = step.index in optional(lot)
        work = 0 if passes else self._work(lot, step)
        found = self.tasks[lot.index, step.index] = []
        spans = [(lot.release, until - work)]
        if not passes and (step.crew >= 0 or step.hours_of):
            # Work that pauses may begin in any open minute; other work has to fit.
            fits = min(work, 1) if step.interruptible else work
            spans = self.walks.starts(step, fits, lot.release, until - work)
        spans = [span for span in spans if span[0] <= span[1]]
        if not spans:
            self.possible = False
            spans = [(0, 0)]
        domain = cp_model.Domain.from_intervals([list(span) for span in spans])
        for key in range(_count(lot, step)):
            start = self.model.new_int_var_from_domain(domain, f"s{lot.index}.{step.index}.{key}")
            interval = None
            end: cp_model.LinearExprT = start + work
            if step.interruptible and not passes:
                end = self.model.new_int_var(0, until, "")
                self.model.add(end >= start + work)
            elif work:
                interval = self.model.new_fixed_size_interval_var(start, work, "")
            found.append(_Task(lot=lot, step=step, start=start, end=end, interval=interval))
            self._follow(lot, step, key, start, passes=passes)
            if step.station >= 0 and interval is not None and step.level != BATCH:
                self._keep(step.station, interval, lot, step.level)
        if step.index == 0 and step.level != ORDER:
            # Units are alike in all that is modelled.
            for before, after in pairwise(found):
                self.model.add(before.start <= after.start)

    def _work(self, lot: Lot, step: Step) -> int:
        if step.level == BATCH:
            return least_min(step, lot.cavities)
        if step.cure >= 0:
            return least_min(step, 1)
        return lot.durations[step.index]

    def _follow(
        self, lot: Lot, step: Step, key: int, start: cp_model.IntVar, *, passes: bool
    ) -> None:
        for pred in step.preds:
            wait = 0 if passes else step.wait_min
            for before in self._before(lot, step, key, pred):
                self.model.add(start >= before.end + wait)
        if step.age_of >= 0 and not passes:
            for before in self._before(lot, step, key, step.age_of):
                self.model.add(start >= before.end + step.age_min)

    def _before(self, lot: Lot, step: Step, key: int, pred: int) -> Sequence[_Task]:
        """Return the tasks of an earlier step that bear on a task."""
        before = self.tasks[lot.index, pred]
        level = self.problem.routing_of(lot).steps[pred].level
        if ORDER in (level, step.level):
            return before
        if level == PART:
            if step.level == PART:
                return before[key : key + 1]
            return before[key * lot.cavities : (key + 1) * lot.cavities]
        unit = key // lot.cavities if step.level == PART else key
        return before[unit : unit + 1]

    def _follow_lots(self, lot: Lot) -> None:
        """Let a lot begin once those that go into it are finished."""
        for earlier in lot.after_lots:
            steps = self.problem.routing_of(self.problem.lots[earlier]).steps
            ends = [task.end for s in steps for task in self.tasks.get((earlier, s.index), ())]
            for task in self.tasks[lot.index, 0] if ends else ():
                for end in ends:
                    self.model.add(task.start >= end)

    # What is kept.

    def _add_hold(self, lot: Lot, keep: Keep) -> None:
        """Keep a mould or station from a unit's first task to its last."""
        steps = self.problem.routing_of(lot).steps
        first, last = steps[keep.first], steps[keep.last]
        levels = {first.level, last.level}
        if (
            keep.level in (BATCH, ORDER)
            or ORDER in levels
            or optional(lot) & {keep.first, keep.last}
        ):
            return
        if keep.level == PART and levels != {PART}:
            return
        if keep.level != PART and first.level == PART:
            return
        for key, task in enumerate(self.tasks[lot.index, keep.first]):
            ends = self.tasks[lot.index, keep.last]
            if keep.level != PART and last.level == PART:
                mine = ends[key * lot.cavities : (key + 1) * lot.cavities]
            else:
                mine = ends[key : key + 1]
            until = self.until[lot.order]
            size = self.model.new_int_var(0, until, "")
            end = self.model.new_int_var(0, until, "")
            for each in mine:
                self.model.add(end >= each.end)
            interval = self.model.new_interval_var(task.start, size, end, "")
            if keep.station < 0:
                self.moulds.append((frozenset(lot.tools), interval))
            else:
                self._keep(keep.station, interval, lot, keep.level)

    def _keep(self, place: int, interval: cp_model.IntervalVar, lot: Lot, level: int) -> None:
        parts = 1 if level in (PART, ORDER) else lot.cavities
        demand = parts if self.problem.places[place].room else 1
        self.kept.setdefault(place, []).append((interval, demand))

    def _add_units(self) -> None:
        """No more is kept than there is: units of a station, moulds of those that may serve."""
        for index, kept in self.kept.items():
            place = self.problem.places[index]
            most = len(place.units) * (place.room or 1)
            self.model.add_cumulative([i for i, _ in kept], [n for _, n in kept], most)
        for pool in _apart([tools for tools, _ in self.moulds]):
            mine = [interval for tools, interval in self.moulds if tools <= pool]
            self.model.add_cumulative(mine, [1] * len(mine), len(pool))

    # People.

    def _add_people(self) -> None:
        until = max(self.until)
        every = [task for tasks in self.tasks.values() for task in tasks]
        for union in crew_unions(self.problem):
            intervals: list[cp_model.IntervalVar] = []
            demands: list[int] = []
            for task in every:
                crew = task.step.crew
                if crew < 0 or task.interval is None or task.step.level == BATCH:
                    continue
                if union.issuperset(self.problem.crews[crew]):
                    intervals.append(task.interval)
                    demands.append(task.step.people)
            if not intervals:
                continue
            for start, end, there in self._there(union, until):
                if there < len(union):
                    away = self.model.new_fixed_size_interval_var(start, end - start, "")
                    intervals.append(away)
                    demands.append(len(union) - there)
            self.model.add_cumulative(intervals, demands, len(union))

    def _there(self, people: frozenset[int], until: int) -> Iterator[tuple[int, int, int]]:
        """Yield from when to when so many of some people are in."""
        return there_by_time([self.problem.windows[p] for p in sorted(people)], until)

    # What is asked.

    def _add_objective(self) -> None:
        model, demands = self.model, self.problem.demands
        terms: list[cp_model.LinearExprT] = []
        finish = model.new_int_var(0, max(self.until), "finish")
        for order, demand in enumerate(demands):
            until = self.until[order]
            if not until:
                continue
            end = model.new_int_var(min(max(self.least[order], 0), until), until, "")
            for index in demand.lots:
                for step in self.problem.routing_of(self.problem.lots[index]).steps:
                    for task in self.tasks[index, step.index]:
                        model.add(end >= task.end)
            model.add(finish >= end)
            if self.late and demand.due is not None:
                late = model.new_int_var(0, max(0, until - demand.due), "")
                model.add(late >= end - demand.due)
                terms.append(demand.weight * late)
        model.minimize(sum(terms) if self.late else finish)

    def solve(
        self,
        *,
        seconds: float,
        seed: int,
        work: float | None,
        cancelled: Callable[[], bool] | None,
    ) -> int:
        """Return the bound."""
        best = self.late or self.finish
        if not self.possible:
            # Not even the rules that are modelled allow a plan as good: the known one is best.
            return best
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = WORKERS
        solver.parameters.random_seed = seed
        solver.parameters.max_time_in_seconds = max(seconds, 0.01)
        if work is not None:
            solver.parameters.max_deterministic_time = work
            solver.parameters.interleave_search = True
        with stop_when(solver, cancelled):
            status = solver.solve(self.model)
        if status == cp_model.INFEASIBLE:
            return best
        if status == cp_model.MODEL_INVALID:
            raise AssertionError(self.model.validate())
        return min(best, max(whole_bound(solver.best_objective_bound), 0))


def _apart(sets: Sequence[frozenset[int]]) -> list[frozenset[int]]:
    """Return sets joined with whatever they share something with."""
    found: list[frozenset[int]] = []
    for each in sets:
        joined = each.union(*(one for one in found if one & each))
        found = [one for one in found if not one & each] + [joined]
    return [one for one in found if one]
