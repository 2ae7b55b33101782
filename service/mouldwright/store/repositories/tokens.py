"""Tokens of one shop, or of all of them for a keeper."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select
from sqlmodel import Session, col

from mouldwright.store.tables import SignInRow, TokenRow
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import Role, Token


class ShopTokens:
    """The tokens of one shop; see ``usecases.ports.Tokens``."""

    def __init__(self, session: Session, shop: str | None) -> None:
        """Open it for one shop; None opens it for every shop."""
        self._session, self._shop = session, shop

    def issue(self, token: Token, secret_hash: str) -> None:
        """Keep a token.

        Raises:
            ValueError: if it is another shop's.
        """
        if self._shop is not None and token.shop != self._shop:
            raise ValueError(f"this unit is for {self._shop}, not for {token.shop}")
        self._session.add(
            TokenRow(
                id=token.id,
                secret_hash=secret_hash,
                shop=token.shop,
                role=token.role.value,
                label=token.label,
                issued_at=token.issued_at,
                expires_at=token.expires_at,
                revoked_at=token.revoked_at,
            )
        )
        self._session.flush()

    def by_id(self, token_id: str) -> Token:
        """Return a token. Raises Unknown."""
        return token_of(self._row(token_id))

    def revoke(self, token_id: str, at: datetime) -> None:
        """Withdraw a token for good. Raises Unknown."""
        row = self._row(token_id)
        row.revoked_at = row.revoked_at or at
        self._session.add(row)
        self._session.flush()

    def end_by(self, token_id: str, at: datetime) -> None:
        """Let a token expire no later than an instant. Raises Unknown."""
        row = self._row(token_id)
        row.expires_at = min(row.expires_at, at)
        self._session.add(row)
        self._session.flush()

    def listed(self) -> tuple[Token, ...]:
        """Return all of them, the oldest first."""
        asked = select(TokenRow).order_by(col(TokenRow.issued_at), col(TokenRow.id))
        if self._shop is not None:
            asked = asked.where(col(TokenRow.shop) == self._shop)
        return tuple(token_of(row) for row in self._session.scalars(asked))

    def lapse_sign_ins(self, at: datetime) -> int:
        """Let every sign-in link not opened yet lapse, or a keeper's; return how many."""
        asked = select(SignInRow).where(
            # A column that is to be nothing is asked for by "is", which this makes of None.
            col(SignInRow.shop) == self._shop,
            col(SignInRow.used_at).is_(None),
            col(SignInRow.expires_at) > at,
        )
        rows = self._session.scalars(asked).all()
        for row in rows:
            row.expires_at = at
        self._session.flush()
        return len(rows)

    def _row(self, token_id: str) -> TokenRow:
        row = self._session.get(TokenRow, token_id)
        if row is None or (self._shop is not None and row.shop != self._shop):
            raise Unknown(kind="token", key=token_id)
        return row


def token_of(row: TokenRow) -> Token:
    """Return the value of a row."""
    return Token(
        id=row.id,
        shop=row.shop,
        role=Role(row.role),
        label=row.label,
        issued_at=row.issued_at,
        expires_at=row.expires_at,
        revoked_at=row.revoked_at,
    )
