"""Links by which customers see a quote of theirs, kept as hashes alone."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKeyConstraint, Index
from sqlmodel import Field

from mouldwright.store.columns import UtcInstant
from mouldwright.store.tables.base import Row


class QuoteLinkRow(Row, table=True):
    """A link to one quote: the hash of its secret, how long it holds, what came of it."""

    __tablename__ = "quote_link"
    __table_args__ = (
        CheckConstraint("answer IN ('accepted', 'declined')", name="answer_known"),
        ForeignKeyConstraint(["shop", "quote"], ["quote.shop", "quote.number"], ondelete="CASCADE"),
        Index(None, "shop", "quote"),
    )

    id: str = Field(primary_key=True, max_length=64)
    secret_hash: str = Field(max_length=64, unique=True)
    shop: str = Field(max_length=64)
    quote: int
    may_answer: bool
    made_by: str = Field(max_length=64)
    made_at: datetime = Field(sa_type=UtcInstant)
    expires_at: datetime = Field(sa_type=UtcInstant)
    revoked_at: datetime | None = Field(default=None, sa_type=UtcInstant)
    answer: str | None = Field(default=None, max_length=16)
    answered_at: datetime | None = Field(default=None, sa_type=UtcInstant)
