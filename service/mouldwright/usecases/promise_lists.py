"""Quotes, orders and the published plan as they are read: a page at a time, and how current."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.order import Order
from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.promise.quote_state import QuoteState
from mouldwright.domain.promise.revision import QuoteSummary
from mouldwright.domain.record.audit_entry import Changed
from mouldwright.usecases.booked_shop import basis_of
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_run import KeptPlan, Page, Run
from mouldwright.usecases.ports import Written
from mouldwright.usecases.promise_ports import PromiseUnits, PromiseWriting

LONGEST_PAGE = 200

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class QuotePage:
    """Some quotes, the highest number first.

    Attributes:
        cursor: Where the next page begins; None at the end.
    """

    quotes: tuple[QuoteSummary, ...]
    cursor: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderPage:
    """Some orders, the first booked first.

    Attributes:
        written: Orders that are written in the shop; on the first page only.
        zone: The shop's.
        cursor: Where the next page begins; None at the end.
    """

    bookings: tuple[Booking, ...]
    written: tuple[Order, ...]
    zone: str
    cursor: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPage:
    """Some runs, the newest first.

    Attributes:
        cursor: Where the next page begins; None at the end.
    """

    runs: tuple[Run, ...]
    cursor: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRead:
    """A published plan.

    Attributes:
        is_current: Whether the shop and its orders are as they were when it was made.
    """

    kept: KeptPlan
    is_current: bool


def list_quotes(
    units: PromiseUnits, shop: str, *, cursor: str | None, limit: int, state: QuoteState | None
) -> QuotePage:
    """Return a page of quotes. Raises Unknown, and InvalidInput where the cursor is none."""
    page = _page(cursor, limit)
    with units.read(shop) as unit:
        found = unit.quotes.listed(page, state=state)
    quotes, more = _cut(found, limit)
    return QuotePage(quotes=quotes, cursor=str(quotes[-1].number) if more else None)


def list_orders(
    units: PromiseUnits,
    shop: str,
    *,
    written: Written,
    cursor: str | None,
    limit: int,
    only_open: bool,
) -> OrderPage:
    """Return a page of orders. Raises Unknown, and InvalidInput where the cursor is none."""
    page = _page(cursor, limit)
    with units.read(shop) as unit:
        version = unit.shops.now()
        found = unit.bookings.listed(page, only_open=only_open)
    kept = written.read(version.document)
    bookings, more = _cut(found, limit)
    return OrderPage(
        bookings=bookings,
        written=kept.orders if cursor is None else (),
        zone=kept.zone,
        cursor=str(bookings[-1].quote) if more else None,
    )


def list_runs(units: PromiseUnits, shop: str, *, cursor: str | None, limit: int) -> RunPage:
    """Return a page of runs. Raises Unknown, and InvalidInput where the cursor is none."""
    _check_length(limit)
    with units.read(shop) as unit:
        try:
            found = unit.runs.listed(limit=limit + 1, after=cursor, subject=None)
        except Unknown:
            raise _no_cursor(cursor or "") from None
    runs, more = _cut(found, limit)
    return RunPage(runs=runs, cursor=runs[-1].id if more else None)


def read_plan(units: PromiseUnits, shop: str, version: int | None = None) -> PlanRead:
    """Return a published plan, the newest where no version is named. Raises Unknown."""
    with units.read(shop) as unit:
        kept = unit.plans.newest() if version is None else unit.plans.at(version)
        basis = basis_of(unit)
    return PlanRead(kept=kept, is_current=kept.basis == basis)


def forget_customer(unit: PromiseWriting, customer: str) -> int:
    """Erase a customer's name wherever it is kept; every figure stays.

    Returns:
        In how many revisions of quotes, booked orders and versions of the shop it stood.

    Raises:
        InvalidInput: if no name is given.
    """
    if not customer.strip():
        raise InvalidInput(
            [
                Fault(
                    path="customer",
                    value=customer,
                    problem="this is no name.",
                    remedy="Write it as it stands in the quotes.",
                )
            ]
        )
    unit.replies.forget_customer(customer, shop=unit.shop)
    kept = (unit.quotes, unit.bookings, unit.shops)
    places = sum(each.forget_customer(customer) for each in kept)
    # Whose name it was is gone from here too.
    unit.note("erased", "customer", (Changed(what="places", before=str(places), after="0"),))
    return places


def _page(cursor: str | None, limit: int) -> Page:
    """Return the page to read: one entry more than asked, which tells whether there is more."""
    _check_length(limit)
    return Page(limit=limit + 1, after=cursor_number(cursor))


def cursor_number(cursor: str | None) -> int | None:
    """Return the number a cursor stands for. Raises InvalidInput where it is none."""
    if cursor is None:
        return None
    if not (cursor.isascii() and cursor.isdigit() and len(cursor) <= 18):
        raise _no_cursor(cursor)
    return int(cursor)


def _check_length(limit: int) -> None:
    if not 1 <= limit <= LONGEST_PAGE:
        raise InvalidInput(
            [
                Fault(
                    path="limit",
                    value=str(limit),
                    problem="that is no length of a page.",
                    remedy=f"Give 1 to {LONGEST_PAGE}.",
                )
            ]
        )


def _no_cursor(cursor: str) -> InvalidInput:
    return InvalidInput(
        [
            Fault(
                path="cursor",
                value=cursor[:80],
                problem="that is no cursor.",
                remedy="Send the one that came with the page before.",
            )
        ]
    )


def _cut(found: Sequence[T], limit: int) -> tuple[tuple[T, ...], bool]:
    return tuple(found[:limit]), len(found) > limit
