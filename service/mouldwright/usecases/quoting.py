"""A price for a quantity of a part by a process, or of a set, with its date and cautions."""

from __future__ import annotations

from decimal import Decimal

from mouldwright.domain.costing.price import Price, price_breaks, price_of, price_warnings
from mouldwright.domain.costing.set_cost import set_cost
from mouldwright.domain.costing.unit_cost import UnitCost, unit_cost
from mouldwright.domain.errors import CannotBeMade, Fault, InvalidInput
from mouldwright.domain.judgement import Judgement, judge
from mouldwright.domain.quote import Quote, QuoteBreak, cautions_for, quote_lines, valid_until
from mouldwright.domain.shop import Shop
from mouldwright.usecases.enquiry import Finish, check_quantity


def quote(
    shop: Shop, key: str, process: str | None, quantity: int, *, now: int, finish: Finish
) -> Quote:
    """Price so many of a part by a process, or of a set.

    Args:
        shop: Who quotes.
        key: Key of a part or of a set.
        process: Key of the process; None for a set.
        quantity: Good pieces wanted.
        now: Minutes since the epoch.
        finish: Gives the minute an order is ready.

    Raises:
        NotFound: if the shop has no such part or process.
        InvalidInput: if the quantity is no quantity, or a cost is unknown.
        CannotBeMade: if the part cannot be made so.
    """
    check_quantity(quantity)
    if key in shop.sets:
        return _quote_set(shop, key, quantity, now=now, finish=finish)
    part = shop.part(key)
    if process is None:
        raise InvalidInput(
            [
                Fault(
                    path="--process",
                    value="",
                    problem="a part is quoted by a process.",
                    remedy=f"Name one of: {', '.join(part.made_by)}.",
                )
            ]
        )
    by = shop.process(process)
    judged = judge(shop, part, by)
    if not judged.makeable:
        raise CannotBeMade(judged.reasons)

    def cost_at(pieces: int) -> UnitCost:
        return unit_cost(shop, part, by, pieces, charge=judged.charge)

    cost = cost_at(quantity)
    price = _priced(shop, cost)
    breaks = _breaks(shop, cost_at, quantity)
    materials = [c.material for c in judged.charge.constituents]
    return Quote(
        number=None,
        revision=1,
        part=key,
        process=process,
        lines=quote_lines(part.title, quantity, price),
        cost=cost,
        price=price,
        breaks=breaks,
        finish=finish(shop, key, process, quantity, now),
        finish_odds=_chance(cost),
        valid_until=valid_until(shop, now),
        cautions=cautions_for(shop, [by], materials, parts=[part]),
        notes=(*_judged_notes(judged), *price_warnings(breaks), *cost.notes),
    )
