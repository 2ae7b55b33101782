"""Replies to requests that must be done once."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from sqlalchemy import delete, select
from sqlmodel import Session, col

from mouldwright.store.tables import KeptReplyRow, TokenRow
from mouldwright.store.touched import rows_touched
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
        """Erase a customer's name and address from replies to those who may ask a shop."""
        named = json.dumps(customer, ensure_ascii=False)
        callers = select(col(TokenRow.id)).where(
            (col(TokenRow.shop) == shop) | col(TokenRow.shop).is_(None)
        )
        found = select(KeptReplyRow).where(
            col(KeptReplyRow.caller).in_(callers),
            col(KeptReplyRow.body).contains(named, autoescape=True),
        )
        for row in self._session.scalars(found):
            row.body = _without(json.loads(row.body), customer)
        self._session.flush()

    def forget_before(self, instant: datetime) -> int:
        """Remove replies kept before an instant; return how many there were."""
        gone = self._session.execute(
            delete(KeptReplyRow).where(col(KeptReplyRow.kept_at) < instant)
        )
        return rows_touched(gone)


def _without(body: Any, customer: str) -> str:
    """Return an answer without a customer's name, and without the address that stands beside it."""
    open_ones = [body]
    while open_ones:
        each = open_ones.pop()
        if isinstance(each, dict):
            if each.get("customer") == customer:
                each["customer"] = ""
                if "address" in each:
                    each["address"] = []
            open_ones.extend(each.values())
        elif isinstance(each, list):
            open_ones.extend(each)
    return json.dumps(body, ensure_ascii=False, separators=(",", ":"))
