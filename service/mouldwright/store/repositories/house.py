"""What belongs to no one shop."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import select, update
from sqlmodel import Session, col

from mouldwright.domain.record.log import LogEntry
from mouldwright.store.audit import untold
from mouldwright.store.repositories.feeds import feed_of
from mouldwright.store.repositories.links import link_of
from mouldwright.store.repositories.log import ShopLog
from mouldwright.store.repositories.shops import row_of, version_of
from mouldwright.store.repositories.tokens import token_of
from mouldwright.store.runs_standing import standing_of
from mouldwright.store.tables import (
    FeedRow,
    QuoteLinkRow,
    ShopRow,
    ShopVersionRow,
    SignInRow,
    TokenRow,
)
from mouldwright.usecases.diagnosis import Work
from mouldwright.usecases.errors import AlreadyThere
from mouldwright.usecases.kept import Role, ShopVersion, SignIn, Token
from mouldwright.usecases.kept_feed import Feed
from mouldwright.usecases.kept_link import QuoteLink


class WholeHouse:
    """The list of shops, and the door; see ``usecases.ports.House``."""

    def __init__(self, session: Session) -> None:
        """Open it."""
        self._session = session

    def shops(self) -> tuple[ShopVersion, ...]:
        """Return the version of each shop that holds, in order of their keys."""
        holding = (
            select(ShopVersionRow)
            .join(ShopRow, col(ShopRow.key) == col(ShopVersionRow.shop))
            .where(col(ShopRow.version) == col(ShopVersionRow.version))
            .order_by(col(ShopRow.key))
        )
        return tuple(version_of(row) for row in self._session.scalars(holding))

    def add_shop(self, first: ShopVersion, log: Sequence[LogEntry] = ()) -> None:
        """Keep a new shop and the log it comes with. Raises AlreadyThere where the key is taken."""
        if self._session.get(ShopRow, first.key) is not None:
            raise AlreadyThere(kind="shop", key=first.key)
        self._session.add(ShopRow(key=first.key, version=first.version, added_at=first.written_at))
        self._session.flush()
        self._session.add(row_of(first))
        self._session.flush()
        ShopLog(self._session, first.key).bring(log)

    def work(self, now: datetime) -> Work:
        """Return how the runs of all shops stand at an instant."""
        return standing_of(self._session, now)

    def token_by_secret(self, secret_hash: str) -> Token | None:
        """Return the token a secret belongs to, None where it belongs to none."""
        asked = select(TokenRow).where(col(TokenRow.secret_hash) == secret_hash)
        row = self._session.scalars(asked).one_or_none()
        return None if row is None else token_of(row)

    def link_by_secret(self, secret_hash: str) -> QuoteLink | None:
        """Return the link to a quote that a secret belongs to, None where it belongs to none."""
        asked = select(QuoteLinkRow).where(col(QuoteLinkRow.secret_hash) == secret_hash)
        row = self._session.scalars(asked).one_or_none()
        return None if row is None else link_of(row)

    def feed_by_secret(self, secret_hash: str) -> Feed | None:
        """Return the feed that a secret belongs to, None where it belongs to none."""
        asked = select(FeedRow).where(col(FeedRow.secret_hash) == secret_hash)
        row = self._session.scalars(asked).one_or_none()
        return None if row is None else feed_of(row)

    def promise_sign_in(self, sign_in: SignIn, code_hash: str) -> None:
        """Keep a one-time link."""
        self._session.add(
            SignInRow(
                code_hash=code_hash,
                shop=sign_in.shop,
                role=sign_in.role.value,
                expires_at=sign_in.expires_at,
            )
        )
        self._session.flush()

    def use_sign_in(self, code_hash: str, at: datetime) -> SignIn | None:
        """Use a one-time link up; None where there is none, or it was used or has lapsed."""
        used = self._session.execute(
            update(SignInRow)
            .where(col(SignInRow.code_hash) == code_hash)
            .where(col(SignInRow.used_at).is_(None))
            .where(col(SignInRow.expires_at) > at)
            .values(used_at=at)
            .execution_options(**untold("the token it gives is told"))
            .returning(col(SignInRow.shop), col(SignInRow.role), col(SignInRow.expires_at))
        ).one_or_none()
        if used is None:
            return None
        return SignIn(shop=used[0], role=Role(used[1]), expires_at=used[2])
