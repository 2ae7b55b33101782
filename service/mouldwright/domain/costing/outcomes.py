"""Good, second or scrap: what becomes of the parts begun, and what seconds bring."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.scrap import good_rates
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import Exact, exact


@dataclass(frozen=True, slots=True, kw_only=True)
class Seconds:
    """The parts of an order that come out as seconds, on average.

    Attributes:
        expected: Mean number of them.
        price_each: What one is sold at; None where the part states no such price, or parts
            of several prices are among them.
        brought: What those of several prices bring together; None where one has no price.
    """

    expected: Fraction
    price_each: Decimal | None
    brought: Fraction | None = None

    @property
    def income(self) -> Fraction | None:
        """Return what they would bring, None where no price is stated."""
        if self.price_each is None:
            return self.brought
        return self.expected * Fraction(self.price_each)


def second_rate(process: Process, loss_rate: Exact = 0) -> Fraction:
    """Return the chance that a part begun comes out as a second.

    It passes every operation as good or as a second, and at least one as a second: the
    product of (good + second) over the operations, less the product of good alone. A mended
    part is good.

    Raises:
        InvalidInput: if a good rate cannot be right.
    """
    good = good_rates(process, loss_rate).each
    if not good:
        return Fraction(0)
    found = Fraction(1)
    for operation in process.operations:
        if operation.second_rate and not operation.rework:
            share, passed = exact(operation.applies_to_share), exact(operation.good_rate)
            as_good = 1 - share * (1 - passed)
            found *= (as_good + share * exact(operation.second_rate)) / as_good
    return good * (found - 1)
