"""A lower bound on weighted lateness from choosing, for all orders at once, when each ends.

If an order is to end by some minute, each of its tasks has a latest end, so a known
part of its work is done before any given minute, and a known number of its units have
left their pool. Choose for every order an interval of time in which it ends: the work
all choices ask for before a minute cannot exceed what can be done before it, nor
the visits to a pool what its copies can serve. Every plan makes such a choice, so the
cheapest choice that breaks nothing is below its lateness; whole numbers throughout.

An interval is charged its first possible end and asks for what its last minute asks for,
so coarse intervals are safe; those chosen are split while it still matters.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from ortools.sat.python import cp_model

from mouldwright.planning.flow.early import most_work
from mouldwright.planning.flow.finish import FinishBound
from mouldwright.planning.flow.instance import FlowInstance
from mouldwright.planning.flow.prover import whole_bound
from mouldwright.planning.flow.stages import NEVER

Counts = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """An order ends after ``since`` and by ``until``.

    Attributes:
        cost: Weight x lateness at its first possible end.
        work: Person-minutes asked for before each minute looked at.
        visits: By pool, units that have left it before each minute looked at.
    """

    since: int
    until: int
    cost: int
    work: Counts
    visits: dict[int, Counts]


class DatesBound:
    """The bound for one instance; grows while it is refined."""

    def __init__(
        self, instance: FlowInstance, finish: FinishBound, *, value: int, most_late: int
    ) -> None:
        """Lay out the choices.

        Args:
            instance: The problem.
            finish: Bounds on single orders.
            value: A lower bound on weighted lateness already proven.
            most_late: Weighted lateness of a known plan; no plan above it is looked at.
        """
        self.value = value
        self.targets: dict[int, int] = {}
        self._instance = instance
        self._finish = finish
        self._reach = finish.reach
        self._most_late = most_late
        self._moments = sorted(set(self._reach.closes))
        self._open = np.array(most_work(finish, self._moments))
        self._served = {
            pool: np.array([finish.chains.served(pool, at) for at in self._moments])
            for pool in range(len(finish.reach.stages.copy_from) - 1)
        }
        self._choices = {
            place: self._first_choices(place) for place, order in enumerate(instance.orders)
        }

    def refine(self, stop: Callable[[], bool], *, seed: int, work: float) -> bool:
        """Choose, split what was chosen, choose again; return whether nothing is left to split.

        Args:
            stop: Asked before every choice.
            seed: Of the solver.
            work: Deterministic limit of one choice.
        """
        while not stop():
            chosen, bound = self._choose(seed, work)
            self.value = max(self.value, min(bound, self._most_late))
            if chosen is None:
                return True
            self.targets = {
                place: self._choices[place][index].until for place, index in chosen.items()
            }
            if not self._split(chosen):
                return True
        return False

    def _first_choices(self, place: int) -> list[Choice]:
        """Return one interval up to the date and one for each day after it."""
        order = self._instance.orders[place]
        due = order.due if order.due is not None else NEVER
        last = self._reach.closes[-1] + 60 * 1440
        if order.due is None or order.weight == 0 or self._instance.lateness_weight == 0:
            return [self._choice(place, 0, last)]
        latest = min(last, due + self._most_late // order.weight)
        earliest, _ = self._finish.finish(frozenset([place]))
        edges = [due] if earliest <= due else []
        for closes, opens in zip(self._reach.closes, [*self._reach.opens[1:], NEVER], strict=True):
            ends_day = opens // 1440 != closes // 1440
            if ends_day and closes > max(due, earliest) and closes < latest:
                edges.append(closes)
        edges.append(max(latest, earliest))
        since = earliest - 1
        found = []
        for edge in edges:
            if edge > since:
                found.append(self._choice(place, since, edge))
                since = edge
        return found

    def _choice(self, place: int, since: int, until: int) -> Choice:
        stages, reach = self._reach.stages, self._reach
        order = self._instance.orders[place]
        span = stages.stages_of(place)
        last = span[-1]
        cost = 0
        if order.due is not None:
            tail = stages.duration[last] + stages.lag[last]
            end = min(reach.fit(since + 1 - tail, stages.duration[last]) + tail, until)
            cost = order.weight * max(0, end - order.due)
        rows = np.array(self._finish.units.latest_ends_without_room(place, until))
        work = np.zeros(len(self._moments) + 1, dtype=np.int64)
        for column, stage in enumerate(span):
            at = np.searchsorted(self._moments, rows[:, column])
            np.add.at(work, at, stages.duration[stage])
        visits = {}
        for visit in self._finish.chains.visits:
            if visit.order == place:
                at = np.searchsorted(self._moments, rows[:, visit.given_at - span.start])
                left = np.bincount(at, minlength=len(work))
                visits[visit.pool] = np.cumsum(left)[:-1]
        return Choice(since=since, until=until, cost=cost, work=np.cumsum(work)[:-1], visits=visits)

    def _choose(self, seed: int, work: float) -> tuple[dict[int, int] | None, int]:
        """Return the cheapest choice (None where there is none) and a bound on its cost."""
        model = cp_model.CpModel()
        picks = {
            place: [model.new_bool_var("") for _ in choices]
            for place, choices in self._choices.items()
        }
        for bools in picks.values():
            model.add_exactly_one(bools)
        flat = [
            (bool_var, choice)
            for place, bools in picks.items()
            for bool_var, choice in zip(bools, self._choices[place], strict=True)
        ]
        variables = [bool_var for bool_var, _ in flat]
        self._add_rows(model, variables, [choice.work for _, choice in flat], self._open)
        for pool, served in self._served.items():
            inside = [(var, choice.visits[pool]) for var, choice in flat if pool in choice.visits]
            if inside and np.all(served < NEVER):
                self._add_rows(
                    model, [var for var, _ in inside], [asks for _, asks in inside], served
                )
        costs = [choice.cost for _, choice in flat]
        total = cp_model.LinearExpr.weighted_sum(variables, costs)
        model.add(total <= max(self._most_late, self.value))
        model.minimize(total)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = seed
        solver.parameters.max_deterministic_time = work
        status = solver.solve(model)
        if status == cp_model.INFEASIBLE:
            return None, self._most_late
        bound = whole_bound(solver.best_objective_bound)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None, bound
        chosen = {
            place: next(index for index, var in enumerate(bools) if solver.boolean_value(var))
            for place, bools in picks.items()
        }
        return chosen, bound

    @staticmethod
    def _add_rows(
        model: cp_model.CpModel,
        variables: list[cp_model.IntVar],
        asks: list[Counts],
        there_is: Counts,
    ) -> None:
        """At each minute: sum of what the choices ask for <= what there is."""
        table = np.array(asks)
        most = table.max(axis=0)
        for moment, limit in enumerate(there_is.tolist()):
            column = table[:, moment]
            if limit >= int(column.sum()) or most[moment] == 0:
                continue
            used = np.flatnonzero(column)
            model.add(
                cp_model.LinearExpr.weighted_sum(
                    [variables[index] for index in used], column[used].tolist()
                )
                <= limit
            )

    def _split(self, chosen: dict[int, int]) -> bool:
        """Split the chosen intervals that still hold cost; return whether any was."""
        split = False
        for place, index in chosen.items():
            order = self._instance.orders[place]
            choice = self._choices[place][index]
            if order.due is None or choice.until <= order.due:
                continue
            last = order.weight * (choice.until - order.due)
            middle = self._middle(place, choice)
            if last <= choice.cost or middle is None:
                continue
            parts = [
                self._choice(place, choice.since, middle),
                self._choice(place, middle, choice.until),
            ]
            self._choices[place][index : index + 1] = parts
            split = True
        return split

    def _middle(self, place: int, choice: Choice) -> int | None:
        """Return a minute that halves the possible ends in an interval, None where few are left."""
        stages, reach = self._reach.stages, self._reach
        last = stages.first[place + 1] - 1
        tail = stages.duration[last] + stages.lag[last]
        first = reach.fit(choice.since + 1 - tail, stages.duration[last]) + tail
        if first >= choice.until:
            return None
        if choice.until - first <= 4:
            return None
        middle = (first + choice.until) // 2
        at = bisect_left(self._moments, middle)
        if at < len(self._moments) and first <= self._moments[at] < choice.until:
            near = self._moments[at]
            middle = near if abs(near - middle) < (choice.until - first) // 4 else middle
        return middle
