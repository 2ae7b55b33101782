"""Promises as a face of the service makes them: the slow part first, then one short unit.

Each creates once, however often it is asked with one key.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from typing import Literal, TypeVar

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.promise.booking import Booking, Settlement
from mouldwright.domain.promise.revision import QuoteRevision
from mouldwright.usecases import orders, quotes, runs
from mouldwright.usecases.audit import THE_SERVICE
from mouldwright.usecases.errors import NotWritten
from mouldwright.usecases.kept import Asked, Reply
from mouldwright.usecases.kept_run import KeptPlan, Run
from mouldwright.usecases.once import once, reply_before
from mouldwright.usecases.promise_lists import forget_customer
from mouldwright.usecases.promise_ports import Freeze, PromiseWriting
from mouldwright.usecases.quotes import Wanted, WasRead
from mouldwright.usecases.runs import ask_for_plan
from mouldwright.usecases.services import Services

_BOTH_AT_ONCE = Fault(
    path="begun",
    value="",
    problem="the quantity and what is begun cannot change at once.",
    remedy="Say first what is begun, then change the quantity.",
)

T = TypeVar("T")
Present = Callable[[T], Reply]


def anyhow(_: QuoteRevision) -> None:
    """Take a quote however it stands."""


def create_quote(
    services: Services,
    shop: str,
    wanted: Wanted,
    *,
    asked: Asked,
    freeze: Freeze,
    present: Present[QuoteRevision],
) -> Reply:
    """Work a quote out and keep it under the next number.

    Raises:
        Unknown: if there is no such shop.
        InvalidInput: if what is asked cannot be right.
        CannotBeMade: if the part cannot be made so.
        KeyReused: if the key was used for something else.
    """
    before = reply_before(services.units, shop, asked)
    if before is not None:
        return before
    now = services.clock()
    drafted = quotes.draft(
        services.units,
        shop,
        wanted,
        written=services.written,
        now=now,
        finish=services.finish,
        hurried=services.hurried,
    )
    return once(
        services.units.write(shop),
        asked,
        lambda unit: present(quotes.keep_new(unit, drafted, freeze=freeze, now=now)),
        now=now,
    )


def revise_quote(
    services: Services,
    shop: str,
    number: int,
    change: Callable[[Wanted], Wanted],
    *,
    pay_for_begun: bool,
    asked: Asked,
    freeze: Freeze,
    present: Present[QuoteRevision],
    was_read: WasRead = anyhow,
) -> Reply:
    """Work a quote out anew, otherwise than its newest revision, and keep that as a further one.

    Raises:
        Unknown: if there is no such quote.
        Stale: if another revision or state of it was read.
        Conflict: if parts are begun that are no longer wanted and nobody pays for them.
        InvalidInput: if what is asked cannot be right.
    """
    before = reply_before(services.units, shop, asked)
    if before is not None:
        return before
    now = services.clock()
    with services.units.read(shop) as unit:
        newest = unit.quotes.revision(number)
    was_read(newest)
    wanted = Wanted(
        part=newest.inputs.part,
        process=newest.inputs.process,
        quantity=newest.inputs.quantity,
        customer=newest.customer,
        due=newest.due,
        terms=newest.inputs.terms,
        address=newest.address,
    )
    changed = change(wanted)
    if changed.terms == wanted.terms:
        changed = replace(changed, terms=wanted.terms.at(changed.quantity))
    drafted = quotes.draft(
        services.units,
        shop,
        changed,
        written=services.written,
        now=now,
        finish=services.finish,
        hurried=services.hurried,
        revises=number,
        pay_for_begun=pay_for_begun,
    )

    def work(unit: PromiseWriting) -> Reply:
        was_read(unit.quotes.revision(number))
        return present(quotes.keep_revision(unit, number, drafted, freeze=freeze, now=now))

    return once(services.units.write(shop), asked, work, now=now)


def send_quote(
    services: Services,
    shop: str,
    number: int,
    revision: int | None = None,
    *,
    was_read: WasRead = anyhow,
) -> QuoteRevision:
    """Note that a quote went to the customer. Raises Unknown, Stale, Conflict."""
    return _move(services, shop, number, revision, was_read, quotes.send)


def decline_quote(
    services: Services,
    shop: str,
    number: int,
    revision: int | None = None,
    *,
    was_read: WasRead = anyhow,
) -> QuoteRevision:
    """Note that the customer does not want a quote. Raises Unknown, Stale, Conflict."""
    return _move(services, shop, number, revision, was_read, quotes.decline)


def _move(
    services: Services,
    shop: str,
    number: int,
    revision: int | None,
    was_read: WasRead,
    step: Callable[..., QuoteRevision],
) -> QuoteRevision:
    """Take a quote one step further in one unit of work, if it is as it was read."""
    with services.units.write(shop) as unit:
        was_read(unit.quotes.revision(number, revision))
        moved = step(unit, number, revision=revision, now=services.clock())
        unit.commit()
    return moved


def read_quote(
    services: Services, shop: str, number: int, revision: int | None = None
) -> QuoteRevision:
    """Return a revision of a quote, the newest where none is named; lapsed if its day is over.

    Raises:
        Unknown: if there is no such shop, quote or revision.
    """
    with services.units.read(shop) as reading:
        found = reading.quotes.revision(number, revision)
    if not quotes.is_over(found, services.clock()):
        return found
    lapse_quotes(services, shop)
    with services.units.read(shop) as reading:
        return reading.quotes.revision(number, revision)


def lapse_quotes(services: Services, shop: str) -> None:
    """Let quotes lapse whose last day is over; done before any are shown.

    Raises:
        Unknown: if there is no such shop.
    """
    now = services.clock()
    with services.units.read(shop) as reading:
        if not quotes.over(reading, now):
            return
    try:
        # Whoever looks when the day is over changes nothing themselves.
        with services.acting(THE_SERVICE).units.write(shop) as unit:
            quotes.lapse(unit, now=now)
            unit.commit()
    except NotWritten:
        # They are shown as sent for now, and cannot be accepted all the same.
        return


def accept_quote(
    services: Services,
    shop: str,
    number: int,
    revision: int | None,
    *,
    asked: Asked,
    present: Callable[[Booking, Run], Reply],
    was_read: WasRead = anyhow,
) -> Reply:
    """Book what a quote promised and ask for a plan of it; both are on the disk at once.

    Nothing is planned before. Look at the promise again afterwards.

    Raises:
        Unknown: if there is no such quote.
        Stale: if another revision or state of it was read.
        Conflict: if it is not with the customer, or no longer stands.
    """
    now = services.clock()

    def work(unit: PromiseWriting) -> Reply:
        was_read(unit.quotes.revision(number, revision))
        booking = orders.accept(unit, number, revision=revision, now=now)
        run = _plan(services, unit, f"quote {number} was accepted", now)
        return present(booking, run)

    return once(services.units.write(shop), asked, work, now=now)


def change_order(
    services: Services,
    shop: str,
    number: str,
    *,
    read_version: int,
    quantity: int | None,
    due: datetime | None,
    begun: int | None,
    pay_for_begun: bool,
    freeze: Freeze,
    weight: int | None = None,
) -> Booking:
    """Change what is wanted of an order, when, or how much of it is begun; then plan anew.

    Raises:
        Unknown: if there is no such order.
        Stale: if it was changed since that version was read.
        Conflict: if more parts are begun than would be wanted and nobody pays for them.
        InvalidInput: if both the quantity and what is begun should change at once: which of
            the two came first decides what is owed.
    """
    if quantity is not None and begun is not None:
        raise InvalidInput([_BOTH_AT_ONCE])
    now = services.clock()
    with services.units.read(shop) as unit:
        booking = unit.bookings.by_number(number)
    orders.must_be_read(booking, read_version)
    if due == booking.order.due:
        due = None
    drafted = None
    if quantity is not None and quantity != booking.order.quantity:
        drafted = orders.draft_change(
            services.units,
            shop,
            number,
            quantity,
            pay_for_begun=pay_for_begun,
            read_version=read_version,
            written=services.written,
            now=now,
            finish=services.finish,
            hurried=services.hurried,
        )
        if due is not None:
            drafted = replace(drafted, wanted=replace(drafted.wanted, due=due))
    with services.units.write(shop) as writing:
        changed = booking
        if drafted is not None:
            changed = orders.keep_change(
                writing,
                number,
                drafted,
                read_version=read_version,
                freeze=freeze,
                now=now,
                due=due,
            )
            due = None
        if due is not None or weight is not None:
            changed = orders.change_urgency(
                writing, number, due=due, weight=weight, read_version=changed.version
            )
        if begun is not None and begun != changed.begun:
            changed = orders.note_begun(writing, number, begun, read_version=changed.version)
        if changed.version != read_version:
            _plan(services, writing, f"order {number} was changed", now)
            writing.commit()
    return changed


def call_off_order(
    services: Services,
    shop: str,
    number: str,
    *,
    by: Literal["customer", "shop"],
    read_version: int,
) -> tuple[Booking, Settlement]:
    """Call an order off and plan what is left anew. Raises Unknown, Stale, Conflict."""
    now = services.clock()
    with services.units.write(shop) as unit:
        called_off = orders.call_off(unit, number, by=by, read_version=read_version)
        _plan(services, unit, f"order {number} was called off", now)
        unit.commit()
    return called_off


def ask_for_run(
    services: Services,
    shop: str,
    *,
    seconds: float,
    seed: int,
    asked: Asked,
    present: Present[Run],
    publishes: bool = True,
    keeps: bool = True,
) -> Reply:
    """Ask for a plan of all that is booked. Raises Unknown, InvalidInput."""
    now = services.clock()
    return once(
        services.units.write(shop),
        asked,
        lambda unit: present(
            ask_for_plan(
                unit,
                why="asked for",
                now=now,
                chance=services.chance,
                seconds=seconds,
                seed=seed,
                publishes=publishes,
                keeps=keeps,
            )
        ),
        now=now,
    )


def stop_run(services: Services, shop: str, run_id: str) -> Run:
    """Ask a run to stop with the best so far; one that waits ends at once. Raises Unknown."""
    with services.units.write(shop) as unit:
        stopped = unit.runs.ask_to_stop(run_id, services.clock())
        unit.commit()
    return stopped


def publish_run(services: Services, shop: str, run_id: str) -> KeptPlan:
    """Let the plan of a run hold. Raises Unknown, Conflict."""
    with services.units.write(shop) as unit:
        kept = runs.publish(unit, run_id, now=services.clock())
        unit.commit()
    return kept


def erase_customer(services: Services, shop: str, customer: str) -> int:
    """Erase a customer's name; every figure stays. Return in how many places it stood.

    Raises:
        Unknown: if there is no such shop.
        InvalidInput: if no name is given.
    """
    with services.units.write(shop) as unit:
        places = forget_customer(unit, customer)
        unit.commit()
    return places


def _plan(services: Services, unit: PromiseWriting, why: str, now: datetime) -> Run:
    return ask_for_plan(unit, why=why, now=now, chance=services.chance)
