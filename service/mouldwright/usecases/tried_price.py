"""What an order that is tried would be quoted at, and what it costs, as a quote has it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.errors import CannotBeMade, HardLimit, InvalidInput
from mouldwright.domain.judgement import judge
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.shop import Shop
from mouldwright.usecases.quoting import quote


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedPrice:
    """The price of an order and its cost to the shop.

    Attributes:
        price_each, net: What a quote asks; None where none can be made.
        total: Exact cost; None with them.
        reasons: Why there is none, in sentences.
    """

    price_each: Decimal | None = None
    net: Decimal | None = None
    total: Fraction | None = None
    reasons: tuple[str, ...] = ()


def price_of_tried(
    shop: Shop, key: str, process: str | None, quantity: int, *, now: int
) -> TriedPrice:
    """Return what a quote would ask for so many of a part or a set; never raises for a cost."""

    def not_asked(*_: object) -> ReadyBy:
        return ReadyBy(finish=now)

    try:
        made = quote(shop, key, process, quantity, now=now, finish=not_asked)
    except InvalidInput as error:
        return TriedPrice(reasons=tuple(str(fault) for fault in error.faults))
    except (CannotBeMade, HardLimit) as limit:
        return TriedPrice(reasons=limit.reasons)
    return TriedPrice(price_each=made.price.price_each, net=made.price.net, total=made.cost.total)


def processes_that_will_do(
    shop: Shop, key: str, process: str | None
) -> tuple[tuple[str, ...], dict[str, tuple[str, ...]]]:
    """Return the other processes that may make a part, and why the rest may not.

    A set names the processes of its parts itself, so that it has no others.
    """
    if key in shop.sets or process is None:
        return (), {}
    part = shop.part(key)
    fit: list[str] = []
    unfit: dict[str, tuple[str, ...]] = {}
    for other in part.made_by:
        if other == process or other not in shop.processes:
            continue
        judged = judge(shop, part, shop.processes[other])
        if judged.makeable and judged.meets_requirement is not False:
            fit.append(other)
        else:
            unfit[other] = judged.reasons or ("it does not meet what is asked of the part",)
    return tuple(fit), unfit
