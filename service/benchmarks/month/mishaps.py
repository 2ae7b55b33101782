"""What goes otherwise than planned, drawn from a seed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from random import Random

from mouldwright.domain.estimate import Range
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop

# Common sense, no source: what a bad month at a small bench may look like.
LATE_MORNING, LATE_BY_MIN = 0.15, (5, 50)
SICK = 0.04
FAILED_CURE = 0.02
BROKEN_MOULD = 0.01
LATE_DELIVERY, LATE_BY_DAYS = 0.03, (1, 4)


@dataclass
class Mishaps:
    """Draws what happens.

    Attributes:
        rough: Whether people fall ill, mornings begin late, cures fail, moulds break and
            deliveries are late, besides what the shop's own ranges and rates allow for.
        apart: What is drawn apart from all else, by its kind: ``illness``, ``delivery`` or
            ``mould``. What befalls whom then hangs less on the order of the work.
    """

    shop: Shop
    chance: Random
    rough: bool
    apart: Mapping[str, Random] = field(default_factory=dict)

    def minutes(self, operation: Operation, planned: int) -> int:
        """Return how long a task takes, by its range (PERT), to the whole minute."""
        policy = self.shop.odds
        of = operation.time_range or (policy.time_range if operation.attended else None)
        if of is None or of.is_certain or planned == 0:
            return planned
        return max(1, round(planned * self._share(of)))

    def _share(self, of: Range) -> float:
        least, most = float(of.least), float(of.most)
        middle = min(max(1.0, least), most)
        up = 1 + 4 * (middle - least) / (most - least)
        down = 1 + 4 * (most - middle) / (most - least)
        return least + (most - least) * self.chance.betavariate(up, down)

    def fails(self, rate: float, kind: str = "") -> bool:
        """Return whether something of a chance happens."""
        return self.apart.get(kind, self.chance).random() < rate

    def morning(self) -> int:
        """Return by how many minutes somebody begins late today."""
        late = self.rough and self.fails(LATE_MORNING)
        return self.chance.randint(*LATE_BY_MIN) if late else 0

    def is_ill(self) -> bool:
        """Return whether somebody is away today."""
        return self.rough and self.fails(SICK, "illness")

    def cure_fails(self) -> bool:
        """Return whether a cure comes to nothing."""
        return self.rough and self.fails(FAILED_CURE)

    def mould_breaks(self, rate: float) -> bool:
        """Return whether a pull is its mould's last, given the chance that the shop states."""
        return self.fails(max(rate, BROKEN_MOULD if self.rough else 0.0), "mould")

    def late_delivery(self) -> tuple[str, int] | None:
        """Return which material comes late and by how many days; None for none."""
        if not (self.rough and self.shop.materials and self.fails(LATE_DELIVERY, "delivery")):
            return None
        chance = self.apart.get("delivery", self.chance)
        return chance.choice(sorted(self.shop.materials)), chance.randint(*LATE_BY_DAYS)
