"""Shops, and every version of what was written about them."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Text
from sqlmodel import Field

from mouldwright.store.columns import UtcInstant
from mouldwright.store.tables.base import Row


class ShopRow(Row, table=True):
    """A shop: its key, and which version holds."""

    __tablename__ = "shop"
    __table_args__ = (CheckConstraint("version >= 1", name="version_from_1"),)

    key: str = Field(primary_key=True, max_length=64)
    version: int
    added_at: datetime = Field(sa_type=UtcInstant)


class ShopVersionRow(Row, table=True):
    """One version of a shop as it was written; it stays, but for a customer erased."""

    __tablename__ = "shop_version"
    __table_args__ = (CheckConstraint("version >= 1", name="version_from_1"),)

    shop: str = Field(
        primary_key=True, max_length=64, sa_column_args=[ForeignKey("shop.key", ondelete="CASCADE")]
    )
    version: int = Field(primary_key=True)
    title: str = Field(sa_type=Text)
    document: str = Field(sa_type=Text)
    written_at: datetime = Field(sa_type=UtcInstant)
    written_by: str = Field(max_length=64)
