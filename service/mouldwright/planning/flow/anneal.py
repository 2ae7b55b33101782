"""The search: simulated annealing over what bends the keys of the list scheduler.

Kirkpatrick, Gelatt & Vecchi 1983, "Optimization by simulated annealing", Science 220
(from memory). One step bends one number of one order or stage and dispatches again;
worse plans are taken with a chance that shrinks as the work allowed is used up.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, replace

from mouldwright.planning.flow.dispatch import Dispatcher
from mouldwright.planning.flow.instance import FlowInstance
from mouldwright.planning.flow.moves import Moves
from mouldwright.planning.flow.stages import Stages
from mouldwright.planning.flow.urgency import Keys, Urgency

# Share by which finishes may grow on the way while a plan is settled.
SETTLE_ROOM = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Scored:
    """A plan as the search compares plans.

    Attributes:
        value: The instance's objective.
        spread: Sum of the orders' finishes by weight, which tells equal values apart.
        guide: Lateness by the mean of an order's units, in the value's units: it says how much
            of an order is late where the value says only how late its last unit is.
    """

    value: int
    spread: float
    finishes: tuple[int, ...]
    guide: float = 0.0
    starts: tuple[int, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """A place in the search: the keys' targets, what bends them, and the plan they make."""

    keys: Keys
    urgency: Urgency
    made: Scored


class Search:
    """Dispatches urgency, keeps the best plan, and looks for better."""

    def __init__(self, instance: FlowInstance, dispatcher: Dispatcher, *, arrays: bool) -> None:
        """Start with no plan at all.

        Args:
            instance: The problem.
            dispatcher: Runs the passes.
            arrays: Whether it wants arrays rather than lists.
        """
        self._instance = instance
        self._dispatcher = dispatcher
        self._arrays = arrays
        self.best: Scored | None = None
        self.passes = 0

    def use(self, dispatcher: Dispatcher, *, arrays: bool) -> None:
        """Go on with another dispatcher of the same instance."""
        self._dispatcher = dispatcher
        self._arrays = arrays

    def take(self, starts: list[int], stages: Stages) -> None:
        """Keep a plan made elsewhere as the best, unless it is worse."""
        finishes = [
            starts[stages.task[last] + stages.units[last] - 1]
            + stages.duration[last]
            + stages.lag[last]
            for last in (stages.first[place + 1] - 1 for place in range(stages.orders))
        ]
        value, spread = self.score(finishes)
        if self.best is None or (value, spread) < (self.best.value, self.best.spread):
            self.best = Scored(
                value=value, spread=spread, finishes=tuple(finishes), starts=tuple(starts)
            )

    def score(self, finishes: list[int]) -> tuple[int, float]:
        """Return (value, spread) of orders ending so."""
        late = 0
        spread = 0.0
        for order, at in zip(self._instance.orders, finishes, strict=True):
            if order.due is not None and at > order.due:
                late += order.weight * (at - order.due)
            spread += order.weight * at
        finish = max(finishes) - self._instance.origin
        instance = self._instance
        return instance.lateness_weight * late + instance.finish_weight * finish, spread

    def attempt(self, keys: Keys, urgency: Urgency) -> Scored | None:
        """Dispatch once and keep the plan if it is the best; None where not all fits."""
        self.passes += 1
        values = keys.keys(urgency)
        finishes = self._dispatcher.run(
            values if self._arrays else values.tolist(),
            patience=urgency.patience if self._arrays else urgency.patience.tolist(),
        )
        if finishes is None:
            return None
        value, spread = self.score(finishes)
        made = Scored(
            value=value, spread=spread, finishes=tuple(finishes), guide=self._guide(finishes)
        )
        best = self.best
        if best is None or (value, spread) < (best.value, best.spread):
            self.best = replace(made, starts=tuple(self._dispatcher.starts()))
        return made

    def _guide(self, finishes: list[int]) -> float:
        """Return the mean lateness of the last plan's units, weighed as the value weighs it."""
        return self._instance.lateness_weight * sum(
            order.weight * self._dispatcher.mean_late(place, order.due)
            for place, (order, at) in enumerate(zip(self._instance.orders, finishes, strict=True))
            if order.due is not None and at > order.due
        )

    def lead(self, keys: Keys, urgency: Urgency) -> Lead | None:
        """Return where a search may begin, None where the urgency fits no plan."""
        made = self.attempt(keys, urgency)
        return None if made is None else Lead(keys=keys, urgency=urgency, made=made)

    def anneal(
        self,
        lead: Lead,
        *,
        rng: random.Random,
        used: Callable[[], float],
        bound: int,
        heat: float,
    ) -> Lead:
        """Search from a lead until the work allowed is used or the bound is met.

        Args:
            lead: Where to begin.
            rng: Makes every choice.
            used: Share of the work allowed that is used, 1 and above to stop.
            bound: Proven lower bound on the value.
            heat: Share of the gap that a worse plan may cost at first.

        Returns:
            The best met on the way.
        """
        best = current = lead
        moves = Moves(lead.keys, self._instance)
        since_best = 0
        while best.made.value > bound and (share := used()) < 1.0:
            tried = moves.bend(current.urgency, rng, current.made.finishes)
            made = self.attempt(lead.keys, tried)
            since_best += 1
            if made is None:
                continue
            now = max(1.0, heat * (best.made.value - bound)) * (1.0 - share) ** 2 + 1e-9
            worse = float(made.value - current.made.value)
            worse += made.guide - current.made.guide
            worse += 1e-4 * (made.spread - current.made.spread)
            if worse <= 0 or rng.random() < math.exp(-min(worse / now, 700.0)):
                current = Lead(keys=lead.keys, urgency=tried, made=made)
                if (made.value, made.spread) < (best.made.value, best.made.spread):
                    best, since_best = current, 0
            if since_best > 400:
                current, since_best = best, 0
        return best

    def settle(self, lead: Lead, *, rng: random.Random, stop: Callable[[], bool]) -> Lead:
        """Look for plans of no higher value in which the orders finish earlier by weight.

        Args:
            lead: Where to begin.
            rng: Makes every choice.
            stop: Asked before every try.
        """
        best = current = lead
        moves = Moves(lead.keys, self._instance)
        since_best = 0
        while not stop():
            tried = moves.bend(current.urgency, rng, current.made.finishes)
            made = self.attempt(lead.keys, tried)
            since_best += 1
            # A little slack on the way, so that it takes more than one change to get out.
            room = 1.0 + SETTLE_ROOM / (1 + since_best)
            if made is None or made.value > lead.made.value:
                continue
            if made.spread <= room * current.made.spread:
                current = Lead(keys=lead.keys, urgency=tried, made=made)
                if (made.value, made.spread) < (best.made.value, best.made.spread):
                    best, since_best = current, 0
        return best
