"""The feeds of one shop."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from functools import lru_cache

from sqlalchemy import select
from sqlmodel import Session, col

from mouldwright.domain.calendar_event import KeptEvent
from mouldwright.store.tables import FeedRow, ToldEventsRow
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_feed import Feed, ToldEvents
from mouldwright.wire.kept_events import KeptEventsDocument

# A calendar is looked at every few minutes, and changes with the plan alone.
_READ_LATELY = 8


class ShopFeeds:
    """See ``usecases.promise_ports.Feeds``."""

    def __init__(self, session: Session, shop: str) -> None:
        """Open it for one shop."""
        self._session, self._shop = session, shop

    def add(self, feed: Feed, secret_hash: str) -> None:
        """Keep a feed.

        Raises:
            ValueError: if it is another shop's.
        """
        if feed.shop != self._shop:
            raise ValueError(f"this unit is for {self._shop}, not for {feed.shop}")
        self._session.add(
            FeedRow(
                id=feed.id,
                secret_hash=secret_hash,
                shop=feed.shop,
                kind=feed.kind,
                about=feed.about,
                key=feed.key,
                label=feed.label,
                made_by=feed.made_by,
                made_at=feed.made_at,
                revoked_at=feed.revoked_at,
            )
        )
        self._session.flush()

    def listed(self) -> tuple[Feed, ...]:
        """Return all of them, the oldest first."""
        rows = self._session.scalars(
            select(FeedRow)
            .where(col(FeedRow.shop) == self._shop)
            .order_by(col(FeedRow.made_at), col(FeedRow.id))
        )
        return tuple(feed_of(row) for row in rows)

    def revoke(self, feed: str, at: datetime) -> None:
        """Withdraw a feed for good. Raises Unknown."""
        row = self._session.get(FeedRow, feed)
        if row is None or row.shop != self._shop:
            raise Unknown(kind="feed", key=feed)
        row.revoked_at = row.revoked_at or at
        self._session.flush()

    def told(self) -> ToldEvents:
        """Return what the calendars were last told."""
        row = self._session.get(ToldEventsRow, self._shop)
        if row is None:
            return ToldEvents()
        return ToldEvents(mark=row.mark, version=row.version, events=_events_of(row.document))

    def tell(self, told: ToldEvents) -> None:
        """Keep what the calendars are told from now on."""
        document = KeptEventsDocument.of(told.events.values()).model_dump_json()
        row = self._session.get(ToldEventsRow, self._shop)
        if row is None:
            row = ToldEventsRow(shop=self._shop, mark="", version=0, document="")
            self._session.add(row)
        row.mark, row.version, row.document = told.mark, told.version, document
        self._session.flush()


@lru_cache(_READ_LATELY)
def _events_of(document: str) -> Mapping[str, KeptEvent]:
    """Return the events of a document by uid; those read lately are not read anew."""
    events = KeptEventsDocument.model_validate_json(document).values()
    return {each.event.uid: each for each in events}


def feed_of(row: FeedRow) -> Feed:
    """Return the value of a row."""
    return Feed(
        id=row.id,
        shop=row.shop,
        kind=row.kind,  # type: ignore[arg-type]  # the table's check holds it
        about=row.about,  # type: ignore[arg-type]  # the same
        key=row.key,
        label=row.label,
        made_by=row.made_by,
        made_at=row.made_at,
        revoked_at=row.revoked_at,
    )
