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
from mouldwright.usecases import orders, quotes
from mouldwright.usecases.kept import Asked, Reply
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.once import once, reply_before
from mouldwright.usecases.promise_ports import Freeze, PromiseWriting
from mouldwright.usecases.quotes import Wanted
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
        services.units, shop, wanted, written=services.written, now=now, finish=services.finish
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
) -> Reply:
    """Work a quote out anew, otherwise than its newest revision, and keep that as a further one.

    Raises:
        Unknown: if there is no such quote.
        Conflict: if parts are begun that are no longer wanted and nobody pays for them.
        InvalidInput: if what is asked cannot be right.
    """
    before = reply_before(services.units, shop, asked)
    if before is not None:
        return before
    now = services.clock()
    with services.units.read(shop) as unit:
        newest = unit.quotes.revision(number)
    wanted = Wanted(
        part=newest.inputs.part,
        process=newest.inputs.process,
        quantity=newest.inputs.quantity,
        customer=newest.customer,
        due=newest.due,
    )
    drafted = quotes.draft(
        services.units,
        shop,
        change(wanted),
        written=services.written,
        now=now,
        finish=services.finish,
        revises=number,
        pay_for_begun=pay_for_begun,
    )
    return once(
        services.units.write(shop),
        asked,
        lambda unit: present(quotes.keep_revision(unit, number, drafted, freeze=freeze, now=now)),
        now=now,
    )


def accept_quote(
    services: Services,
    shop: str,
    number: int,
    revision: int | None,
    *,
    asked: Asked,
    present: Callable[[Booking, Run], Reply],
) -> Reply:
    """Book what a quote promised and ask for a plan of it; both are on the disk at once.

    Nothing is planned before. Look at the promise again afterwards.

    Raises:
        Unknown: if there is no such quote.
        Conflict: if it is not with the customer, or no longer stands.
    """
    now = services.clock()

    def work(unit: PromiseWriting) -> Reply:
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
        )
        if due is not None:
            drafted = replace(drafted, wanted=replace(drafted.wanted, due=due))
    with services.units.write(shop) as writing:
        changed = booking
        if drafted is not None:
            changed = orders.keep_change(
                writing, number, drafted, read_version=read_version, freeze=freeze, now=now
            )
        elif due is not None:
            changed = orders.change_due(writing, number, due, read_version=read_version)
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
) -> Reply:
    """Ask for a plan of all that is booked. Raises Unknown, InvalidInput."""
    now = services.clock()
    return once(
        services.units.write(shop),
        asked,
        lambda unit: present(
            ask_for_plan(
                unit, why="asked for", now=now, chance=services.chance, seconds=seconds, seed=seed
            )
        ),
        now=now,
    )


def _plan(services: Services, unit: PromiseWriting, why: str, now: datetime) -> Run:
    return ask_for_plan(unit, why=why, now=now, chance=services.chance)
