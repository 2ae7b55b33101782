"""Orders: booked by accepting a quote, read, changed, called off.

What is booked is on the disk before anything is planned; the promise is looked at again
afterwards, and if that fails the order stands all the same.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Literal

from mouldwright.domain.errors import Conflict, HardLimit, MouldwrightError
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.hours.spoken import spoken_day, spoken_moment
from mouldwright.domain.money import Currency
from mouldwright.domain.order import Order
from mouldwright.domain.promise.booking import (
    Booking,
    Settlement,
    called_off,
    given_up,
    is_later_day,
    order_name,
    with_begun,
)
from mouldwright.domain.promise.quote_state import move
from mouldwright.domain.promise.revision import QuoteRevision
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.enquiry import FinishBeside
from mouldwright.usecases.errors import NotWritten, Stale, TooMuchToPlan
from mouldwright.usecases.ports import Written
from mouldwright.usecases.promise_ports import Freeze, PromiseUnits, PromiseWriting
from mouldwright.usecases.quotes import Draft, Wanted, draft, keep_revision, must_stand


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseLookedAt:
    """A promise against what is booked now.

    Attributes:
        expected: Minute the order is ready now; None where that cannot be said.
        moved: Whether that is on a later day than was promised.
        words: One sentence for the person who accepted.
    """

    expected: int | None
    moved: bool
    words: str


def accept(unit: PromiseWriting, number: int, *, revision: int | None, now: datetime) -> Booking:
    """Accept a quote: its order is booked, or changed where an earlier revision booked it.

    Args:
        unit: Keeps both; commits nothing.
        number: Of the quote.
        revision: Which; None for the newest.
        now: Zone-aware.

    Raises:
        Unknown: if there is no such quote.
        Conflict: if it is not with the customer, no longer stands, or more parts are begun
            than it pays for.
    """
    found = unit.quotes.revision(number, revision)
    to = move(found.state, "accepted", name=found.name)
    must_stand(found, now)
    before = unit.bookings.by_quote(number)
    accepted = unit.quotes.move(found, to, now)
    if before is None:
        booking = Booking(
            order=_order_of(accepted),
            state="open",
            quote=number,
            revision=accepted.revision,
            version=1,
            booked_at=now,
            wished=accepted.due,
            promised=accepted.figures.finish,
        )
        unit.bookings.add(booking)
        return booking
    return _rebook(unit, before, accepted, now)


def look_again(
    units: PromiseUnits,
    shop: str,
    quote: int,
    *,
    written: Written,
    now: datetime,
    finish: FinishBeside,
) -> PromiseLookedAt:
    """Look at an order's promise against all that is booked now, and note what is found.

    Whatever goes wrong with the planning, the order stands.

    Raises:
        Unknown: if the quote became no order.
    """
    with units.read(shop) as unit:
        booking = unit.bookings.by_number(order_name(quote))
    try:
        read = read_booked(units, shop, written, with_held=True)
        order = booking.order
        expected = finish(
            read.without(quote),
            order.part,
            order.process,
            order.quantity,
            minute_of(now),
            read.held,
        ).finish
    except TooMuchToPlan as much:
        return PromiseLookedAt(
            expected=None, moved=False, words=f"The promise was not looked at: {much}"
        )
    except HardLimit as limit:
        return PromiseLookedAt(
            expected=None, moved=True, words=f"No plan can hold it now: {'; '.join(limit.reasons)}."
        )
    except Exception as error:  # the order is booked, whatever planning does
        known = str(error) if isinstance(error, MouldwrightError) else "planning failed."
        return PromiseLookedAt(
            expected=None, moved=False, words=f"The promise could not be looked at: {known}"
        )
    # What is found is told even where it cannot be noted now.
    with suppress(NotWritten), units.write(shop) as unit:
        unit.bookings.expect(quote, booking.version, expected)
        unit.commit()
    return _compared(booking, expected, read.written.zone)


def _compared(booking: Booking, expected: int, zone: str) -> PromiseLookedAt:
    ready = spoken_moment(local(expected, zone))
    if booking.promised is None:
        return PromiseLookedAt(
            expected=expected, moved=False, words=f"No date was promised; it is ready {ready}."
        )
    promised = spoken_day(local(booking.promised, zone))
    if not is_later_day(expected, booking.promised, zone):
        return PromiseLookedAt(
            expected=expected,
            moved=False,
            words=f"Promised for {promised}; with what is booked now it is ready {ready}.",
        )
    later = (local(expected, zone).date() - local(booking.promised, zone).date()).days
    return PromiseLookedAt(
        expected=expected,
        moved=True,
        words=(
            f"Promised for {promised}; with what was booked since it is ready {ready}, "
            f"{later} {'day' if later == 1 else 'days'} later."
        ),
    )


def draft_change(
    units: PromiseUnits,
    shop: str,
    number: str,
    quantity: int,
    *,
    pay_for_begun: bool,
    read_version: int,
    written: Written,
    now: datetime,
    finish: FinishBeside,
    hurried: FinishBeside | None = None,
) -> Draft:
    """Work out what an order costs at another quantity; parts begun are kept or paid for.

    Raises:
        Unknown: if there is no such order.
        Stale: if it was changed since that version was read.
        Conflict: if more are begun than are wanted and nobody pays for them.
    """
    with units.read(shop) as unit:
        booking = unit.bookings.by_number(number)
        held = unit.quotes.revision(booking.quote, booking.revision)
    must_be_read(booking, read_version)
    wanted = Wanted(
        part=booking.order.part,
        process=booking.order.process,
        quantity=quantity,
        customer=booking.order.customer,
        # What the customer wished stays, unless another day was said since it was booked.
        due=held.due if booking.order.due == _due_of(held) else booking.order.due,
        terms=held.inputs.terms.at(quantity),
        address=held.address,
    )
    return draft(
        units,
        shop,
        wanted,
        written=written,
        now=now,
        finish=finish,
        hurried=hurried,
        revises=booking.quote,
        pay_for_begun=pay_for_begun,
    )


def keep_change(
    unit: PromiseWriting,
    number: str,
    drafted: Draft,
    *,
    read_version: int,
    freeze: Freeze,
    now: datetime,
    due: datetime | None = None,
) -> Booking:
    """Keep a changed quantity: a new revision, accepted as it is made, and the order by it.

    Args:
        unit: Keeps both; commits nothing.
        number: Of the order.
        drafted: At the changed quantity.
        read_version: The version that was read.
        freeze: Writes the quote as it is given out.
        now: Zone-aware.
        due: When it is to be ready, where that was said; None for as promised.

    Raises:
        Unknown: if there is no such order.
        Stale: if it was changed since that version was read.
        Conflict: if more parts are begun by now than the change pays for.
    """
    booking = unit.bookings.by_number(number)
    must_be_read(booking, read_version)
    kept = keep_revision(unit, booking.quote, drafted, freeze=freeze, now=now, state="accepted")
    return _rebook(unit, booking, kept, now, due)


def change_urgency(
    unit: PromiseWriting,
    number: str,
    *,
    due: datetime | None = None,
    weight: int | None = None,
    read_version: int,
) -> Booking:
    """Change when an order is wanted or how much its lateness counts; its price stays.

    Args:
        unit: Keeps it; commits nothing.
        number: Of the order.
        due: None to leave it.
        weight: How much a minute of lateness counts; None to leave it.
        read_version: The version that was read.

    Raises:
        Unknown: if there is no such order.
        Stale: if it was changed since that version was read.
        Conflict: if it is not open.
    """
    booking = unit.bookings.by_number(number)
    must_be_read(booking, read_version)
    given_up(booking, booking.order.quantity, pay_for_begun=True)
    order = replace(
        booking.order,
        due=booking.order.due if due is None else due,
        weight=booking.order.weight if weight is None else weight,
    )
    if order == booking.order:
        return booking
    changed = replace(booking, order=order, version=booking.version + 1, expected=None)
    unit.bookings.put(changed, read_version=read_version)
    return changed


def note_begun(unit: PromiseWriting, number: str, begun: int, *, read_version: int) -> Booking:
    """Note how many parts of an order are begun. Raises Unknown, Stale, Conflict."""
    booking = unit.bookings.by_number(number)
    must_be_read(booking, read_version)
    changed = with_begun(booking, begun)
    unit.bookings.put(changed, read_version=read_version)
    return changed


def call_off(
    unit: PromiseWriting,
    number: str,
    *,
    by: Literal["customer", "shop"],
    read_version: int,
) -> tuple[Booking, Settlement]:
    """Cancel an order and say what that comes to. Raises Unknown, Stale, Conflict."""
    booking = unit.bookings.by_number(number)
    must_be_read(booking, read_version)
    figures = unit.quotes.revision(booking.quote, booking.revision).figures
    cancelled, settlement = called_off(
        booking,
        by=by,
        deposit=figures.deposit,
        unit_cost=figures.unit_cost,
        currency=Currency(figures.currency),
    )
    unit.bookings.put(cancelled, read_version=read_version)
    return cancelled, settlement


def must_be_read(booking: Booking, read_version: int) -> None:
    """Raise Stale where an order was changed since it was read."""
    if booking.version != read_version:
        raise Stale(read=f"version {read_version}", holds=f"version {booking.version}")


def _rebook(
    unit: PromiseWriting,
    before: Booking,
    accepted: QuoteRevision,
    now: datetime,
    due: datetime | None = None,
) -> Booking:
    """Let an accepted revision hold in place of the one that booked the order."""
    excess = given_up(before, accepted.inputs.quantity, pay_for_begun=True)
    if excess > accepted.inputs.given_up:
        raise Conflict(
            f"Order {before.order.number}: {before.begun} parts are begun by now, and "
            f"{accepted.name} pays for {accepted.inputs.given_up} beyond those wanted.",
            remedy="Make a new revision.",
            stands=before.state,
        )
    held = unit.quotes.revision(before.quote, before.revision)
    unit.quotes.move(held, move(held.state, "superseded", name=held.name), now)
    order = _order_of(accepted)
    changed = replace(
        before,
        # What was said of it since stays: a quote knows nothing of urgency.
        order=replace(order, weight=before.order.weight, due=due or order.due),
        revision=accepted.revision,
        version=before.version + 1,
        wished=accepted.due,
        promised=accepted.figures.finish,
        expected=None,
    )
    unit.bookings.put(changed, read_version=before.version)
    return changed


def _order_of(accepted: QuoteRevision) -> Order:
    inputs = accepted.inputs
    return Order(
        number=order_name(accepted.number),
        part=inputs.part,
        process=inputs.process,
        quantity=inputs.quantity,
        customer=accepted.customer,
        due=_due_of(accepted),
    )


def _due_of(accepted: QuoteRevision) -> datetime | None:
    """Return when an accepted quote's order is due: as promised, else as wished.

    A day was promised, not its minute: the order is in time until that day's work ends. Where
    the customer wished for a later day, only the one promised was agreed to, and the plan that
    works towards the other would not keep it.
    """
    figures = accepted.figures
    by = figures.finish if figures.day_ends is None else figures.day_ends
    return accepted.due if by is None else local(by, figures.zone)
