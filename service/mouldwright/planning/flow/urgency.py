"""Keys for the list scheduler: how urgent each task is, from a few numbers.

Every order has a target to end by. Walked backwards from it through openings and
copies, each task has a latest start, and that is its key; a few numbers an order and a
stage bend it. With the pace low, the moulds are kept turning and finishing waits; with
it high, what was begun is finished first. No single bend is safe, so they are searched.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from mouldwright.domain.hours.opening import MINUTES_A_DAY
from mouldwright.planning.flow.chains import visits
from mouldwright.planning.flow.ordered import OrderedUnits

Floats = npt.NDArray[np.float64]
Integers = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Urgency:
    """What bends the keys.

    Attributes:
        shift: By order, minutes its target is moved.
        pace: By order, minutes added from one unit to the next.
        bias: By stage, minutes added.
        patience: By stage, minutes a last free person waits for it.
        base: 1 takes the latest starts, 0 leaves only what bends them.
    """

    shift: Floats
    pace: Floats
    bias: Floats
    patience: Integers
    base: float = 1.0


class Keys:
    """Turns urgency into keys by task for one set of targets."""

    def __init__(self, units: OrderedUnits, targets: dict[int, int]) -> None:
        """Walk every order back from its target.

        Args:
            units: The windows of single units.
            targets: By order, the minute to end by.
        """
        stages = units.reach.stages
        self.stages = stages
        self.targets = targets
        # Stages up to the last that gives a copy back keep the moulds turning.
        self.on_copy = np.zeros(stages.count)
        for visit in visits(stages):
            self.on_copy[stages.first[visit.order] : visit.given_at + 1] = 1.0
        self.place = np.array(
            [float(at - stages.first[order]) for at, order in enumerate(stages.order)]
        )
        self._latest = np.zeros(stages.tasks)
        self._order = np.zeros(stages.tasks, dtype=np.int64)
        self._stage = np.zeros(stages.tasks, dtype=np.int64)
        self._unit = np.zeros(stages.tasks)
        for order in range(stages.orders):
            span = stages.stages_of(order)
            rows = np.array(units.latest_ends_without_room(order, targets[order]), dtype=float)
            for place, stage in enumerate(span):
                at = slice(stages.task[stage], stages.task[stage] + stages.units[stage])
                self._latest[at] = rows[:, place] - stages.duration[stage]
                self._order[at] = order
                self._stage[at] = stage
                self._unit[at] = np.arange(stages.units[stage])

    def plain(self) -> Urgency:
        """Return urgency that bends nothing."""
        stages = self.stages
        return Urgency(
            shift=np.zeros(stages.orders),
            pace=np.zeros(stages.orders),
            bias=np.zeros(stages.count),
            patience=np.zeros(stages.count, dtype=np.int64),
        )

    def moulds_first(self) -> Urgency:
        """Return the rule that keeps moulds turning, orders by target, then begun first."""
        plain = self.plain()
        target = np.array([float(self.targets[order]) for order in range(self.stages.orders)])
        long = float(np.max(target) - np.min(target)) + 40.0 * MINUTES_A_DAY
        return replace(plain, shift=target, base=0.0, bias=self.place * 1e-3 - long * self.on_copy)

    def portfolio(self) -> list[Urgency]:
        """Return simple rules, from moulds always first to finishing always first."""
        plain = self.plain()
        target = np.array([float(self.targets[order]) for order in range(self.stages.orders)])
        by_target = replace(plain, shift=target, base=0.0)
        long = float(np.max(target) - np.min(target)) + 40.0 * MINUTES_A_DAY
        place = self.place
        found = [
            plain,
            replace(by_target, bias=place * 1e-3),
            replace(by_target, bias=place * -1e-3),
            replace(by_target, bias=place * long),
            replace(by_target, bias=place * 1e-3 - long * self.on_copy),
            replace(by_target, bias=place * -1e-3 - long * self.on_copy),
        ]
        found += [
            replace(plain, bias=-days * MINUTES_A_DAY * self.on_copy)
            for days in (0.5, 2.0, 5.0, 10.0, 20.0)
        ]
        found += [replace(plain, pace=plain.pace + pace) for pace in (5.0, 20.0, 60.0)]
        return found

    def keys(self, urgency: Urgency) -> Any:
        """Return the key of every task."""
        found: Floats = (
            urgency.base * self._latest
            + urgency.shift[self._order]
            + urgency.pace[self._order] * self._unit
            + urgency.bias[self._stage]
        )
        return found
