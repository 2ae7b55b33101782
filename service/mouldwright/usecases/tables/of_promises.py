"""Tables of what was promised: quotes and orders."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.order import Order
from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.promise.finish_odds import OrderOdds
from mouldwright.domain.promise.revision import QuoteSummary
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import OrderOutcome, Plan
from mouldwright.usecases.tables.sheet import (
    Cell,
    Column,
    at,
    day,
    moment,
    money,
    number,
    text,
    whole,
)

QUOTES: tuple[Column, ...] = (
    whole("quote", "its number"),
    whole("revision", "the newest"),
    text("state", "where it stands"),
    text("customer", "who asked"),
    text("part", "key of the part or set"),
    text("process", "key of the process; empty for a set"),
    whole("quantity", "good pieces"),
    money("net", "before tax"),
    money("gross", "to pay"),
    text("currency", "of both"),
    moment("ready", "when it is promised; empty where no day is"),
    day("valid_until", "the last day it stands"),
)
ORDERS: tuple[Column, ...] = (
    text("order", "its number"),
    text("state", "open or cancelled"),
    whole("quote", "the quote it came from; empty for one written in the shop"),
    text("customer", "whose it is"),
    text("part", "key of the part or set"),
    text("process", "key of the process; empty for a set"),
    whole("quantity", "good pieces"),
    moment("wished", "when the customer wished for it; empty where for no day"),
    moment("due", "by when"),
    moment("promised", "what was promised as it was accepted"),
    moment("ready", "when it is ready by the plan that holds"),
    moment("likely", "when it is ready as often as the shop promises; empty where nobody knows"),
    number("late_h", "hours past the date by that plan"),
    whole("starts", "parts begun by that plan"),
    number("odds", "chance that its date is kept, from 0 to 1"),
    whole("weight", "how much a minute of lateness counts"),
)


def quote_rows(quotes: Iterable[QuoteSummary]) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each quote."""
    return tuple(
        (
            each.number,
            each.revision,
            each.state,
            each.customer,
            each.part,
            each.process,
            each.quantity,
            each.net,
            each.gross,
            each.currency,
            at(each.finish, each.zone),
            each.valid_until,
        )
        for each in quotes
    )


def order_rows(
    shop: Shop, bookings: Iterable[Booking], plan: Plan | None
) -> tuple[tuple[Cell, ...], ...]:
    """Return a row for each order: those of quotes, and those written in the shop.

    Args:
        shop: With all its open orders.
        bookings: Those that came from quotes, called off ones too.
        plan: The one that holds.
    """
    booked = {each.order.number: each for each in bookings}
    outcomes = {} if plan is None else {each.number: each for each in plan.orders}
    odds = {} if plan is None or plan.odds is None else {o.number: o for o in plan.odds.orders}
    orders = [order for order in shop.orders if order.number not in booked]
    return tuple(
        _order(shop.zone, order, booked.get(order.number), outcomes, odds.get(order.number))
        for order in (*orders, *(each.order for each in booked.values()))
    )


def _order(
    zone: str,
    order: Order,
    booking: Booking | None,
    outcomes: Mapping[str, OrderOutcome],
    odds: OrderOdds | None,
) -> tuple[Cell, ...]:
    outcome = outcomes.get(order.number)
    return (
        order.number,
        booking.state if booking else "open",
        booking.quote if booking else None,
        order.customer,
        order.part,
        order.process,
        order.quantity,
        at(minute_of(booking.wished), zone) if booking and booking.wished else None,
        order.due,
        at(booking.promised, zone) if booking else None,
        at(outcome.finish, zone) if outcome else None,
        at(odds.promised, zone) if odds else None,
        round(outcome.late_min / 60, 2) if outcome else None,
        outcome.starts if outcome else None,
        odds.chance if odds else None,
        order.weight,
    )
