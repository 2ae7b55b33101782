"""The links to quotes of one shop."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select
from sqlmodel import Session, col

from mouldwright.store.tables import QuoteLinkRow
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_link import CustomersAnswer, QuoteLink


class ShopQuoteLinks:
    """See ``usecases.promise_ports.QuoteLinks``."""

    def __init__(self, session: Session, shop: str) -> None:
        """Open it for one shop."""
        self._session, self._shop = session, shop

    def add(self, link: QuoteLink, secret_hash: str) -> None:
        """Keep a link.

        Raises:
            ValueError: if it is another shop's.
        """
        if link.shop != self._shop:
            raise ValueError(f"this unit is for {self._shop}, not for {link.shop}")
        self._session.add(
            QuoteLinkRow(
                id=link.id,
                secret_hash=secret_hash,
                shop=link.shop,
                quote=link.quote,
                may_answer=link.may_answer,
                made_by=link.made_by,
                made_at=link.made_at,
                expires_at=link.expires_at,
                revoked_at=link.revoked_at,
                answer=link.answer,
                answered_at=link.answered_at,
            )
        )
        self._session.flush()

    def by_id(self, quote: int, link: str) -> QuoteLink:
        """Return a link to a quote. Raises Unknown."""
        return link_of(self._row(quote, link))

    def listed(self, quote: int) -> tuple[QuoteLink, ...]:
        """Return all links to a quote, the oldest first."""
        rows = self._session.scalars(
            select(QuoteLinkRow)
            .where(col(QuoteLinkRow.shop) == self._shop, col(QuoteLinkRow.quote) == quote)
            .order_by(col(QuoteLinkRow.made_at), col(QuoteLinkRow.id))
        )
        return tuple(link_of(row) for row in rows)

    def revoke(self, quote: int, link: str, at: datetime) -> None:
        """Withdraw a link for good. Raises Unknown."""
        row = self._row(quote, link)
        row.revoked_at = row.revoked_at or at
        self._session.flush()

    def note_answer(self, quote: int, link: str, answer: CustomersAnswer, at: datetime) -> None:
        """Note what was answered by a link. Raises Unknown."""
        row = self._row(quote, link)
        row.answer, row.answered_at = answer, at
        self._session.flush()

    def _row(self, quote: int, link: str) -> QuoteLinkRow:
        row = self._session.get(QuoteLinkRow, link)
        if row is None or (row.shop, row.quote) != (self._shop, quote):
            raise Unknown(kind="link", key=link)
        return row


def link_of(row: QuoteLinkRow) -> QuoteLink:
    """Return the value of a row."""
    return QuoteLink(
        id=row.id,
        shop=row.shop,
        quote=row.quote,
        may_answer=row.may_answer,
        made_by=row.made_by,
        made_at=row.made_at,
        expires_at=row.expires_at,
        revoked_at=row.revoked_at,
        answer=row.answer,  # type: ignore[arg-type]  # the table's check holds it
        answered_at=row.answered_at,
    )
