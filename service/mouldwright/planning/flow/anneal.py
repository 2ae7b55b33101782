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

import numpy as np

from mouldwright.planning.flow.dispatch import Dispatcher
from mouldwright.planning.flow.instance import FlowInstance
from mouldwright.planning.flow.stages import Stages
from mouldwright.planning.flow.urgency import Keys, Urgency


@dataclass(frozen=True, slots=True, kw_only=True)
class Scored:
    """A plan as the search compares plans.

    Attributes:
        value: The instance's objective.
        spread: Sum of the orders' finishes by weight, which tells equal values apart.
    """

    value: int
    spread: float
    finishes: tuple[int, ...]
    starts: tuple[int, ...] | None = None


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
        self.best_urgency: Urgency | None = None
        self.passes = 0

    def use(self, dispatcher: Dispatcher, *, arrays: bool) -> None:
        """Go on with another dispatcher of the same instance."""
        self._dispatcher = dispatcher
        self._arrays = arrays

    def take(self, starts: list[int], stages: Stages) -> None:
        """Keep a plan made elsewhere as the best."""
        finishes = [
            starts[stages.task[last] + stages.units[last] - 1]
            + stages.duration[last]
            + stages.lag[last]
            for last in (stages.first[place + 1] - 1 for place in range(stages.orders))
        ]
        value, spread = self.score(finishes)
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
            spread += at
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
        made = Scored(value=value, spread=spread, finishes=tuple(finishes))
        best = self.best
        if best is None or (value, spread) < (best.value, best.spread):
            self.best = replace(made, starts=tuple(self._dispatcher.starts()))
            self.best_urgency = urgency
        return made

    def anneal(
        self,
        keys: Keys,
        urgency: Urgency,
        *,
        rng: random.Random,
        used: Callable[[], float],
        bound: Callable[[], int],
    ) -> None:
        """Search from an urgency until the work allowed is used or the bound is met.

        Args:
            keys: Turns urgency into keys.
            urgency: Where to begin.
            rng: Makes every choice.
            used: Share of the work allowed that is used, 1 and above to stop.
            bound: Proven lower bound on the value.
        """
        current = self.attempt(keys, urgency)
        if current is None:
            return
        moves = Moves(keys, self._instance)
        since_best = 0
        while (share := used()) < 1.0:
            assert self.best is not None
            if self.best.value <= bound():
                return
            tried = moves.bend(urgency, rng, share)
            before = self.best.value
            made = self.attempt(keys, tried)
            since_best = 0 if self.best.value < before else since_best + 1
            if made is None:
                continue
            heat = max(1.0, 0.1 * (self.best.value - bound())) * (1.0 - share) ** 2 + 1e-9
            worse = made.value - current.value + 1e-4 * (made.spread - current.spread)
            if worse <= 0 or rng.random() < math.exp(-min(worse / heat, 700.0)):
                current, urgency = made, tried
            if since_best > 400 and self.best_urgency is not None:
                urgency, current, since_best = self.best_urgency, self.best, 0


class Moves:
    """Ways to bend an urgency."""

    def __init__(self, keys: Keys, instance: FlowInstance) -> None:
        """Scale the moves to the plan's length."""
        self._stages = keys.stages
        self._on_copy = keys.on_copy
        targets = list(keys.targets.values())
        self._length = max(60.0, float(max(targets) - instance.origin))
        self._mean_pace = self._length / max(order.quantity for order in instance.orders)

    def bend(self, urgency: Urgency, rng: random.Random, share: float) -> Urgency:
        """Return the urgency with one thing changed, less as the search goes on."""
        stages = self._stages
        scale = self._length * 0.3 ** (1 + 4 * rng.random())
        kind = rng.random()
        orders = stages.orders
        if kind < (0.45 if orders > 1 else 0.0):
            shift = urgency.shift.copy()
            one = rng.randrange(orders)
            if rng.random() < 0.25:
                other = rng.randrange(orders)
                shift[one], shift[other] = shift[other], shift[one]
            else:
                shift[one] += rng.gauss(0.0, scale)
            return replace(urgency, shift=shift)
        if kind < 0.65:
            pace = urgency.pace.copy()
            pace[rng.randrange(orders)] += rng.gauss(
                0.0, self._mean_pace * 0.3 ** (3 * rng.random())
            )
            return replace(urgency, pace=pace)
        if kind < 0.92:
            bias = urgency.bias.copy()
            if rng.random() < 0.5:
                bias[rng.randrange(stages.count)] += rng.gauss(0.0, scale)
            elif rng.random() < 0.5:
                bias += rng.gauss(0.0, scale) * self._on_copy
            else:
                span = stages.stages_of(rng.randrange(orders))
                at = slice(span.start, span.stop)
                bias[at] += rng.gauss(0.0, scale) * self._on_copy[at]
            return replace(urgency, bias=bias)
        patience = urgency.patience.copy()
        stage = rng.randrange(stages.count)
        patience[stage] = 0 if patience[stage] > 0 else rng.randrange(1, 15)
        return replace(urgency, patience=patience.astype(np.int64))
