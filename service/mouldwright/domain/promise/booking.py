"""An order as it is booked, and how it may be changed or called off."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import Literal

from mouldwright.domain.costing.price import as_stated, totalled
from mouldwright.domain.errors import Conflict
from mouldwright.domain.hours.opening import local
from mouldwright.domain.money import Currency
from mouldwright.domain.offer_lines import QuoteLine
from mouldwright.domain.order import Order
from mouldwright.domain.quote import Quote
from mouldwright.domain.shop import Shop

BookingState = Literal["open", "cancelled"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Booking:
    """An order that came from an accepted quote.

    Attributes:
        quote: Number of the quote; the order is called after it.
        revision: The revision that holds.
        version: One more with every change, from 1.
        wished: When the customer wished for it, by the revision that holds; None where for no day.
        promised: Minute that was promised; None where no date was.
        expected: Minute it is ready by what is booked now; None where that is not known.
        begun: Parts begun; they are there, whatever is changed.
        booked_at: When it was accepted.
    """

    order: Order
    state: BookingState
    quote: int
    revision: int
    version: int
    booked_at: datetime
    wished: datetime | None = None
    promised: int | None = None
    expected: int | None = None
    begun: int = 0

    def moved_min(self, zone: str) -> int | None:
        """Return minutes that the finish has moved past the promise; None where not known.

        A day is promised, not its minute: nothing has moved until the day has.

        Args:
            zone: Whose days, such as ``Europe/Lisbon``.
        """
        if self.promised is None or self.expected is None:
            return None
        if not is_later_day(self.expected, self.promised, zone):
            return 0
        return self.expected - self.promised


def is_later_day(expected: int, promised: int, zone: str) -> bool:
    """Return whether a minute lies on a later day of a time zone than another."""
    return local(expected, zone).date() > local(promised, zone).date()


@dataclass(frozen=True, slots=True, kw_only=True)
class Settlement:
    """What an order called off comes to; a deposit covers work done and the rest goes back.

    Attributes:
        work_done: Parts begun, at cost.
        deposit: That was asked before work started.
        kept: Share of the deposit that covers work done.
        refunded: Share of it that goes back.
        owed: Work done beyond the deposit.
    """

    currency: str
    work_done: Decimal
    deposit: Decimal
    kept: Decimal
    refunded: Decimal
    owed: Decimal


def order_name(quote: int) -> str:
    """Return the number of the order that an accepted quote becomes."""
    return f"Q{quote}"


def given_up(booking: Booking, quantity: int, *, pay_for_begun: bool) -> int:
    """Return how many parts begun are given up where the quantity is changed.

    Parts that are begun stay begun: a larger quantity counts them in, and a smaller one
    cannot go under them unless the customer pays for those not wanted.

    Raises:
        Conflict: if more are begun than are wanted and nobody pays for them, or the order
            is not open.
    """
    _want_open(booking)
    excess = max(0, booking.begun - quantity)
    if excess and not pay_for_begun:
        raise Conflict(
            f"Order {booking.order.number}: {booking.begun} parts are begun, so it cannot go down "
            f"to {quantity}.",
            remedy=f"Keep at least {booking.begun}, or add a cancellation line for the {excess} "
            "begun and not wanted.",
            stands=booking.state,
        )
    return excess


def with_begun(booking: Booking, begun: int) -> Booking:
    """Return the booking with more parts begun.

    Raises:
        Conflict: if fewer are begun than before, or the order is not open.
    """
    _want_open(booking)
    if begun < booking.begun:
        raise Conflict(
            f"Order {booking.order.number}: {booking.begun} parts are begun already, not {begun}.",
            remedy="What is begun stays begun.",
            stands=booking.state,
        )
    return replace(booking, begun=begun, version=booking.version + 1)


def called_off(
    booking: Booking,
    *,
    by: Literal["customer", "shop"],
    deposit: Decimal,
    unit_cost: Decimal,
    currency: Currency,
) -> tuple[Booking, Settlement]:
    """Return the booking cancelled, and what that comes to.

    Where the shop cannot deliver, the whole deposit goes back.

    Args:
        booking: The order.
        by: Who calls it off.
        deposit: Deposit of the revision that holds.
        unit_cost: Cost of one good part when that was made.
        currency: Its rounding.

    Raises:
        Conflict: if the order is not open.
    """
    _want_open(booking)
    nothing = currency.round(Decimal(0))
    work = nothing if by == "shop" else currency.round(unit_cost * booking.begun)
    kept = min(work, deposit)
    settlement = Settlement(
        currency=currency.code,
        work_done=work,
        deposit=deposit,
        kept=kept,
        refunded=deposit - kept,
        owed=work - kept,
    )
    return replace(booking, state="cancelled", version=booking.version + 1), settlement


def with_cancellation_line(shop: Shop, quote: Quote, parts: int) -> Quote:
    """Return a quote that also charges parts begun and given up, at cost; lines add up to net."""
    if parts == 0:
        return quote
    money, old = shop.currency, quote.price
    rate = money.round(as_stated(shop.price, old.cost_each))
    line = QuoteLine(
        kind="cancellation",
        text="Begun and no longer wanted, at cost",
        quantity=Decimal(parts),
        unit="piece",
        rate=rate,
        amount=rate * parts,
    )
    lines = [each.amount for each in quote.lines]
    price = totalled(shop.price, money, old, [*lines, line.amount])
    return replace(quote, lines=(*quote.lines, line), price=price)


def _want_open(booking: Booking) -> None:
    if booking.state != "open":
        raise Conflict(
            f"Order {booking.order.number} is {booking.state}.",
            remedy="Make a new quote.",
            stands=booking.state,
        )
