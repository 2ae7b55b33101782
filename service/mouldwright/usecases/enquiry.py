"""An enquiry answered: the processes for a part compared, on top of what is booked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from mouldwright.domain.compare import (
    LARGEST_QUANTITY_SWEPT,
    Choice,
    Comparison,
    crossovers,
    recommend,
    unbeaten,
    winners,
)
from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.costing.left_over import said_of_mixes
from mouldwright.domain.costing.matching import good_pieces
from mouldwright.domain.costing.material_wait import (
    KnownDrawn,
    arrivals_said,
    day_begins,
    waits_of_one_more,
)
from mouldwright.domain.costing.mould_need import mould_need
from mouldwright.domain.costing.price import price_of
from mouldwright.domain.costing.risk import CostOdds, cost_odds
from mouldwright.domain.costing.unit_cost import unit_cost, unit_costs
from mouldwright.domain.errors import CannotBeMade, Fault, HardLimit, InvalidInput
from mouldwright.domain.judgement import Judgement, judge
from mouldwright.domain.lead_time import lead_time
from mouldwright.domain.part.mass import charge as charge_of
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.process import Process
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.rate import rate
from mouldwright.domain.shop import Shop
from mouldwright.domain.standing import Aim
from mouldwright.domain.switching.find import WhatChanges
from mouldwright.domain.switching.find import what_changes as switching_values
from mouldwright.domain.switching.input import Enquiry
from mouldwright.usecases.held import NOTHING_HELD, Held
from mouldwright.usecases.would_pass import what_would_pass

LARGEST_QUANTITY = 100_000

# Says when an order is ready: shop, part, process, quantity, now.
Finish = Callable[[Shop, str, str | None, int, int], ReadyBy]
# The same, beside what a bench works by.
FinishBeside = Callable[[Shop, str, str | None, int, int, Held], ReadyBy]


def beside(finish: FinishBeside, held: Held) -> Finish:
    """Return what says when an order is ready beside what is held."""

    def ready(shop: Shop, key: str, process: str | None, quantity: int, now: int) -> ReadyBy:
        return finish(shop, key, process, quantity, now, held)

    return ready


def compare(
    shop: Shop,
    part_key: str,
    quantity: int,
    *,
    now: int,
    finish: Finish,
    by: int | None = None,
    draws: int = 0,
    swept: int = LARGEST_QUANTITY_SWEPT,
) -> Comparison:
    """Set every process that may make a part side by side.

    Args:
        shop: Where it is made.
        part_key: What is made.
        quantity: Good parts wanted.
        now: Minutes since the epoch.
        finish: Says when an order is ready.
        by: Minute the parts are wanted, None where there is no date.
        draws: How often each cost is drawn to say what it may be; 0 leaves that out.
        swept: Up to which quantity costs are worked out and crossovers looked for.

    Raises:
        NotFound: if the shop has no such part.
        InvalidInput: if the quantity is not a whole number from 1 to ``LARGEST_QUANTITY``.
    """
    check_quantity(quantity)
    _check_is_no_set(shop, part_key)
    part = shop.part(part_key)
    choices = []
    sweep = {}
    drawn: KnownDrawn = {}
    for key in part.made_by:
        process = shop.process(key)
        judged = judge(shop, part, process)
        choice = _choice(shop, part, process, judged, quantity, now, finish, drawn)
        choices.append(
            replace(
                choice,
                would_pass=what_would_pass(
                    shop, part, process, quantity, now=now, judged=choice.judgement
                ),
                cost_odds=_cost_odds(shop, part, process, choice, draws),
            )
        )
        if judged.makeable and judged.meets_requirement is not False:
            sweep[key] = _costs(shop, part, process, judged, swept)
    passing = [choice for choice in choices if choice.passes]
    return Comparison(
        part=part_key,
        quantity=quantity,
        choices=tuple(choices),
        unit_costs=sweep,
        crossovers=crossovers(sweep),
        winners=winners(passing),
        unbeaten=unbeaten(passing),
        recommended=recommend(choices, by=by),
    )


def what_changes(
    shop: Shop,
    part_key: str,
    quantity: int,
    *,
    now: int,
    aim: Aim = "recommended",
    by: int | None = None,
) -> WhatChanges:
    """Return what would change which process is best; dates are by the rate alone.

    Args:
        shop: Where it is made.
        part_key: What is made.
        quantity: Good parts wanted.
        now: Minutes since the epoch.
        aim: What it is the best of.
        by: Minute the parts are wanted, None where there is no date.

    Raises:
        NotFound: if the shop has no such part.
        InvalidInput: if the quantity is not a whole number from 1 to ``LARGEST_QUANTITY``.
    """
    check_quantity(quantity)
    _check_is_no_set(shop, part_key)
    enquiry = Enquiry(shop=shop, part=shop.part(part_key).key, quantity=quantity)
    return switching_values(enquiry, now=now, aim=aim, by=by)


def _check_is_no_set(shop: Shop, part_key: str) -> None:
    if part_key in shop.sets:
        raise InvalidInput(
            [
                Fault(
                    path="--part",
                    value=part_key,
                    problem="that is a set, whose parts name their own processes.",
                    remedy="Quote the set, or compare one of its parts.",
                )
            ]
        )


def _cost_odds(
    shop: Shop, part: Part, process: Process, choice: Choice, draws: int
) -> CostOdds | None:
    """Return what an order may cost; None where that is not asked or its cost is unknown."""
    cost, price = choice.cost, choice.price
    if not draws or cost is None or price is None or cost.total is None:
        return None
    model = cost_model(shop, part, process, charge=choice.judgement.charge)
    return cost_odds(
        [(model, cost.quantity)],
        quantity=cost.quantity,
        total=cost.total,
        net=Fraction(price.net),
        draws=draws,
    )


def _ready(
    shop: Shop, process: str, part: str, quantity: int, now: int, finish: Finish
) -> tuple[ReadyBy | None, tuple[str, ...]]:
    """Return when it is ready, or None and why no plan can say."""
    try:
        return finish(shop, part, process, quantity, now), ()
    except HardLimit as limit:
        return None, limit.reasons


def _costs(
    shop: Shop, part: Part, process: Process, judged: Judgement, swept: int
) -> tuple[Fraction | None, ...]:
    """Return the cost of one good part for every quantity swept, none where a limit forbids it."""
    try:
        quantities = range(1, swept + 1)
        return unit_costs(shop, part, process, quantities, charge=judged.charge)
    except HardLimit:
        return ()


def finish_by_rate(
    shop: Shop,
    key: str,
    process: str | None,
    quantity: int,
    now: int,
    _held: Held = NOTHING_HELD,
) -> ReadyBy:
    """Return when an order would be ready by the rate alone, booked work left out.

    What is booked counts for moulds alone: no plan can pull from what is worn out by then.

    A set is ready when the last of its parts is; work on the set itself is left out. Where the
    shop keeps a stock, it begins the day the last of its material is there.

    Raises:
        HardLimit: if a step fits no opening, one pull passes a limit, nothing brings a
            material that is short, or moulds do not last and the shop makes none.
    """
    for wait in waits_of_one_more(shop, key, process, quantity, now=now):
        if wait.there_on is None:
            raise HardLimit([f"{wait.words(shop)}, and nothing brings it"])
        now = max(now, day_begins(shop, wait.there_on))
    if process is not None:
        wanted = [(key, process, quantity)]
    else:
        sold = shop.sets[key]
        made = good_pieces(shop, sold, quantity)
        wanted = [(s.part, s.process, n) for s, n in zip(sold.parts, made, strict=True)]
    finishes = []
    for part_key, process_key, pieces in wanted:
        part, by = shop.part(part_key), shop.process(process_key)
        need = mould_need(shop, part_key, process_key, pieces)
        if need is not None and need.more and not need.family.made_by:
            raise HardLimit([need.words(process_key)])
        charge = charge_of(shop, part, by)
        starts = cost_model(shop, part, by, charge=charge).starts(pieces).starts
        finishes.append(lead_time(shop, part, by, starts, now=now, charge=charge).finish)
    return ReadyBy(finish=max(finishes))


def check_quantity(quantity: int) -> None:
    """Raise InvalidInput where a quantity is not from 1 to ``LARGEST_QUANTITY``."""
    if not 1 <= quantity <= LARGEST_QUANTITY:
        raise InvalidInput(
            [
                Fault(
                    path="--quantity",
                    value=str(quantity),
                    problem="that is no quantity to make.",
                    remedy=f"Give a whole number from 1 to {LARGEST_QUANTITY}.",
                )
            ]
        )


def _choice(
    shop: Shop,
    part: Part,
    process: Process,
    judged: Judgement,
    quantity: int,
    now: int,
    finish: Finish,
    drawn: KnownDrawn,
) -> Choice:
    families = shop.families(part.key, process.key)
    moulds = sum(len(family.moulds) for family in families) if process.uses_mould else 0
    need = None
    cost = price = rated = None
    ready: ReadyBy | None = None
    undated: tuple[str, ...] = ()
    if judged.makeable:
        try:
            cost = unit_cost(shop, part, process, quantity, charge=judged.charge)
            if cost.per_good_part is not None:
                price = price_of(shop.price, shop.currency, cost.per_good_part, quantity)
            rated = rate(shop, part, process, charge=judged.charge, now=now)
        except (CannotBeMade, HardLimit) as limit:
            judged = judged.cannot_be_made(limit.reasons)
            cost = price = rated = None
    if cost is not None:
        words = (
            *said_of_mixes(shop, cost.mixes),
            *arrivals_said(
                shop,
                waits_of_one_more(shop, part.key, process.key, quantity, now=now, known=drawn),
            ),
        )
        judged = replace(judged, warnings=(*judged.warnings, *words))
    if judged.makeable:
        need = mould_need(shop, part.key, process.key, quantity)
        ready, undated = _ready(shop, process.key, part.key, quantity, now, finish)
        said = (f"No date: {reason}" for reason in undated)
        judged = replace(judged, warnings=(*judged.warnings, *said))
    return Choice(
        process=process.key,
        title=process.title,
        judgement=judged,
        cost=cost,
        price=price,
        rate=rated,
        finish=None if ready is None else ready.finish,
        lead_time_min=None if ready is None else ready.finish - now,
        ready=ready,
        undated=undated,
        moulds=moulds,
        moulds_to_make=need.more if need is not None else cost.new_moulds if cost else 0,
    )
