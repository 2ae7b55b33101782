"""Who changed what in one shop, or in what belongs to none."""

from __future__ import annotations

import json

from sqlalchemy import select
from sqlmodel import Session, col

from mouldwright.domain.record.audit_entry import Actor, AuditEntry, Changed
from mouldwright.store.tables import AuditRow
from mouldwright.usecases.audit import AuditQuery


class ShopAudit:
    """See ``usecases.audit.Audit``."""

    def __init__(self, session: Session, shop: str) -> None:
        """Open it for one shop; the empty key opens it for what belongs to none."""
        self._session, self._shop = session, shop

    def listed(self, query: AuditQuery) -> tuple[AuditEntry, ...]:
        """Return entries, the newest first."""
        wanted = (
            select(AuditRow)
            .where(col(AuditRow.shop) == self._shop)
            .order_by(col(AuditRow.number).desc())
            .limit(query.limit)
        )
        if query.before is not None:
            wanted = wanted.where(col(AuditRow.number) < query.before)
        if query.thing is not None:
            wanted = wanted.where(col(AuditRow.thing) == query.thing)
        if query.key is not None:
            wanted = wanted.where(col(AuditRow.key) == query.key)
        if query.token is not None:
            wanted = wanted.where(col(AuditRow.token) == query.token)
        return tuple(entry_of(row) for row in self._session.scalars(wanted))

    def things(self) -> tuple[str, ...]:
        """Return what kinds of things there are entries of, in order."""
        found = self._session.scalars(
            select(col(AuditRow.thing))
            .where(col(AuditRow.shop) == self._shop)
            .distinct()
            .order_by(col(AuditRow.thing))
        )
        return tuple(found)


def entry_of(row: AuditRow) -> AuditEntry:
    """Return the value of a row."""
    return AuditEntry(
        number=row.number,
        at=row.at,
        actor=Actor(token=row.token, label=row.label, role=row.role, request=row.request),
        verb=row.verb,  # type: ignore[arg-type]  # nothing else is written
        thing=row.thing,
        key=row.key,
        changes=tuple(
            Changed(what=what, before=before, after=after)
            for what, before, after in json.loads(row.changes)
        ),
        left_out=row.left_out,
    )
