"""What if we said yes? One more order in a sandbox: when it is ready and which promises move.

Nothing is kept. What has begun stays, and the plan that holds is kept to where it can be.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.gains import OrderShift, TriedOrder
from mouldwright.planning.plan import OrderOutcome, Plan
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.enquiry import check_quantity
from mouldwright.usecases.errors import TooMuchToPlan, Unknown
from mouldwright.usecases.lead_times import MOST_PARTS, parts_of
from mouldwright.usecases.pinned_plan import Kept, kept_by_pins
from mouldwright.usecases.present import wanted_by
from mouldwright.usecases.services import Services

NEW = "this one"
# Looked for a better plan while someone waits, seconds.
SECONDS = 1.0


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
    kept: Kept | None = None,
) -> TriedOrder:
    """Plan a shop with one more order.

    Args:
        shop: With its open orders.
        wanted: The order to try.
        now: Minutes since the epoch.
        held: The plan that holds; None to make one first.
        seconds: How long to look for a better plan.
        kept: What pins keep.

    Raises:
        NotFound: if there is no such part or process.
        InvalidInput: if the quantity cannot be.
        HardLimit: if no plan can exist.
    """
    # The planner is slow to import, and most questions do not need it.
    from mouldwright.planning.explain import Explainer
    from mouldwright.planning.replan import replan
    from mouldwright.planning.run import make_plan

    check_quantity(wanted.quantity)
    order = Order(
        number=NEW,
        part=wanted.part,
        process=wanted.process,
        quantity=wanted.quantity,
        due=wanted.due,
        weight=wanted.weight,
    )
    with_it = replace(shop, orders=(*shop.orders, order))
    if held is None:
        held = make_plan(shop, now=now, seconds=seconds / 2, **(kept or {}))
    found = replan(with_it, held, now=now, seconds=seconds, **(kept or {}))
    new = next(o for o in found.plan.orders if o.number == NEW)
    return TriedOrder(
        part=wanted.part,
        process=wanted.process,
        quantity=wanted.quantity,
        finish=new.finish,
        due=new.due,
        shifts=_shifts(held.orders, found.plan.orders),
        kept=found.kept,
        moved=found.moved,
        starts=new.starts,
        because=Explainer(with_it, found.plan).because(NEW),
        zone=shop.zone,
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
    wanted_minute = wanted_by(shop, by or None)
    due = None if wanted_minute is None else local(wanted_minute, shop.zone)
    wanted = Wanted(part=part, process=process, quantity=quantity, due=due, weight=weight)
    asked = Order(number=NEW, part=part, process=process, quantity=quantity)
    parts = parts_of(shop, (*shop.orders, asked))
    if parts > MOST_PARTS:
        raise TooMuchToPlan(parts=parts, most=MOST_PARTS)
    with services.units.read(key) as unit:
        try:
            held = unit.plans.newest().plan
        except Unknown:
            held = None
    kept = kept_by_pins(services.units, key, shop, now=now)
    return try_order(shop, wanted, now=now, held=held, kept=kept)


def _shifts(
    before: tuple[OrderOutcome, ...], after: tuple[OrderOutcome, ...]
) -> tuple[OrderShift, ...]:
    then = {outcome.number: outcome for outcome in after}
    return tuple(
        OrderShift(
            number=outcome.number,
            before=outcome.finish,
            after=then[outcome.number].finish,
            late_before_min=outcome.late_min,
            late_after_min=then[outcome.number].late_min,
        )
        for outcome in before
        if outcome.number in then and then[outcome.number].finish != outcome.finish
    )
