"""Orders: the list, and one order's sheet with its promise and what the plan says now."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from mouldwright.domain.order import Order
from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import lasting
from mouldwright.planning.plan import OrderOutcome, Plan
from mouldwright.web.view_models.quote import title_of, way_of
from mouldwright.web.words import at_minute, day, long_day, moment, percent


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderRow:
    """An order in the list.

    Attributes:
        wished: The day the customer wished for.
        promised: The day that was promised.
        by_plan: When the published plan has it ready; a dash where no plan holds it.
        likely: Its likely day; a dash where nobody worked it out.
        late: By how much that is late; empty where it is not.
    """

    number: str
    title: str
    made: str
    customer: str
    wished: str
    promised: str
    wanted: str
    by_plan: str
    likely: str
    late: str
    state: str
    is_over: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderView:
    """One order.

    Attributes:
        facts: What is known of it, by name.
        version: What a form says was read; 0 for an order written in the shop.
        due: The day it is wanted, as a date field holds it.
        is_done: Whether its last part was done when the plan was made.
        late: A sentence where it is at risk or late; empty where it is not.
        binds: What fixes its finish in the plan.
    """

    number: str
    title: str
    quantity: int
    begun: int
    version: int
    is_open: bool
    is_written: bool
    is_done: bool
    quote: int
    due: str
    facts: tuple[tuple[str, str], ...]
    late: str
    binds: tuple[str, ...]


def order_rows(
    shop: Shop, bookings: tuple[Booking, ...], written: tuple[Order, ...], plan: Plan | None
) -> tuple[OrderRow, ...]:
    """Return the rows of a list: what is booked first, then what is written in the shop."""
    rows = [
        replace(
            _row(shop, each.order, plan, "Open" if each.state == "open" else "Called off"),
            wished=day(_local(each.wished, shop.zone)) if each.wished else "–",
            promised=day(at_minute(each.promised, shop.zone)) if each.promised is not None else "–",
        )
        for each in bookings
    ]
    rows += [_row(shop, order, plan, "Open, written") for order in written]
    return tuple(rows)


def _outcomes(plan: Plan | None) -> Mapping[str, OrderOutcome]:
    return {order.number: order for order in plan.orders} if plan else {}


def _is_done(outcome: OrderOutcome | None, plan: Plan | None) -> bool:
    """Return whether a plan found an order's last part done as it was made."""
    return outcome is not None and plan is not None and outcome.finish <= plan.now


def _row(shop: Shop, order: Order, plan: Plan | None, state: str) -> OrderRow:
    outcome = _outcomes(plan).get(order.number)
    if _is_done(outcome, plan):
        state = state.replace("Open", "Ready")
    likely = None if plan is None else plan.likely(order.number)
    return OrderRow(
        number=order.number,
        title=f"{order.quantity:,} × {title_of(shop, order.part)}",
        made=way_of(shop, order.process),
        customer=order.customer or "–",
        wished="–",
        promised="–",
        wanted=day(_local(order.due, shop.zone)) if order.due else "–",
        by_plan=day(at_minute(outcome.finish, shop.zone)) if outcome else "–",
        likely="–" if likely is None else day(at_minute(likely, shop.zone)),
        late=lasting(outcome.late_min) if outcome and outcome.late_min else "",
        state=state,
        is_over=state == "Called off",
    )


def booked_view(shop: Shop, booking: Booking, plan: Plan | None) -> OrderView:
    """Return the sheet of an order that came from a quote."""
    order, zone = booking.order, shop.zone
    outcome = _outcomes(plan).get(order.number)
    facts = [*_asked(shop, order)]
    facts.append(("Booked", moment(_local(booking.booked_at, zone))))
    wished = None if booking.wished is None else long_day(_local(booking.wished, zone))
    facts.append(("Wished for", wished or "as soon as can be"))
    promised = at_minute(booking.promised, zone) if booking.promised is not None else None
    facts.append(("Promised for", long_day(promised) if promised else "no date"))
    if booking.expected is not None:
        facts.append(("Expected when last looked at", moment(at_minute(booking.expected, zone))))
    facts += _planned(outcome, plan, zone)
    facts += _likely(order.number, plan)
    facts.append(("Begun", f"{booking.begun:,} parts"))
    late = ""
    if promised is not None and booking.expected is not None and booking.moved_min(zone):
        expected = at_minute(booking.expected, zone)
        late = f"It is expected {day(expected)}; {day(promised)} was promised."
    return OrderView(
        number=order.number,
        title=title_of(shop, order.part),
        quantity=order.quantity,
        begun=booking.begun,
        version=booking.version,
        is_open=booking.state == "open",
        is_written=False,
        is_done=_is_done(outcome, plan),
        quote=booking.quote,
        due=_local(order.due, zone).date().isoformat() if order.due else "",
        facts=tuple(facts),
        late=late or _late(outcome),
        binds=outcome.binds if outcome else (),
    )


def written_view(shop: Shop, order: Order, plan: Plan | None) -> OrderView:
    """Return the sheet of an order that is written in the shop."""
    outcome = _outcomes(plan).get(order.number)
    return OrderView(
        number=order.number,
        title=title_of(shop, order.part),
        quantity=order.quantity,
        begun=0,
        version=0,
        is_open=True,
        is_written=True,
        is_done=_is_done(outcome, plan),
        quote=0,
        due=_local(order.due, shop.zone).date().isoformat() if order.due else "",
        facts=(
            *_asked(shop, order),
            *_planned(outcome, plan, shop.zone),
            *_likely(order.number, plan),
        ),
        late=_late(outcome),
        binds=outcome.binds if outcome else (),
    )


def _asked(shop: Shop, order: Order) -> tuple[tuple[str, str], ...]:
    facts = [
        ("What", f"{order.quantity:,} × {title_of(shop, order.part)}"),
        ("Made by", way_of(shop, order.process)),
        ("For", order.customer or "nobody named"),
        ("Due", moment(_local(order.due, shop.zone)) if order.due else "no date"),
    ]
    if order.release:
        facts.append(("Not before", moment(_local(order.release, shop.zone))))
    if order.weight != 1:
        facts.append(("Lateness counts", f"{order.weight} times"))
    return tuple(facts)


def _planned(
    outcome: OrderOutcome | None, plan: Plan | None, zone: str
) -> tuple[tuple[str, str], ...]:
    if outcome is None:
        return (("By the plan", "no published plan holds it yet"),)
    if _is_done(outcome, plan):
        return (("Ready", f"since {moment(at_minute(outcome.finish, zone))}, by the log"),)
    return (("By the plan", f"ready {moment(at_minute(outcome.finish, zone))}"),)


def _likely(number: str, plan: Plan | None) -> tuple[tuple[str, str], ...]:
    """Return how likely it is ready by when; nothing where nobody worked it out, or it is."""
    known = None if plan is None or plan.odds is None else plan.odds.orders
    found = next((each for each in known or () if each.number == number), None)
    if plan is None or found is None or _is_done(_outcomes(plan).get(number), plan):
        return ()
    facts = [
        (f"{share} times in 100 by", moment(at_minute(minute, plan.zone)))
        for share, minute in ((50, found.p50), (80, found.p80), (95, found.p95))
        if minute is not None
    ]
    if found.is_seldom_as_planned(plan.zone):
        planned = day(at_minute(found.planned, plan.zone))
        facts.insert(0, (f"The planned day, {planned}, is kept", "fewer than 50 times in 100"))
    if found.chance is not None and found.due is not None:
        its_day = day(at_minute(found.due, plan.zone))
        facts.append((f"Its day, {its_day}, is kept", f"{percent(found.chance)} of the times"))
    return tuple(facts)


def _late(outcome: OrderOutcome | None) -> str:
    if outcome is None or not outcome.late_min:
        return ""
    return f"By the plan it is ready {lasting(outcome.late_min)} after it is wanted."


def _local(instant: datetime, zone: str) -> datetime:
    return at_minute(int(instant.timestamp() // 60), zone)
