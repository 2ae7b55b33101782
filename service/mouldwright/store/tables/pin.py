"""What is pinned on the board."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Text
from sqlmodel import Field

from mouldwright.store.columns import UtcInstant
from mouldwright.store.tables.base import Row


class PinRow(Row, table=True):
    """Tasks that are pinned together, as a document; what was taken out stays for old quotes."""

    __tablename__ = "pin"

    shop: str = Field(
        primary_key=True, max_length=64, sa_column_args=[ForeignKey("shop.key", ondelete="CASCADE")]
    )
    id: str = Field(primary_key=True, max_length=64)
    pinned_at: datetime = Field(sa_type=UtcInstant)
    by: str = Field(sa_type=Text)
    document: str = Field(sa_type=Text)
    binds: bool = True
