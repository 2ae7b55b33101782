"""Constraint programming for small plans: a better plan, or the proof that there is none.

Units of an order are kept in order at every stage, which loses nothing since they are
alike; a pool that serves one order then needs no choice of copy at all: unit u + k takes
one after unit u has given one back. Every start is held to the openings and to the
windows of single units under the value to beat; people are one cumulative resource with
what is missing from the fullest crew booked as closed.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from ortools.sat.python import cp_model

from mouldwright.planning.flow.chains import Visit, visits
from mouldwright.planning.flow.instance import FlowInstance
from mouldwright.planning.flow.ordered import OrderedUnits
from mouldwright.planning.flow.stages import NEVER

# More than the cores of a small machine: their searches differ, and taken in turn they prove
# more than two alone do.
WORKERS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What the solver found out.

    Attributes:
        starts: By task, a plan better than the hint or as good; None where none was found.
        value: Of that plan.
        bound: No plan is better than this.
    """

    starts: tuple[int, ...] | None
    value: int
    bound: int


class Prover:
    """The model of one instance for plans no worse than one that is known."""

    def __init__(
        self,
        instance: FlowInstance,
        units: OrderedUnits,
        *,
        starts: tuple[int, ...],
        value: int,
        bound: int,
        late_bound: int,
        settle: bool = False,
    ) -> None:
        """Build the model.

        Args:
            instance: The problem.
            units: Windows of single units.
            starts: By task, a plan to start from.
            value: What it is worth.
            bound: Lower bound already proven.
            late_bound: Lower bound on weighted minutes late.
            settle: Make the sum of weight x finish small instead of the value, which may be
                what it is.
        """
        self._instance = instance
        self._units = units
        self._stages = units.reach.stages
        self._hint = starts
        self._value = value
        self._bound = bound
        self._settle = settle
        self._model = cp_model.CpModel()
        self._start: list[cp_model.IntVar] = []
        self._work: list[cp_model.IntervalVar] = []
        self._finish_by = self._deadlines(late_bound)
        self._add_tasks()
        self._add_people()
        self._add_pools()
        self._add_objective()

    def solve(
        self,
        *,
        seconds: float,
        seed: int,
        work: float | None,
        cancelled: Callable[[], bool] | None,
    ) -> Proof:
        """Search until it is proven, told to stop or out of time.

        Args:
            seconds: Most time to take.
            seed: Of the solver's own choices.
            work: Deterministic limit, with which runs repeat; None for none.
            cancelled: Asked ten times a second.
        """
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = max(seconds, 0.01)
        solver.parameters.random_seed = seed
        solver.parameters.num_workers = WORKERS
        if work is not None:
            solver.parameters.max_deterministic_time = work
            solver.parameters.interleave_search = True
        with stop_when(solver, cancelled):
            status = solver.solve(self._model)
        if status == cp_model.INFEASIBLE:
            return Proof(starts=None, value=self._value, bound=self._value)
        bound = max(self._bound, whole_bound(solver.best_objective_bound))
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            starts = tuple(solver.value(start) for start in self._start)
            return Proof(starts=starts, value=round(solver.objective_value), bound=bound)
        return Proof(starts=None, value=self._value, bound=min(bound, self._value))

    def _deadlines(self, late_bound: int) -> list[int]:
        """Return the latest end of each order in any plan worth no more than the known one."""
        instance = self._instance
        last = max(instance.windows[-1][1], instance.origin) + 30 * 1440
        rest = self._value - instance.lateness_weight * late_bound
        found = []
        for order in instance.orders:
            until = last
            if instance.finish_weight > 0:
                until = min(until, instance.origin + rest // instance.finish_weight)
            each = instance.lateness_weight * order.weight
            if order.due is not None and each > 0:
                until = min(until, order.due + self._value // each)
            found.append(until)
        return found

    def _add_tasks(self) -> None:
        """Each start in the openings and its window; units in order; lags kept."""
        stages, reach, model = self._stages, self._units.reach, self._model
        for order in range(stages.orders):
            span = stages.stages_of(order)
            early = self._units.earliest_starts(order)
            late = self._units.latest_ends_without_room(order, self._finish_by[order])
            for place, stage in enumerate(span):
                duration = stages.duration[stage]
                # What takes no time is done while someone is there all the same.
                length = max(duration, 1)
                for unit in range(stages.units[stage]):
                    since, until = early[unit][place], late[unit][place] - duration
                    spans = [
                        [max(opens, since), min(closes - length, until)]
                        for opens, closes in zip(reach.opens, reach.closes, strict=True)
                        if max(opens, since) <= min(closes - length, until)
                    ]
                    domain = cp_model.Domain.from_intervals(spans or [[since, since]])
                    start = model.new_int_var_from_domain(domain, f"s{stage}u{unit}")
                    model.add_hint(start, self._hint[stages.task[stage] + unit])
                    self._start.append(start)
                    self._work.append(model.new_fixed_size_interval_var(start, duration, ""))
                    at = stages.task[stage] + unit
                    if unit > 0:
                        model.add(self._start[at - 1] <= start)
                    if place > 0:
                        before = self._start[stages.task[stage - 1] + unit]
                        model.add(
                            start >= before + stages.duration[stage - 1] + stages.lag[stage - 1]
                        )

    def _add_people(self) -> None:
        """Work in progress <= the crew of the opening, at every minute.

        Left out where there is someone for every unit: a unit is worked on once at a time.
        """
        stages, model = self._stages, self._model
        if min(self._units.reach.crews) >= sum(order.quantity for order in self._instance.orders):
            return
        most = max(stages.persons)
        intervals, demands = list(self._work), [1] * len(self._work)
        until = max(self._finish_by)
        closed_since = min(stages.release)
        for opens, closes, crew in zip(stages.opens, stages.closes, stages.persons, strict=True):
            if opens >= until:
                break
            if opens > closed_since:
                size = opens - closed_since
                intervals.append(model.new_fixed_size_interval_var(closed_since, size, ""))
                demands.append(most)
            if crew < most:
                size = closes - opens
                intervals.append(model.new_fixed_size_interval_var(opens, size, ""))
                demands.append(most - crew)
            closed_since = max(closed_since, closes)
        model.add_cumulative(intervals, demands, most)

    def _add_pools(self) -> None:
        """Copies held <= copies there are; in order where a pool serves one order."""
        stages, model = self._stages, self._model
        by_pool: dict[int, list[int]] = {}
        found = visits(stages)
        for index, visit in enumerate(found):
            by_pool.setdefault(visit.pool, []).append(index)
        for pool, indexes in by_pool.items():
            copies = stages.copies(pool)
            intervals = []
            for index in indexes:
                visit = found[index]
                for unit in range(stages.units[visit.taken_at]):
                    given = self._start[stages.task[visit.given_at] + unit] + visit.after
                    if unit + copies < stages.units[visit.taken_at]:
                        after = self._start[stages.task[visit.taken_at] + unit + copies]
                        model.add(after >= given)
                    intervals.append(self._stay(visit, unit))
            if len(indexes) > 1 and copies == 1:
                model.add_no_overlap(intervals)
            elif len(indexes) > 1:
                model.add_cumulative(intervals, [1] * len(intervals), copies)

    def _stay(self, visit: Visit, unit: int) -> cp_model.IntervalVar:
        """Return the time a unit keeps a copy: the work alone where that is all of it."""
        stages, model = self._stages, self._model
        at = stages.task[visit.taken_at] + unit
        if visit.taken_at == visit.given_at and visit.after == stages.duration[visit.taken_at]:
            return self._work[at]
        given = self._start[stages.task[visit.given_at] + unit] + visit.after
        size = model.new_int_var(0, NEVER >> 20, "")
        end = model.new_int_var(0, NEVER >> 20, "")
        model.add(end == given)
        return model.new_interval_var(self._start[at], size, end, "")

    def _add_objective(self) -> None:
        """Value = lateness_weight x sum(weight x late) + finish_weight x (finish - origin)."""
        instance, stages, model = self._instance, self._stages, self._model
        finish = model.new_int_var(instance.origin, max(self._finish_by), "finish")
        terms, finishes = [], []
        for place, order in enumerate(instance.orders):
            last = stages.first[place + 1] - 1
            at = self._start[stages.task[last] + stages.units[last] - 1]
            end = at + stages.duration[last] + stages.lag[last]
            model.add(finish >= end)
            finishes.append(order.weight * end)
            if order.due is not None and order.weight > 0 and instance.lateness_weight > 0:
                late = model.new_int_var(0, max(0, self._finish_by[place] - order.due), "late")
                model.add(late >= end - order.due)
                terms.append(instance.lateness_weight * order.weight * late)
        value = sum(terms) + instance.finish_weight * (finish - instance.origin)
        model.add(value <= self._value)
        model.add(value >= self._bound)
        model.minimize(sum(finishes) if self._settle else value)


@contextmanager
def stop_when(solver: cp_model.CpSolver, cancelled: Callable[[], bool] | None) -> Iterator[None]:
    """Ask ten times a second whether a solver should stop while it goes on."""
    over = threading.Event()

    def watch() -> None:
        while not over.wait(0.1):
            if cancelled is not None and cancelled():
                solver.stop_search()

    watcher = threading.Thread(target=watch, daemon=True)
    if cancelled is not None:
        watcher.start()
    try:
        yield
    finally:
        over.set()


def whole_bound(bound: float) -> int:
    """Return a floating bound as the whole number it proves: the objective is whole."""
    # The solver's own integers pass through a float; a thousandth is far above its grain.
    return int(-((-bound + 1e-3) // 1)) if bound == bound else 0
