"""The pins of one shop's board."""

from __future__ import annotations

from sqlalchemy import select
from sqlmodel import Session, col

from mouldwright.store.repositories.bookings import ShopBookings
from mouldwright.store.tables import PinRow
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_pin import Pin
from mouldwright.wire.kept_plan import KeptTasksDocument


class ShopPins:
    """See ``usecases.promise_ports.Pins``."""

    def __init__(self, session: Session, shop: str) -> None:
        """Open it for one shop."""
        self._session, self._shop = session, shop

    def all(self) -> tuple[Pin, ...]:
        """Return every pin, the first pinned first."""
        rows = self._session.scalars(
            select(PinRow)
            .where(col(PinRow.shop) == self._shop, col(PinRow.binds))
            .order_by(col(PinRow.pinned_at), col(PinRow.id))
        )
        return tuple(_pin_of(row) for row in rows)

    def at(self, pin: str) -> Pin:
        """Return a pin, whether it still binds or was taken out. Raises Unknown."""
        row = self._session.get(PinRow, (self._shop, pin))
        if row is None:
            raise Unknown(kind="pin", key=pin)
        return _pin_of(row)

    def add(self, pin: Pin, *, zone: str) -> None:
        """Keep a pin, its times written in a time zone; no plan made before fits any more."""
        document = KeptTasksDocument.of(pin.tasks, zone).model_dump_json()
        self._session.add(
            PinRow(
                shop=self._shop, id=pin.id, pinned_at=pin.pinned_at, by=pin.by, document=document
            )
        )
        self._session.flush()
        ShopBookings(self._session, self._shop).changed()

    def remove(self, pin: str) -> None:
        """Take a pin out; no plan made before fits any more. Raises Unknown."""
        row = self._session.get(PinRow, (self._shop, pin))
        if row is None or not row.binds:
            raise Unknown(kind="pin", key=pin)
        row.binds = False
        self._session.flush()
        ShopBookings(self._session, self._shop).changed()


def _pin_of(row: PinRow) -> Pin:
    return Pin(
        id=row.id,
        tasks=KeptTasksDocument.model_validate_json(row.document).values(),
        pinned_at=row.pinned_at,
        by=row.by,
    )
