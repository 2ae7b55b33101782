"""What was declined of what the log teaches."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Text
from sqlmodel import Field

from mouldwright.store.columns import UtcInstant
from mouldwright.store.tables.base import Row


class DeclinedRow(Row, table=True):
    """One learnt change that was declined."""

    __tablename__ = "declined"

    shop: str = Field(
        primary_key=True, max_length=64, sa_column_args=[ForeignKey("shop.key", ondelete="CASCADE")]
    )
    key: str = Field(primary_key=True, max_length=400)
    evidence: int
    declined_at: datetime = Field(sa_type=UtcInstant)
    by: str = Field(sa_type=Text)
