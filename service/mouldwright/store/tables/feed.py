"""Feeds, kept as hashes of their addresses alone, and what calendars were told."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, Text
from sqlmodel import Field

from mouldwright.store.columns import UtcInstant
from mouldwright.store.tables.base import Row


class FeedRow(Row, table=True):
    """An address of one feed: the hash of its secret, what it gives, whether it still does."""

    __tablename__ = "feed"
    __table_args__ = (
        CheckConstraint("kind IN ('calendar', 'notices')", name="kind_known"),
        CheckConstraint("about IN ('shop', 'person', 'mould', 'station')", name="about_known"),
        Index(None, "shop"),
    )

    id: str = Field(primary_key=True, max_length=64)
    secret_hash: str = Field(max_length=64, unique=True)
    shop: str = Field(max_length=64, sa_column_args=[ForeignKey("shop.key", ondelete="CASCADE")])
    kind: str = Field(max_length=16)
    about: str = Field(max_length=16)
    key: str = Field(max_length=250)
    label: str = Field(max_length=200)
    made_by: str = Field(max_length=64)
    made_at: datetime = Field(sa_type=UtcInstant)
    revoked_at: datetime | None = Field(default=None, sa_type=UtcInstant)


class ToldEventsRow(Row, table=True):
    """What the calendars of a shop were last told, as a document."""

    __tablename__ = "told_events"

    shop: str = Field(
        primary_key=True, max_length=64, sa_column_args=[ForeignKey("shop.key", ondelete="CASCADE")]
    )
    mark: str = Field(max_length=200)
    version: int
    document: str = Field(sa_type=Text)
