"""Quotes kept: made, revised, sent, declined, lapsed. Each revision is frozen as it is made.

Working a quote out takes a while and happens before the unit of work that keeps it. None of
these commits: what opens the unit does, once, when all is well.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta

from mouldwright.domain.costing.risk import DRAWS
from mouldwright.domain.errors import Conflict
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.promise.booking import given_up as parts_given_up
from mouldwright.domain.promise.booking import with_cancellation_line
from mouldwright.domain.promise.quote_state import QuoteState, is_past, move
from mouldwright.domain.promise.revision import QuoteFigures, QuoteInputs, QuoteRevision
from mouldwright.domain.quote import Quote
from mouldwright.domain.shop import Shop
from mouldwright.domain.terms import USUAL, Terms
from mouldwright.usecases.booked_shop import read_booked, with_orders
from mouldwright.usecases.enquiry import FinishBeside, beside
from mouldwright.usecases.held import held_then
from mouldwright.usecases.ports import Written
from mouldwright.usecases.promise_ports import (
    Freeze,
    PromiseReading,
    PromiseUnits,
    PromiseWriting,
)
from mouldwright.usecases.quoting import quote as work_out

# Raises Stale where a revision is not the one that was read.
WasRead = Callable[[QuoteRevision], None]

# The day ends latest 12 h behind UTC and begins first 14 h before it.
_FIRST_MIDNIGHT = timedelta(hours=14)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What a customer asks for.

    Attributes:
        process: Key of the process; None for a set.
        due: When it is wanted; None for as soon as it can be promised.
        terms: What is agreed beside part and quantity.
        address: Lines of the customer's address.
    """

    part: str
    process: str | None
    quantity: int
    customer: str = ""
    due: datetime | None = None
    terms: Terms = USUAL
    address: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A quote worked out and not yet kept."""

    wanted: Wanted
    shop: Shop
    quote: Quote
    inputs: QuoteInputs


def draft(
    units: PromiseUnits,
    shop: str,
    wanted: Wanted,
    *,
    written: Written,
    now: datetime,
    finish: FinishBeside,
    hurried: FinishBeside | None = None,
    revises: int | None = None,
    pay_for_begun: bool = False,
) -> Draft:
    """Work a quote out on top of what is booked, beside the plan that holds.

    Args:
        units: Opens units of work.
        shop: Key of the shop.
        wanted: What is asked for.
        written: Reads the shop's document.
        now: Zone-aware.
        finish: Gives the minute an order is ready.
        hurried: Gives the minute an order is ready that goes first.
        revises: Number of the quote this is to be a revision of: its own order is not in
            its own way.
        pay_for_begun: Whether parts begun and no longer wanted are charged at cost.

    Raises:
        Unknown: if there is no such shop or quote.
        Conflict: if parts are begun that are no longer wanted and nobody pays for them.
        InvalidInput: if what is asked cannot be right, or a cost is unknown.
        CannotBeMade: if the part cannot be made so.
    """
    given_up = 0
    if revises is not None:
        with units.read(shop) as unit:
            unit.quotes.revision(revises)
            booking = unit.bookings.by_quote(revises)
        if booking is not None:
            given_up = parts_given_up(booking, wanted.quantity, pay_for_begun=pay_for_begun)
    read = read_booked(units, shop, written, with_held=True)
    busy = read.without(revises)
    minute = minute_of(now)
    quoted = work_out(
        busy,
        wanted.part,
        wanted.process,
        wanted.quantity,
        now=minute,
        finish=beside(finish, read.held),
        draws=DRAWS,
        terms=wanted.terms,
        due=wanted.due,
        hurried=None if hurried is None else beside(hurried, read.held),
    )
    inputs = QuoteInputs(
        shop_version=read.basis.shop_version,
        part=wanted.part,
        process=wanted.process,
        quantity=wanted.quantity,
        now=minute,
        booked=tuple(replace(b.order, customer="") for b in read.bookings if b.quote != revises),
        given_up=given_up,
        terms=wanted.terms,
        log_last=max((entry.number for entry in read.written.log), default=0),
        plan_version=read.held.version,
        pins=tuple(pin.id for pin in read.held.pins),
    )
    quoted = with_cancellation_line(busy, quoted, given_up)
    return Draft(wanted=wanted, shop=busy, quote=quoted, inputs=inputs)


def worked_out_again(
    unit: PromiseReading,
    revision: QuoteRevision,
    *,
    written: Written,
    finish: FinishBeside,
    hurried: FinishBeside | None = None,
) -> Quote:
    """Return a quote made anew from the inputs a revision froze; it is the same to the cent.

    Its date is planned beside the plan that held then, with the log as far as it went.
    """
    inputs = revision.inputs
    document = unit.shops.at(inputs.shop_version).document
    log = tuple(entry for entry in unit.log.all() if entry.number <= inputs.log_last)
    shop = with_orders(replace(written.read(document), log=log), inputs.booked)
    held = held_then(unit, inputs.plan_version, inputs.pins)
    quoted = work_out(
        shop,
        inputs.part,
        inputs.process,
        inputs.quantity,
        now=inputs.now,
        finish=beside(finish, held),
        draws=DRAWS,
        terms=inputs.terms,
        due=revision.due,
        hurried=None if hurried is None else beside(hurried, held),
    )
    quoted = with_cancellation_line(shop, quoted, inputs.given_up)
    return replace(quoted, number=str(revision.number), revision=revision.revision)


def keep_new(
    unit: PromiseWriting, drafted: Draft, *, freeze: Freeze, now: datetime
) -> QuoteRevision:
    """Keep a draft as the first revision of a new quote, under the next number."""
    return _keep(unit, drafted, unit.quotes.next_number(), 1, "draft", freeze=freeze, now=now)


def keep_revision(
    unit: PromiseWriting,
    number: int,
    drafted: Draft,
    *,
    freeze: Freeze,
    now: datetime,
    state: QuoteState = "draft",
) -> QuoteRevision:
    """Keep a draft as a further revision; the one before is superseded unless it is settled.

    One that is accepted holds until the new one is accepted too.

    Raises:
        Unknown: if there is no such quote.
    """
    before = unit.quotes.revision(number)
    if before.state in ("draft", "sent"):
        unit.quotes.move(before, move(before.state, "superseded", name=before.name), now)
    return _keep(unit, drafted, number, before.revision + 1, state, freeze=freeze, now=now)


def send(
    unit: PromiseWriting, number: int, *, revision: int | None, now: datetime
) -> QuoteRevision:
    """Note that the newest revision went to the customer.

    Raises:
        Unknown: if there is no such quote.
        Conflict: if it cannot be sent, or no longer stands.
    """
    found = unit.quotes.revision(number, revision)
    must_stand(found, now)
    return unit.quotes.move(found, move(found.state, "sent", name=found.name), now)


def decline(
    unit: PromiseWriting, number: int, *, revision: int | None, now: datetime
) -> QuoteRevision:
    """Note that the customer does not want it. Raises Unknown, Conflict."""
    found = unit.quotes.revision(number, revision)
    return unit.quotes.move(found, move(found.state, "declined", name=found.name), now)


def lapse(unit: PromiseWriting, *, now: datetime) -> tuple[QuoteRevision, ...]:
    """Let every sent quote lapse whose last day is over where it was made; return them."""
    return tuple(
        unit.quotes.move(found, move(found.state, "lapsed", name=found.name), now)
        for found in over(unit, now)
    )


def over(unit: PromiseReading, now: datetime) -> tuple[QuoteRevision, ...]:
    """Return the sent quotes whose last day is over where they were made."""
    day = (now.astimezone(UTC) + _FIRST_MIDNIGHT).date()
    return tuple(found for found in unit.quotes.past(day.isoformat()) if is_over(found, now))


def is_over(found: QuoteRevision, now: datetime) -> bool:
    """Return whether a quote is with its customer and its last day is over where it was made."""
    return found.state == "sent" and is_past(found.figures.valid_until, _today(found, now))


def mark_of(revision: QuoteRevision) -> str:
    """Return a word for how a revision stands: it changes with whatever may change in it."""
    erased = "" if revision.customer or revision.address else "-unnamed"
    return f"{revision.revision}-{revision.state}{erased}"


def lapse_one(
    unit: PromiseWriting, number: int, *, revision: int | None, now: datetime
) -> QuoteRevision:
    """Let one quote lapse.

    Raises:
        Unknown: if there is no such quote.
        Conflict: if it still stands, or is not with the customer.
    """
    found = unit.quotes.revision(number, revision)
    to = move(found.state, "lapsed", name=found.name)
    if not is_past(found.figures.valid_until, _today(found, now)):
        raise Conflict(
            f"{found.name} stands until {found.figures.valid_until}.",
            remedy="Decline it, or make a new revision.",
            stands=found.state,
        )
    return unit.quotes.move(found, to, now)


def must_stand(revision: QuoteRevision, now: datetime) -> None:
    """Raise Conflict where the last day of a revision is over."""
    last = revision.figures.valid_until
    if revision.state in ("draft", "sent") and is_past(last, _today(revision, now)):
        raise Conflict(
            f"{revision.name} stood until {last}.",
            remedy="Make a new revision at today's prices and send that.",
            stands=revision.state,
        )


def _today(revision: QuoteRevision, now: datetime) -> date:
    return local(minute_of(now), revision.figures.zone).date()


def _keep(
    unit: PromiseWriting,
    drafted: Draft,
    number: int,
    revision: int,
    state: QuoteState,
    *,
    freeze: Freeze,
    now: datetime,
) -> QuoteRevision:
    quoted = replace(drafted.quote, number=str(number), revision=revision)
    kept = QuoteRevision(
        number=number,
        revision=revision,
        state=state,
        inputs=drafted.inputs,
        figures=QuoteFigures.of(drafted.shop, quoted),
        made_at=now,
        moved_at=now,
        document=freeze(drafted.shop, quoted),
        customer=drafted.wanted.customer,
        due=drafted.wanted.due,
        address=drafted.wanted.address,
    )
    unit.quotes.add(kept)
    return kept
