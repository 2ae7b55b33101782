"""Replies to requests that must be done once."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from sqlalchemy import delete, select
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col

from mouldwright.store.fence import for_every_shop
from mouldwright.store.tables import KeptReplyRow
from mouldwright.store.touched import rows_touched
from mouldwright.usecases.errors import KeyReused
from mouldwright.usecases.kept import Asked, Reply


class KeptReplies:
    """Replies by caller and key; see ``usecases.ports.Replies``."""

    def __init__(self, session: Session, shop: str | None) -> None:
        """Open it for what is asked of one shop; None opens it for what is asked of none."""
        self._session, self._shop = session, shop

    def find(self, asked: Asked) -> Reply | None:
        """Return the reply given before. Raises KeyReused where something else was asked."""
        row = self._session.get(KeptReplyRow, (asked.caller, asked.key))
        if row is None:
            return None
        if row.fingerprint != asked.fingerprint:
            raise KeyReused(asked.key)
        return Reply(status=row.status, body=row.body, headers=json.loads(row.headers))

    def keep(self, asked: Asked, reply: Reply, at: datetime) -> None:
        """Keep a reply. Raises KeyReused where the caller's key was used for another shop."""
        self._session.flush()
        self._session.add(
            KeptReplyRow(
                caller=asked.caller,
                shop=self._shop,
                key=asked.key,
                fingerprint=asked.fingerprint,
                status=reply.status,
                headers=json.dumps(dict(reply.headers)),
                body=reply.body,
                kept_at=at,
            )
        )
        try:
            self._session.flush()
        except IntegrityError as error:
            # A keeper's, which this unit need not see.
            raise KeyReused(asked.key) from error

    def forget_customer(self, customer: str, *, shop: str) -> None:
        """Erase a customer's name and address from a shop's replies, and from those of no shop."""
        named = json.dumps(customer, ensure_ascii=False)
        found = select(KeptReplyRow).where(
            (col(KeptReplyRow.shop) == shop) | col(KeptReplyRow.shop).is_(None),
            col(KeptReplyRow.body).contains(named, autoescape=True),
        )
        # Who added the shop was answered with all of it, and belongs to no shop.
        with for_every_shop(self._session):
            for row in self._session.scalars(found):
                row.body = _without(json.loads(row.body), customer)

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
