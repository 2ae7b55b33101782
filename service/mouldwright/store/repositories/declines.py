"""What one shop declined of what its log teaches."""

from __future__ import annotations

from sqlalchemy import select
from sqlmodel import Session, col

from mouldwright.store.tables import DeclinedRow
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_decline import Declined


class ShopDeclines:
    """See ``usecases.promise_ports.Declines``."""

    def __init__(self, session: Session, shop: str) -> None:
        """Open it for one shop."""
        self._session, self._shop = session, shop

    def all(self) -> tuple[Declined, ...]:
        """Return all that is declined, by key."""
        rows = self._session.scalars(
            select(DeclinedRow)
            .where(col(DeclinedRow.shop) == self._shop)
            .order_by(col(DeclinedRow.key))
        )
        return tuple(
            Declined(key=row.key, evidence=row.evidence, declined_at=row.declined_at, by=row.by)
            for row in rows
        )

    def put(self, declined: Declined) -> None:
        """Keep one, in place of one of the same key."""
        self._session.merge(
            DeclinedRow(
                shop=self._shop,
                key=declined.key,
                evidence=declined.evidence,
                declined_at=declined.declined_at,
                by=declined.by,
            )
        )
        self._session.flush()

    def remove(self, key: str) -> None:
        """Take one out. Raises Unknown."""
        row = self._session.get(DeclinedRow, (self._shop, key))
        if row is None:
            raise Unknown(kind="declined change", key=key)
        self._session.delete(row)
        self._session.flush()
