"""Replies to requests that must be done once."""

from __future__ import annotations

import json
from datetime import datetime

from sqlalchemy import delete, func, select, update
from sqlmodel import Session, col

from mouldwright.store.tables import KeptReplyRow, TokenRow
from mouldwright.usecases.errors import KeyReused
from mouldwright.usecases.kept import Asked, Reply


class KeptReplies:
    """Replies by caller and key; see ``usecases.ports.Replies``."""

    def __init__(self, session: Session) -> None:
        """Open it."""
        self._session = session

    def find(self, asked: Asked) -> Reply | None:
        """Return the reply given before. Raises KeyReused where something else was asked."""
        row = self._session.get(KeptReplyRow, (asked.caller, asked.key))
        if row is None:
            return None
        if row.fingerprint != asked.fingerprint:
            raise KeyReused(asked.key)
        return Reply(status=row.status, body=row.body, headers=json.loads(row.headers))

    def keep(self, asked: Asked, reply: Reply, at: datetime) -> None:
        """Keep a reply."""
        self._session.add(
            KeptReplyRow(
                caller=asked.caller,
                key=asked.key,
                fingerprint=asked.fingerprint,
                status=reply.status,
                headers=json.dumps(dict(reply.headers)),
                body=reply.body,
                kept_at=at,
            )
        )
        self._session.flush()

    def forget_customer(self, customer: str, *, shop: str) -> None:
        """Erase a customer's name from replies to those who may ask a shop."""
        named = f'"customer":{json.dumps(customer, ensure_ascii=False)}'
        body = col(KeptReplyRow.body)
        blank = func.replace(body, named, '"customer":""')
        callers = select(col(TokenRow.id)).where(
            (col(TokenRow.shop) == shop) | col(TokenRow.shop).is_(None)
        )
        self._session.execute(
            update(KeptReplyRow)
            .where(col(KeptReplyRow.caller).in_(callers), blank != body)
            .values(body=blank)
        )

    def forget_before(self, instant: datetime) -> int:
        """Remove replies kept before an instant; return how many there were."""
        gone = self._session.execute(
            delete(KeptReplyRow).where(col(KeptReplyRow.kept_at) < instant)
        )
        return int(gone.rowcount)  # type: ignore[attr-defined]
