"""The versions of one shop."""

from __future__ import annotations

import json

from sqlalchemy import func, select, update
from sqlmodel import Session, col

from mouldwright.store.audit import untold
from mouldwright.store.repositories.counters import Counters
from mouldwright.store.tables import CounterRow, ShopRow, ShopVersionRow
from mouldwright.store.touched import rows_touched
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import ShopVersion

_ERASURES = "erasures"


class ShopVersions:
    """Every version of one shop; see ``usecases.ports.Shops``."""

    def __init__(self, session: Session, shop: str) -> None:
        """Open it for one shop."""
        self._session, self._shop = session, shop
        self._counters = Counters(session, shop)

    def version(self) -> int:
        """Return the number of the version that holds. Raises Unknown."""
        found = self._session.scalar(
            select(col(ShopRow.version)).where(col(ShopRow.key) == self._shop)
        )
        if found is None:
            raise Unknown(kind="shop", key=self._shop)
        return found

    def now(self) -> ShopVersion:
        """Return the version that holds. Raises Unknown."""
        return self.at(self.version())

    def at(self, version: int) -> ShopVersion:
        """Return one version. Raises Unknown where there is none."""
        erasures = (
            select(col(CounterRow.value))
            .where(col(CounterRow.shop) == self._shop, col(CounterRow.name) == _ERASURES)
            .scalar_subquery()
        )
        found = self._session.execute(
            select(ShopVersionRow, erasures).where(
                col(ShopVersionRow.shop) == self._shop, col(ShopVersionRow.version) == version
            )
        ).one_or_none()
        if found is None:
            raise Unknown(kind="version", key=f"{self._shop} {version}")
        return version_of(found[0], erasures=found[1] or 0)

    def erasures(self) -> int:
        """Return how often a customer was erased from the versions."""
        return self._counters.value(_ERASURES)

    def write(self, version: ShopVersion) -> None:
        """Keep a version and let it hold.

        Raises:
            ValueError: if it is another shop's.
        """
        if version.key != self._shop:
            raise ValueError(f"this unit is for {self._shop}, not for {version.key}")
        self._session.add(row_of(version))
        self._session.execute(
            update(ShopRow).where(col(ShopRow.key) == self._shop).values(version=version.version)
        )
        self._session.flush()

    def forget_customer(self, customer: str) -> int:
        """Erase a customer's name from every version; return in how many it stood.

        Nothing else in a version ever changes, so what was worked out from it stays.
        """
        # As the documents are written: a quote within a text has a backslash before it.
        named = f'"customer": {json.dumps(customer, ensure_ascii=False)}'
        document = col(ShopVersionRow.document)
        blank = func.replace(document, named, '"customer": ""')
        erased = self._session.execute(
            update(ShopVersionRow)
            .where(col(ShopVersionRow.shop) == self._shop, blank != document)
            .values(document=blank)
            .execution_options(**untold("the use case tells"))
        )
        found = rows_touched(erased)
        if found:
            # Whoever has a copy with the name must not be told that it still holds.
            self._counters.draw(_ERASURES)
        return found


def version_of(row: ShopVersionRow, *, erasures: int = 0) -> ShopVersion:
    """Return the value of a row."""
    return ShopVersion(
        key=row.shop,
        version=row.version,
        title=row.title,
        document=row.document,
        written_at=row.written_at,
        written_by=row.written_by,
        erasures=erasures,
    )


def row_of(version: ShopVersion) -> ShopVersionRow:
    """Return the row of a value."""
    return ShopVersionRow(
        shop=version.key,
        version=version.version,
        title=version.title,
        document=version.document,
        written_at=version.written_at,
        written_by=version.written_by,
    )
