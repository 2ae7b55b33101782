"""The log of the bench: entries that are only ever added, and what each is about."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, ForeignKeyConstraint, Index, Text
from sqlmodel import Field

from mouldwright.store.columns import UtcInstant
from mouldwright.store.tables.base import Row


class LogEntryRow(Row, table=True):
    """One thing that happened, as a document; never changed."""

    __tablename__ = "log_entry"
    __table_args__ = (
        Index(None, "shop", "said_once", unique=True),
        Index(None, "shop", "at"),
    )

    shop: str = Field(
        primary_key=True, max_length=64, sa_column_args=[ForeignKey("shop.key", ondelete="CASCADE")]
    )
    number: int = Field(primary_key=True)
    what: str = Field(max_length=16)
    at: datetime = Field(sa_type=UtcInstant)
    takes_back: int | None = None
    said_once: str | None = Field(default=None, max_length=200)
    document: str = Field(sa_type=Text)


class LogAboutRow(Row, table=True):
    """An order, a mould, a person or a material that an entry is about, to find it by."""

    __tablename__ = "log_about"
    __table_args__ = (
        ForeignKeyConstraint(
            ["shop", "number"], ["log_entry.shop", "log_entry.number"], ondelete="CASCADE"
        ),
        Index(None, "shop", "kind", "name", "number"),
    )

    shop: str = Field(primary_key=True, max_length=64)
    number: int = Field(primary_key=True)
    kind: str = Field(primary_key=True, max_length=16)
    name: str = Field(primary_key=True, max_length=200)
