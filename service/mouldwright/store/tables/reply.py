"""Replies kept so that a request made twice is done once."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Text
from sqlmodel import Field

from mouldwright.store.columns import UtcInstant
from mouldwright.store.tables.base import Row


class KeptReplyRow(Row, table=True):
    """What was answered to a request that carried a key."""

    __tablename__ = "kept_reply"

    caller: str = Field(primary_key=True, max_length=64)
    key: str = Field(primary_key=True, max_length=200)
    # None where it was asked of no one shop.
    shop: str | None = Field(default=None, max_length=64)
    fingerprint: str = Field(max_length=64)
    status: int
    headers: str = Field(sa_type=Text)
    body: str = Field(sa_type=Text)
    kept_at: datetime = Field(sa_type=UtcInstant, index=True)
