"""The orders booked in one shop."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from sqlalchemy import Select, select, update
from sqlmodel import Session, col

from mouldwright.domain.order import Order
from mouldwright.domain.promise.booking import Booking
from mouldwright.store.audit import untold
from mouldwright.store.repositories.counters import Counters
from mouldwright.store.tables import BookingRow, QuoteRevisionRow
from mouldwright.store.touched import rows_touched
from mouldwright.usecases.errors import Stale, Unknown
from mouldwright.usecases.kept_run import Page

_BOOK = "book"


class ShopBookings:
    """See ``usecases.promise_ports.Bookings``."""

    def __init__(self, session: Session, shop: str) -> None:
        """Open it for one shop."""
        self._session, self._shop = session, shop

    def by_quote(self, quote: int) -> Booking | None:
        """Return the order a quote became, None where it became none."""
        row = self._session.get(BookingRow, (self._shop, quote))
        return None if row is None else self._bookings([row])[0]

    def by_number(self, number: str) -> Booking:
        """Return an order. Raises Unknown."""
        row = self._session.scalar(self._mine().where(col(BookingRow.number) == number))
        if row is None:
            raise Unknown(kind="order", key=number)
        return self._bookings([row])[0]

    def open(self) -> tuple[Booking, ...]:
        """Return all open orders, the first booked first."""
        rows = self._session.scalars(
            self._mine().where(col(BookingRow.state) == "open").order_by(col(BookingRow.quote))
        )
        return self._bookings(rows)

    def listed(self, page: Page, *, only_open: bool = False) -> tuple[Booking, ...]:
        """Return orders by the number of their quote."""
        wanted = self._mine().order_by(col(BookingRow.quote)).limit(page.limit)
        if page.after is not None:
            wanted = wanted.where(col(BookingRow.quote) > page.after)
        if only_open:
            wanted = wanted.where(col(BookingRow.state) == "open")
        return self._bookings(self._session.scalars(wanted))

    def book_version(self) -> int:
        """Return how often orders were booked, changed or called off."""
        return Counters(self._session, self._shop).value(_BOOK)

    def add(self, booking: Booking) -> None:
        """Keep a new order."""
        self._session.add(BookingRow(shop=self._shop, quote=booking.quote, **_columns(booking)))
        self.changed()

    def put(self, booking: Booking, *, read_version: int) -> None:
        """Keep a changed order. Raises Stale if it was changed since that version was read."""
        row = self._session.get(BookingRow, (self._shop, booking.quote))
        if row is None:
            raise Unknown(kind="order", key=booking.order.number)
        if row.version != read_version:
            raise Stale(read=f"version {read_version}", holds=f"version {row.version}")
        for name, value in _columns(booking).items():
            setattr(row, name, value)
        self.changed()

    def expect(self, quote: int, version: int, expected: int) -> None:
        """Note when an order is ready by what is booked now, if it is still of that version."""
        self._session.execute(
            update(BookingRow)
            .where(
                col(BookingRow.shop) == self._shop,
                col(BookingRow.quote) == quote,
                col(BookingRow.version) == version,
            )
            .values(expected_minute=expected)
            .execution_options(**untold("worked out anew from what is booked"))
        )

    def forget_customer(self, customer: str) -> int:
        """Erase a customer's name; return in how many orders it stood."""
        erased = self._session.execute(
            update(BookingRow)
            .where(col(BookingRow.shop) == self._shop, col(BookingRow.customer) == customer)
            .values(customer="")
            .execution_options(**untold("the use case tells"))
        )
        return rows_touched(erased)

    def _bookings(self, found: Iterable[BookingRow]) -> tuple[Booking, ...]:
        """Return bookings with the day wished for, which their quote's revision holds."""
        rows = tuple(found)
        held = (
            select(
                col(QuoteRevisionRow.number),
                col(QuoteRevisionRow.revision),
                col(QuoteRevisionRow.due),
            )
            .where(col(QuoteRevisionRow.shop) == self._shop)
            .where(col(QuoteRevisionRow.number).in_([row.quote for row in rows]))
            .where(col(QuoteRevisionRow.due).is_not(None))
        )
        wished = {(number, revision): due for number, revision, due in self._session.execute(held)}
        return tuple(
            replace(booking_of(row), wished=wished.get((row.quote, row.revision))) for row in rows
        )

    def _mine(self) -> Select[BookingRow]:
        return select(BookingRow).where(col(BookingRow.shop) == self._shop)

    def changed(self) -> None:
        """Count a change of what is booked or pinned: plans made before no longer fit."""
        self._session.flush()
        Counters(self._session, self._shop).draw(_BOOK)


def booking_of(row: BookingRow) -> Booking:
    """Return the value of a row."""
    return Booking(
        order=Order(
            number=row.number,
            part=row.part,
            process=row.process,
            quantity=row.quantity,
            customer=row.customer,
            due=row.due,
            weight=row.weight,
            release=row.release,
            starts=row.starts,
        ),
        state=row.state,  # type: ignore[arg-type]  # the table's check holds it
        quote=row.quote,
        revision=row.revision,
        version=row.version,
        booked_at=row.booked_at,
        promised=row.promised_minute,
        expected=row.expected_minute,
        begun=row.begun,
    )


def _columns(booking: Booking) -> dict[str, Any]:
    order = booking.order
    return {
        "revision": booking.revision,
        "number": order.number,
        "state": booking.state,
        "version": booking.version,
        "part": order.part,
        "process": order.process,
        "quantity": order.quantity,
        "customer": order.customer,
        "due": order.due,
        "weight": order.weight,
        "release": order.release,
        "starts": order.starts,
        "promised_minute": booking.promised,
        "expected_minute": booking.expected,
        "begun": booking.begun,
        "booked_at": booking.booked_at,
    }
