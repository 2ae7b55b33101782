"""What an order saves because mixes, plates and loads are shared with booked orders of its kind.

Orders of the same part by the same process may share a batch. Counted as few batches as the
limits allow, the order and those booked together take no more than each by itself, and often
fewer: what a batch costs in hands, overhead and lost resin is then saved once.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.costing.cost_model import CostModel
from mouldwright.domain.costing.scrap import Starts
from mouldwright.domain.order import Order
from mouldwright.domain.quantity import divide_up

# Counts that depend on how members are batched: batches, grams mixed, sizes squared.
_OF_BATCHES = ("batches ", "grams ", "squares ")


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedSetUp:
    """Batches that an order does not need of its own.

    Attributes:
        orders: Numbers of the booked orders it could share with.
        batches: How many fewer there are together than apart.
        saved: Exact money they would have cost.
    """

    orders: tuple[str, ...]
    batches: int
    saved: Fraction


def shared_set_up(model: CostModel, quantity: int, booked: Iterable[Order]) -> SharedSetUp | None:
    """Return what an order saves on top of what is booked; None where nothing is shared.

    Args:
        model: Of the part by the process.
        quantity: Good parts wanted.
        booked: Every open order; those of another part or process share nothing.
    """
    process = model.routing.process.key
    alike = [o for o in booked if (o.part, o.process) == (model.part, process)]
    if not alike:
        return None
    own = model.starts(quantity)
    theirs = [_starts(model, order) for order in alike]
    together = own.of_pulls(_pulls(own) + sum(_pulls(each) for each in theirs))
    before = theirs[0].of_pulls(sum(_pulls(each) for each in theirs))
    apart = [model.counts(own), model.counts(before)]
    whole = model.counts(together)
    fewer = {
        name: apart[0][name] + apart[1][name] - count
        for name, count in whole.items()
        if name.startswith(_OF_BATCHES)
    }
    saved = sum((model.money.get(name, Fraction(0)) * n for name, n in fewer.items()), Fraction(0))
    batches = sum(n for name, n in fewer.items() if name.startswith("batches "))
    if saved <= 0 or batches <= 0:
        return None
    return SharedSetUp(
        orders=tuple(order.number for order in alike), batches=int(batches), saved=saved
    )


def _starts(model: CostModel, order: Order) -> Starts:
    starts = model.starts(order.quantity)
    if order.starts is None:
        return starts
    return starts.of_pulls(divide_up(order.starts, model.routing.parts_each))


def _pulls(starts: Starts) -> int:
    return starts.pulls or starts.starts
