"""Sequences without gap or repeat."""

from __future__ import annotations

from sqlalchemy import select, text
from sqlmodel import Session, col

from mouldwright.store.tables import CounterRow

_DRAW = text(
    "INSERT INTO counter (shop, name, value) VALUES (:shop, :name, 1) "
    "ON CONFLICT (shop, name) DO UPDATE SET value = counter.value + 1 RETURNING value"
)


class Counters:
    """The sequences of one shop.

    A number is drawn in the unit that uses it: rolled back together, so none is lost, and
    alone with the shop, so none is drawn twice.
    """

    def __init__(self, session: Session, shop: str) -> None:
        """Open it for one shop."""
        self._session, self._shop = session, shop

    def draw(self, name: str) -> int:
        """Return the next number, from 1."""
        drawn = self._session.execute(_DRAW, {"shop": self._shop, "name": name})
        return int(drawn.scalar_one())

    def value(self, name: str) -> int:
        """Return the last number drawn, 0 where none was."""
        found = self._session.scalar(
            select(col(CounterRow.value)).where(
                col(CounterRow.shop) == self._shop, col(CounterRow.name) == name
            )
        )
        return found or 0
