"""How the search bends urgency: one number, or one for stages that belong together."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np

from mouldwright.planning.flow.chains import visits
from mouldwright.planning.flow.instance import FlowInstance
from mouldwright.planning.flow.urgency import Floats, Keys, Urgency


class Moves:
    """Ways to bend an urgency, all of them over groups of stages that belong together."""

    def __init__(self, keys: Keys, instance: FlowInstance) -> None:
        """Scale the moves to the plan's length and gather the groups."""
        stages = keys.stages
        self._stages = stages
        self._instance = instance
        targets = list(keys.targets.values())
        self._length = max(60.0, float(max(targets) - instance.origin))
        self._mean_pace = self._length / max(order.quantity for order in instance.orders)
        self._on_copy = keys.on_copy
        self._targets = keys.targets
        self._by_order = [
            np.array([float(each == order) for each in stages.order])
            for order in range(stages.orders)
        ]
        pools: dict[int, Floats] = {}
        for visit in visits(stages):
            group = pools.setdefault(visit.pool, np.zeros(stages.count))
            group += self._by_order[visit.order] * self._on_copy
        self._by_pool = [np.minimum(group, 1.0) for group in pools.values()]

    def bend(self, urgency: Urgency, rng: random.Random, finishes: tuple[int, ...]) -> Urgency:
        """Return the urgency with one thing changed, large or small.

        Args:
            urgency: What to change.
            rng: Makes every choice.
            finishes: By order, under that urgency; late orders are changed more often.
        """
        stages = self._stages
        scale = self._length * 0.3 ** (1 + 4 * rng.random())
        order = self._one_order(rng, finishes)
        kind = rng.random()
        if kind < 0.10:
            pace = urgency.pace.copy()
            pace[order] += rng.gauss(0.0, self._mean_pace * 0.3 ** (3 * rng.random()))
            return replace(urgency, pace=pace)
        if kind < 0.14:
            patience = urgency.patience.copy()
            stage = rng.randrange(stages.count)
            patience[stage] = 0 if patience[stage] > 0 else rng.randrange(1, 15)
            return replace(urgency, patience=patience)
        if kind < 0.19 and stages.orders > 1:
            other = rng.randrange(stages.orders)
            shift = urgency.shift.copy()
            shift[order], shift[other] = shift[other], shift[order]
            return replace(urgency, shift=shift)
        if kind < 0.27 and stages.orders > 1:
            # Pull an order towards its target by about as much as it misses it.
            amount = (self._targets[order] - finishes[order]) * rng.uniform(0.2, 1.4)
            return replace(urgency, bias=urgency.bias + amount * self._by_order[order])
        amount = rng.gauss(0.0, scale)
        if kind < 0.50 and stages.orders > 1:
            group = self._by_order[order]
        elif kind < 0.64:
            group = self._by_order[order] * self._on_copy
        elif kind < 0.78 and len(self._by_pool) > 1:
            group = self._by_pool[rng.randrange(len(self._by_pool))]
        elif kind < 0.84:
            group = self._on_copy
        else:
            group = np.zeros(stages.count)
            group[rng.randrange(stages.count)] = 1.0
        return replace(urgency, bias=urgency.bias + amount * group)

    def _one_order(self, rng: random.Random, finishes: tuple[int, ...]) -> int:
        """Return an order, as likely as not a late one."""
        late = [
            place
            for place, (order, at) in enumerate(zip(self._instance.orders, finishes, strict=True))
            if order.due is not None and at > order.due
        ]
        if late and rng.random() < 0.4:
            return rng.choice(late)
        return rng.randrange(self._stages.orders)
