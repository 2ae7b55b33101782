"""A price for a quantity of a part by a process, or of a set, with its date and cautions."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.cost_model import CostModel, cost_model
from mouldwright.domain.costing.price import Price, inversions, price_ladder, price_of, rise_at
from mouldwright.domain.costing.risk import CostOdds, cost_odds
from mouldwright.domain.costing.set_cost import set_cost
from mouldwright.domain.costing.unit_cost import UnitCost, cost_of
from mouldwright.domain.errors import CannotBeMade, Fault, HardLimit, InvalidInput
from mouldwright.domain.judgement import Judgement, judge
from mouldwright.domain.order import PartSet
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.quote import Quote, QuoteBreak, cautions_for, quote_lines, valid_until
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import fitted
from mouldwright.usecases.enquiry import Finish, check_quantity

# How the first note on a part begins that fails its requirement.
FAILS = "It does not meet what is asked of the part"
# A rise of less than this is not worth the reader's eye.
SMALLEST_RISE_SAID = Fraction(2, 100)


def quote(
    shop: Shop,
    key: str,
    process: str | None,
    quantity: int,
    *,
    now: int,
    finish: Finish,
    draws: int = 0,
) -> Quote:
    """Price so many of a part by a process, or of a set.

    Args:
        shop: Who quotes.
        key: Key of a part or of a set.
        process: Key of the process; None for a set.
        quantity: Good pieces wanted.
        now: Minutes since the epoch.
        finish: Says when an order is ready.
        draws: How often the cost is drawn to say what it may be; 0 leaves that out.

    Raises:
        NotFound: if the shop has no such part or process.
        InvalidInput: if the quantity is no quantity, or a cost is unknown.
        CannotBeMade: if the part cannot be made so.
    """
    check_quantity(quantity)
    if key in shop.sets:
        return _quote_set(shop, key, quantity, now=now, finish=finish, draws=draws)
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

    model = cost_model(shop, part, by, charge=judged.charge)
    cost = cost_of(model, quantity)
    price, ladder, notes = _priced(
        shop, cost, model.per_good_part, lambda n: model.starts(n).starts, looked_at=500
    )
    ready, undated = _ready(finish, shop, key, process, quantity, now)
    constituents = judged.charge.constituents if judged.charge else ()
    return Quote(
        number=None,
        revision=1,
        part=key,
        process=process,
        lines=quote_lines(part.title, quantity, price),
        cost=cost,
        price=price,
        breaks=ladder,
        finish=None if ready is None else ready.finish,
        finish_odds=_chance(cost, ready),
        odds=None if ready is None else ready.odds,
        cost_odds=_cost_odds([(model, quantity)], cost, price, draws),
        valid_until=valid_until(shop, now),
        cautions=cautions_for(shop, [by], [c.material for c in constituents], parts=[part]),
        notes=(*_judged_notes(judged), *notes, *undated),
    )


def _quote_set(
    shop: Shop, key: str, quantity: int, *, now: int, finish: Finish, draws: int
) -> Quote:
    sold = shop.sets[key]
    parts = [shop.part(each.part) for each in sold.parts]
    processes = [shop.process(each.process) for each in sold.parts]
    charges = {}
    judged_notes: list[str] = []
    for part, process in zip(parts, processes, strict=True):
        judged = judge(shop, part, process)
        if not judged.makeable:
            raise CannotBeMade(judged.reasons)
        charges[part.key, process.key] = judged.charge
        judged_notes.extend(f"{part.title}: {note}" for note in _judged_notes(judged))

    def per_set(sets: int) -> Fraction | None:
        return set_cost(shop, sold, sets, charges=charges).per_good_part

    def begun(sets: int) -> int:
        return set_cost(shop, sold, sets, charges=charges).starts

    cost = set_cost(shop, sold, quantity, charges=charges)
    price, ladder, notes = _priced(shop, cost, per_set, begun, looked_at=0)
    ready, undated = _ready(finish, shop, key, None, quantity, now)
    materials = [c.material for charge in charges.values() if charge for c in charge.constituents]
    return Quote(
        number=None,
        revision=1,
        part=key,
        process=None,
        lines=quote_lines(sold.title, quantity, price),
        cost=cost,
        price=price,
        breaks=ladder,
        finish=None if ready is None else ready.finish,
        finish_odds=_chance(cost, ready),
        odds=None if ready is None else ready.odds,
        cost_odds=_cost_odds(_models(shop, sold, quantity, charges), cost, price, draws),
        valid_until=valid_until(shop, now),
        cautions=cautions_for(shop, processes, materials, parts=parts),
        notes=(*judged_notes, *notes, *undated),
    )


def _models(
    shop: Shop, sold: PartSet, quantity: int, charges: Mapping[tuple[str, str], Charge]
) -> list[tuple[CostModel, int]]:
    """Return the cost model of each part of a set, and how many good ones are wanted."""
    return [
        (
            cost_model(
                shop,
                shop.part(each.part),
                shop.process(each.process),
                charge=charges[each.part, each.process],
            ),
            quantity * each.count,
        )
        for each in sold.parts
    ]


def _cost_odds(
    parts: list[tuple[CostModel, int]], cost: UnitCost, price: Price, draws: int
) -> CostOdds | None:
    if not draws or cost.total is None:
        return None
    return cost_odds(
        parts, quantity=cost.quantity, total=cost.total, net=Fraction(price.net), draws=draws
    )


def _ready(
    finish: Finish, shop: Shop, key: str, process: str | None, quantity: int, now: int
) -> tuple[ReadyBy | None, tuple[str, ...]]:
    """Return when it is ready, or None and why no plan can say: the price stands all the same."""
    try:
        return finish(shop, key, process, quantity, now), ()
    except HardLimit as limit:
        return None, tuple(f"No date can be promised: {reason}" for reason in limit.reasons)


def _priced(
    shop: Shop,
    cost: UnitCost,
    cost_at: Callable[[int], Fraction | None],
    starts_at: Callable[[int], int],
    *,
    looked_at: int,
) -> tuple[Price, tuple[QuoteBreak, ...], tuple[str, ...]]:
    """Return the price, the breaks, and what the person quoting should know of them.

    Quantities up to twice the one asked, and no more than ``looked_at``, are searched for a
    total that falls or a unit cost that rises.
    """
    each = cost.per_good_part
    if each is None:
        raise InvalidInput(
            Fault(
                path="materials",
                value="",
                problem=f"the cost is unknown: {reason}.",
                remedy="Nothing unknown is ever taken as free.",
            )
            for reason in cost.unknown
        )
    price = price_of(shop.price, shop.currency, each, cost.quantity)
    shown = {*shop.price.breaks, cost.quantity}
    near = range(1, min(2 * cost.quantity, looked_at) + 1)
    costs: Mapping[int, Fraction | None] = {n: cost_at(n) for n in sorted({*shown, *near})}
    whole = price_ladder(shop.price, shop.currency, costs)
    ladder = [p for p in whole if p.quantity in shown]
    found = inversions({p.quantity: p.net for p in whole})
    notes = [i.text for i in found if i.quantity in shown]
    # A much smaller order is no alternative to the one asked for.
    alike = {n: c for n, c in costs.items() if 4 * n >= 3 * cost.quantity}
    rise = rise_at(alike, cost.quantity)
    if rise is not None and rise.cost_each > rise.lower_cost_each * (1 + SMALLEST_RISE_SAID):
        notes.append(rise.text(shop.currency))
    notes.extend(cost.cautions)
    breaks = tuple(
        QuoteBreak(
            quantity=p.quantity,
            price_each=p.price_each,
            net=p.net,
            starts=starts_at(p.quantity),
        )
        for p in ladder
    )
    return price, breaks, tuple(notes)


def _chance(cost: UnitCost, ready: ReadyBy | None) -> Decimal:
    """Return the chance of the date; by the rate alone, that the parts begun are enough."""
    chance = cost.chance if ready is None or ready.chance is None else ready.chance
    return Decimal(str(round(chance, 4)))


def _judged_notes(judged: Judgement) -> tuple[str, ...]:
    notes = list(judged.warnings)
    counted = judged.counted
    if counted is not None and counted.by == "tests" and counted.learnt is not None:
        tests = len(counted.learnt.counting)
        notes.append(
            f"Stiffness rests on {tests} bench tests: {counted.share:.2f} of what is computed is "
            f"counted on."
        )
    if judged.meets_requirement is False:
        notes.insert(
            0,
            f"{FAILS}: "
            + ("; ".join(judged.reasons) or f"it bends {fitted(judged.deflection_mm)} mm")
            + ".",
        )
    return tuple(notes)
