"""A price for a quantity of a part by a process, or of a set, with its date and cautions."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.cost_model import CostModel, cost_model
from mouldwright.domain.costing.left_over import said_of_mixes
from mouldwright.domain.costing.matching import good_pieces
from mouldwright.domain.costing.material_wait import arrivals_said, waits_of_one_more
from mouldwright.domain.costing.price import (
    Inversion,
    Price,
    inversions,
    price_ladder,
    price_of,
    rise_at,
)
from mouldwright.domain.costing.risk import CostOdds, cost_odds
from mouldwright.domain.costing.set_cost import set_cost
from mouldwright.domain.costing.shared_set_up import SharedSetUp, shared_set_up
from mouldwright.domain.costing.unit_cost import UnitCost, cost_of
from mouldwright.domain.errors import CannotBeMade, Fault, InvalidInput
from mouldwright.domain.judgement import Judgement, judge
from mouldwright.domain.offer_lines import further_cost, goods_lines, offered
from mouldwright.domain.order import PartSet
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.quote import Quote, QuoteBreak, cautions_for, valid_until
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import fitted
from mouldwright.domain.terms import USUAL, Terms, check_terms
from mouldwright.usecases.delivering import Dated, dated
from mouldwright.usecases.enquiry import Finish, check_quantity
from mouldwright.usecases.spares import pack_of, spare_prices

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
    terms: Terms = USUAL,
    due: datetime | None = None,
    hurried: Finish | None = None,
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
        terms: What is agreed beside part and quantity.
        due: When an order that is not split is wanted; None for as soon as can be promised.
        hurried: Says when an order is ready that goes before the others; None as ``finish``.

    Raises:
        NotFound: if the shop has no such part or process.
        InvalidInput: if the quantity is no quantity, a cost is unknown, or terms cannot be kept.
        CannotBeMade: if the part cannot be made so.
    """
    check_quantity(quantity)
    check_terms(terms, shop.price, shop.currency, quantity, due=due)

    def when() -> Dated:
        return dated(
            shop,
            key,
            process,
            quantity,
            terms,
            due=due,
            now=now,
            finish=finish,
            hurried=hurried or finish,
        )

    if key in shop.sets:
        process = None
        return _quote_set(shop, key, quantity, terms, when, now=now, draws=draws)
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
    price, ladder, notes, dearer = _priced(
        shop, cost, model.per_good_part, lambda n: model.starts(n).starts, looked_at=500
    )
    constituents = judged.charge.constituents if judged.charge else ()
    waits = waits_of_one_more(shop, key, process, quantity, now=now)
    priced = Quote(
        number=None,
        revision=1,
        part=key,
        process=process,
        lines=(),
        cost=cost,
        price=price,
        breaks=ladder,
        finish=None,
        finish_odds=None,
        valid_until=valid_until(shop, now),
        cautions=cautions_for(shop, [by], [c.material for c in constituents], parts=[part]),
        notes=(
            *_judged_notes(judged),
            *notes,
            *said_of_mixes(shop, cost.mixes),
            *arrivals_said(shop, waits),
        ),
        inversions=dearer,
        shared=shared_set_up(model, quantity, shop.orders),
        lacking=waits,
    )
    return _settled(shop, priced, part.title, terms, when(), [(model, quantity)], draws)


def _quote_set(
    shop: Shop,
    key: str,
    quantity: int,
    terms: Terms,
    when: Callable[[], Dated],
    *,
    now: int,
    draws: int,
) -> Quote:
    sold = shop.sets[key]
    parts = [shop.part(each.part) for each in sold.parts]
    processes = [shop.process(each.process) for each in sold.parts]
    charges: dict[tuple[str, str], Charge | None] = {}
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
    price, ladder, notes, dearer = _priced(shop, cost, per_set, begun, looked_at=0)
    materials = [c.material for charge in charges.values() if charge for c in charge.constituents]
    waits = waits_of_one_more(shop, key, None, quantity, now=now)
    priced = Quote(
        number=None,
        revision=1,
        part=key,
        process=None,
        lines=(),
        cost=cost,
        price=price,
        breaks=ladder,
        finish=None,
        finish_odds=None,
        valid_until=valid_until(shop, now),
        cautions=cautions_for(shop, processes, materials, parts=parts),
        notes=(*judged_notes, *notes, *arrivals_said(shop, waits)),
        inversions=dearer,
        lacking=waits,
    )
    models = _models(shop, sold, quantity, charges)
    return _settled(shop, priced, sold.title, terms, when(), models, draws)


def _settled(
    shop: Shop,
    priced: Quote,
    title: str,
    terms: Terms,
    when: Dated,
    models: list[tuple[CostModel, int]],
    draws: int,
) -> Quote:
    """Return a priced quote with the customer's lines, its dates and its odds."""
    cost, each = priced.cost, priced.price
    lots = when.lots(cost.quantity)
    pack = pack_of(shop, priced.part, terms, lots)
    goods = goods_lines(title, each, lots, pack=pack)
    saved = priced.shared.saved if priced.shared else Fraction(0)
    lines, price = offered(shop, each, goods, terms, lots, shared=saved)
    ready = when.ready
    return replace(
        priced,
        lines=lines,
        price=price,
        finish=None if ready is None else ready.finish,
        finish_odds=_chance(cost, ready),
        odds=None if ready is None else ready.odds,
        cost_odds=_cost_odds(models, cost, Fraction(price.net) - further_cost(shop, lots), draws),
        notes=(*priced.notes, *_shared_note(shop, priced.shared), *when.notes),
        deliveries=when.deliveries,
        rush_option=when.rush_option(price.price_each, shop),
        terms=terms,
        spares=spare_prices(shop, priced.part, priced.process),
    )


def _shared_note(shop: Shop, shared: SharedSetUp | None) -> tuple[str, ...]:
    """Say what sharing set-up with booked orders saves, and who has it."""
    if shared is None:
        return ()
    money = shop.currency
    has = "taken off the price" if shop.price.shared_set_up == "given" else "kept by the shop"
    many = "mix or load" if shared.batches == 1 else "mixes or loads"
    return (
        f"Shared with order{'s' if len(shared.orders) > 1 else ''} {', '.join(shared.orders)}, "
        f"{shared.batches} {many} fewer would do: {money.text(money.round(shared.saved))} "
        f"{money.code} of cost, {has}.",
    )


def _models(
    shop: Shop, sold: PartSet, quantity: int, charges: Mapping[tuple[str, str], Charge | None]
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
            pieces,
        )
        for each, pieces in zip(sold.parts, good_pieces(shop, sold, quantity), strict=True)
    ]


def _cost_odds(
    parts: list[tuple[CostModel, int]], cost: UnitCost, net: Fraction, draws: int
) -> CostOdds | None:
    if not draws or cost.total is None:
        return None
    return cost_odds(parts, quantity=cost.quantity, total=cost.total, net=net, draws=draws)


def _priced(
    shop: Shop,
    cost: UnitCost,
    cost_at: Callable[[int], Fraction | None],
    starts_at: Callable[[int], int],
    *,
    looked_at: int,
) -> tuple[Price, tuple[QuoteBreak, ...], tuple[str, ...], tuple[Inversion, ...]]:
    """Return the price, the breaks, what the person quoting should know, and what more costs less.

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
    with_tax = shop.price.tax_included
    found = inversions({p.quantity: p.gross if with_tax else p.net for p in whole})
    dearer = tuple(i for i in found if i.quantity in shown)
    notes = [i.text for i in dearer]
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
            gross=p.gross,
            starts=starts_at(p.quantity),
        )
        for p in ladder
    )
    return price, breaks, tuple(notes), dearer


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
        bends = (
            "" if judged.deflection_mm is None else f"it bends {fitted(judged.deflection_mm)} mm"
        )
        notes.insert(0, f"{FAILS}: {'; '.join(judged.reasons) or bends}.")
    return tuple(notes)
