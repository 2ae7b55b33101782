"""What if we said yes? One more order in a sandbox: when it is ready and which promises move.

Nothing is kept. What has begun stays, and the plan that holds is kept to where it can be. With
options the other ways to take the order are planned and priced too.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from mouldwright.domain.costing.matching import good_pieces
from mouldwright.domain.costing.material_wait import arrivals_said, waits_of_one_more
from mouldwright.domain.costing.mould_need import mould_need
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.order import Order
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.shop import Shop
from mouldwright.planning.gains import TriedOrder, shifts_between
from mouldwright.planning.plan import Plan
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.enquiry import check_quantity
from mouldwright.usecases.errors import TooMuchToPlan
from mouldwright.usecases.lead_times import MOST_PARTS, parts_of
from mouldwright.usecases.pinned_plan import Kept, kept_by_pins, plan_that_holds
from mouldwright.usecases.present import wanted_by
from mouldwright.usecases.services import Services
from mouldwright.usecases.tried_price import price_of_tried, processes_that_will_do

if TYPE_CHECKING:
    from mouldwright.planning.more.trying import Tried

NEW = "this one"
# Looked for a better plan while someone waits, seconds.
SECONDS = 1.0
# Each other way is gone through so often for its odds: off by seven in a hundred at most, mostly.
RUNS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """An order that is not accepted yet."""

    part: str
    process: str | None
    quantity: int
    due: datetime | None = None
    weight: int = 1


def try_order(
    shop: Shop,
    wanted: Wanted,
    *,
    now: int,
    held: Plan | None = None,
    seconds: float = SECONDS,
    seed: int = 1,
    options: bool = False,
    kept: Kept | None = None,
    progress: Callable[[int, int, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> TriedOrder:
    """Plan a shop with one more order.

    Args:
        shop: With its open orders.
        wanted: The order to try.
        now: Minutes since the epoch.
        held: The plan that holds; None to make one first.
        seconds: How long to look for a better plan; with options, for each of them.
        seed: Same seed, same search.
        options: Whether to plan and price the other ways to take it too, side by side.
        kept: What pins keep.
        progress: Told how many plans of how many are made, and which was made last.
        cancelled: Asked again and again; True ends with what there is.

    Raises:
        NotFound: if there is no such part or process.
        InvalidInput: if the quantity cannot be.
        HardLimit: if no plan can exist.
    """
    # The planner is slow to import, and most questions do not need it.
    from mouldwright.planning.explain import Explainer
    from mouldwright.planning.more.trials import Effort
    from mouldwright.planning.more.trying import try_order as plan_with
    from mouldwright.usecases.tried_options import options_of

    check_quantity(wanted.quantity)
    order = _order(wanted)
    priced, (shop, moulds) = shop, with_moulds_to_come(shop, wanted)
    fit, unfit = processes_that_will_do(shop, wanted.part, wanted.process) if options else ((), {})
    tried = plan_with(
        shop,
        order,
        now=now,
        held=held,
        effort=Effort(
            seconds=seconds,
            tries=None,
            seed=seed,
            processes=None if options else 0,
            runs=RUNS,
        ),
        otherwise=fit if options else None,
        progress=progress,
        cancelled=cancelled,
        **(kept or {}),
    )
    as_asked = tried.as_asked
    promise = as_asked.promise(NEW)
    if as_asked.plan is None or promise is None:
        raise ValueError("what has no plan is refused before, and a plan is gone through")
    new = as_asked.order(NEW)
    quoted = ReadyBy.by(tried.quoted.order_odds)
    differs = _why_quoted_otherwise(tried, new.due, planned=held is not None)
    # Two plans that promise the same minute are no two answers.
    differs = differs if quoted.finish != promise.finish else ""
    price = price_of_tried(priced, wanted.part, wanted.process, wanted.quantity, now=now)
    return TriedOrder(
        part=wanted.part,
        process=wanted.process,
        quantity=wanted.quantity,
        finish=new.finish,
        due=new.due,
        shifts=shifts_between(tried.held.orders, as_asked.orders),
        kept=as_asked.kept,
        moved=as_asked.moved,
        starts=new.starts,
        because=Explainer(tried.shop, as_asked.plan).because(NEW),
        zone=shop.zone,
        currency=shop.currency,
        chance=as_asked.chance(NEW),
        promise=promise,
        quote_promise=quoted if differs else None,
        quote_differs=differs,
        price_each=price.price_each,
        net=price.net,
        unpriced=price.reasons,
        options=options_of(shop, tried, order, price, unfit, now=now) if options else None,
        left_out=tried.left_out,
        moulds=moulds,
        arrivals=arrivals_said(
            shop, waits_of_one_more(shop, wanted.part, wanted.process, wanted.quantity, now=now)
        ),
    )


def _why_quoted_otherwise(tried: Tried, due: int | None, *, planned: bool) -> str:
    """Return why a quote goes by another plan than the one shown; empty where it does not."""
    shown, quoted = tried.as_asked.plan, tried.quoted.found
    if shown is None or shown.tasks == quoted.plan.tasks:
        return ""
    if not planned:
        return (
            "No plan is published, so a quote plans every open order anew with this one among "
            "them; here it goes in beside a plan that is made first. Publish a plan, and both "
            "go by it."
        )
    wanted = " to have it by its date" if due is not None else ""
    return (
        f"A quote lets no other order give way: {_moves_said(quoted.moved)} for it, "
        f"{_moves_said(tried.as_asked.moved)} here{wanted}."
    )


def _moves_said(moved: int) -> str:
    """Return how many tasks move, in words: "1 task moves", "no task moves"."""
    if moved == 1:
        return "1 task moves"
    return f"{moved} tasks move" if moved else "no task moves"


def with_moulds_to_come(shop: Shop, wanted: Wanted) -> tuple[Shop, tuple[str, ...]]:
    """Return the shop with the moulds an order takes beyond those that last, and what they are.

    Where the shop makes its own they are made in the plan, so that none is added here.
    """
    from mouldwright.planning.more.changes import mould_cost, usable_moulds, with_moulds

    if wanted.process is not None:
        made = [(wanted.part, wanted.process, wanted.quantity)]
    else:
        sold = shop.sets.get(wanted.part)
        parts = sold.parts if sold is not None else ()
        pieces = good_pieces(shop, sold, wanted.quantity) if sold is not None else ()
        made = [(p.part, p.process, n) for p, n in zip(parts, pieces, strict=True)]
    said = []
    for part, process, quantity in made:
        need = mould_need(shop, part, process, quantity)
        if need is None or not need.more or need.family.made_by is not None:
            continue
        family, cost = need.family, mould_cost(shop, need.family)
        each = (
            ""
            if cost is None
            else f" at {shop.currency.code} {shop.currency.text(shop.currency.round(cost))} each"
        )
        said.append(
            f"{family.key} has {need.left} pulls left and {need.wanted} are wanted: planned with "
            f"{need.more} more{each}, counted as at hand from now on; add what they take to come."
        )
        shop = with_moulds(shop, family, usable_moulds(family) + need.more)
    return shop, tuple(said)


def _order(wanted: Wanted) -> Order:
    return Order(
        number=NEW,
        part=wanted.part,
        process=wanted.process,
        quantity=wanted.quantity,
        due=wanted.due,
        weight=wanted.weight,
        awaits_material=True,
    )


def try_order_of(
    services: Services,
    key: str,
    *,
    part: str,
    process: str | None,
    quantity: int,
    by: str | None,
    weight: int = 1,
) -> TriedOrder:
    """Try an order on top of all that is booked in a shop, beside the plan that holds.

    Raises:
        Unknown: if there is no such shop.
        NotFound: if it has no such part or process.
        InvalidInput: if a date or quantity cannot be.
        TooMuchToPlan: if more is open than is planned while someone waits.
        HardLimit: if no plan can exist.
    """
    shop = read_booked(services.units, key, services.written).without()
    now = minute_of(services.clock())
    wanted = wanted_of(shop, part=part, process=process, quantity=quantity, by=by, weight=weight)
    parts = parts_of(shop, (*shop.orders, _order(wanted)))
    if parts > MOST_PARTS:
        raise TooMuchToPlan(parts=parts, most=MOST_PARTS)
    kept = kept_by_pins(services.units, key, shop, now=now)
    return try_order(shop, wanted, now=now, held=plan_that_holds(services.units, key), kept=kept)


def wanted_of(
    shop: Shop,
    *,
    part: str,
    process: str | None,
    quantity: int,
    by: str | None,
    weight: int = 1,
) -> Wanted:
    """Return an order as it was asked for.

    Raises:
        NotFound: if the shop has no such part or process.
        InvalidInput: if a date or quantity cannot be.
    """
    check_quantity(quantity)
    if part not in shop.sets:
        shop.part(part)
    if process is not None:
        shop.process(process)
    minute = wanted_by(shop, by or None)
    due = None if minute is None else local(minute, shop.zone)
    return Wanted(part=part, process=process, quantity=quantity, due=due, weight=weight)
