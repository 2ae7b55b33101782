"""Every group of cost with what is charged for it, zeros too, so that nothing is forgotten."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.lines import KINDS
from mouldwright.domain.costing.unit_cost import UnitCost

# Where each group is written down in a shop.
_WRITTEN = {
    "labour": "people.*.wage_per_hour",
    "conditioning": "processes.*.operations, per conditioning",
    "material": "materials, suppliers.*.offers",
    "consumables": "processes.*.consumables, sessions.*.consumables",
    "tooling": "moulds.*.cost",
    "station": "stations.*.cost_per_hour",
    "packaging": "shop.packaging_per_part",
    "overhead": "shop.overhead_per_hour",
    "freight": "shop.outbound.per_order",
    "returns": "shop.outbound.returns_share",
    "payment fee": "shop.price.payment_fee_rate",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CostCheck:
    """One group.

    Attributes:
        group: A kind of cost line, its freight and returns apart, or the fee of being paid.
        amount: Exact money for the whole order; None where it is unknown.
        written: The keys of a scenario that it comes from.
    """

    group: str
    amount: Fraction | None
    written: str

    @property
    def is_charged(self) -> bool:
        """Return whether anything is charged for it; what is unknown is not nothing."""
        return self.amount != 0


def checklist(cost: UnitCost, payment_fee: Decimal) -> tuple[CostCheck, ...]:
    """Return every group with what an order is charged for it.

    All but the last add up to the cost; the fee is what being paid costs, which the price
    recovers.
    """
    found = cost.by_kind()
    sums: dict[str, Fraction | None] = {kind: found.get(kind, Fraction(0)) for kind in KINDS}
    outbound = sums.pop("outbound")
    returns = sum(
        ((line.amount or Fraction(0)) for line in cost.lines if line.moves_with == "returns"),
        Fraction(0),
    )
    groups: dict[str, Fraction | None] = {
        **sums,
        "freight": None if outbound is None else outbound - returns,
        "returns": returns,
        "payment fee": Fraction(payment_fee),
    }
    return tuple(
        CostCheck(group=group, amount=amount, written=_WRITTEN[group])
        for group, amount in groups.items()
    )
