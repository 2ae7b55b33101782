"""Whether the moulds at hand last for an order and for all that is booked before it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.costing.matching import good_pieces
from mouldwright.domain.costing.tooling import lives_left
from mouldwright.domain.part.mass import charge
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.record.mould_ledger import moulds_as_they_stand
from mouldwright.domain.record.pulls import PullEnd, pulls_taken
from mouldwright.domain.shop import Shop

# Ends of a pull that leave nothing to sell.
_LOST: frozenset[PullEnd] = frozenset(("stopped", "scrapped", "lost with its mould"))


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldNeed:
    """What moulds have left of their lives, and what is asked of them.

    Attributes:
        family: The moulds new ones would be like.
        left: Pulls left in all that serve, as the log left them.
        wanted: Pulls of the order, and those of all that is booked that the log has not taken.
        more: Whole moulds missing; 0 where those at hand last.
    """

    family: MouldFamily
    left: int
    wanted: int
    more: int

    def words(self, process: str) -> str:
        """Return what is missing, and what would do."""
        many = f"{self.more} more mould{'s' if self.more > 1 else ''}"
        return (
            f"{process}: {self.family.key} has {self.left} pulls left and {self.wanted} are "
            f"wanted; {many} {self.family.key} would do."
        )


def mould_need(shop: Shop, part: str, process: str, quantity: int) -> MouldNeed | None:
    """Return what an order asks of moulds beside all that is booked; None where none wears out.

    Args:
        shop: With its open orders.
        part: Key of what is made.
        process: Key of how.
        quantity: Good ones wanted beside what is booked.

    Raises:
        HardLimit: if what one pull takes passes a limit.
    """
    families = shop.families(part, process) if shop.process(process).uses_mould else ()
    taken: Counter[str] = Counter()
    if families and shop.log:
        standing = moulds_as_they_stand(shop)
        families = tuple(standing[family.key] for family in families)
        taken = _taken(shop, part, process)
    lives = [life for family in families for life in lives_left(family)]
    if not families or None in lives or families[0].life_pulls is None:
        return None
    family = families[0]
    by = shop.process(process)
    model = cost_model(shop, shop.part(part), by, charge=charge(shop, shop.part(part), by))
    wanted = model.starts(quantity).pulls
    for number, pieces in _booked(shop, part, process):
        wanted += max(model.starts(pieces).pulls - taken[number], 0)
    left = sum(life for life in lives if life is not None)
    # The first pulls of a new mould prove it and make nothing.
    life = max((family.life_pulls or 0) - family.proof_pulls, 1)
    more = max(-(-(wanted - left) // life), 0)
    return MouldNeed(family=family, left=left, wanted=wanted, more=more)


def _taken(shop: Shop, part: str, process: str) -> Counter[str]:
    """Return how many pulls the log has taken for each order; one that was lost is taken again."""
    return Counter(
        pull.order
        for pull in pulls_taken(shop, shop.log)
        if (pull.part, pull.process) == (part, process) and pull.end not in _LOST
    )


def _booked(shop: Shop, part: str, process: str) -> Iterator[tuple[str, int]]:
    """Yield each open order's number and the good ones it wants of a part by a process."""
    for order in shop.orders:
        sold = shop.sets.get(order.part)
        if sold is None:
            if (order.part, order.process) == (part, process):
                yield order.number, order.quantity
            continue
        made = good_pieces(shop, sold, order.quantity)
        for each, pieces in zip(sold.parts, made, strict=True):
            if (each.part, each.process) == (part, process):
                yield order.number, pieces
