"""Runs in their queue, and the plans they left."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, Text, text, true
from sqlmodel import Field

from mouldwright.store.columns import UtcInstant
from mouldwright.store.tables.base import Row

_STATES = "state IN ('waiting', 'running', 'done', 'stale', 'cancelled', 'impossible', 'set aside')"


class RunRow(Row, table=True):
    """A run: what was asked, who has it until when, where it stands.

    Of one shop and subject no two run at once and no two wait; the indices see to it on any
    number of machines.
    """

    __tablename__ = "run"
    __table_args__ = (
        CheckConstraint(_STATES, name="state_known"),
        Index(
            "ix_run_one_running",
            "shop",
            "subject",
            unique=True,
            sqlite_where=text("state = 'running'"),
            postgresql_where=text("state = 'running'"),
        ),
        Index(
            "ix_run_one_waiting",
            "shop",
            "subject",
            unique=True,
            sqlite_where=text("state = 'waiting'"),
            postgresql_where=text("state = 'waiting'"),
        ),
        Index(None, "state", "asked_at"),
        Index(None, "shop", "asked_at"),
        Index(None, "shop", "begun_at"),
    )

    id: str = Field(primary_key=True, max_length=64)
    shop: str = Field(max_length=64, sa_column_args=[ForeignKey("shop.key", ondelete="CASCADE")])
    state: str = Field(max_length=16)
    why: str = Field(sa_type=Text)
    seconds: float
    seed: int
    asked_at: datetime = Field(sa_type=UtcInstant)
    attempts: int
    worker: str = Field(max_length=64)
    leased_until: datetime | None = Field(default=None, sa_type=UtcInstant)
    begun_at: datetime | None = Field(default=None, sa_type=UtcInstant)
    ended_at: datetime | None = Field(default=None, sa_type=UtcInstant)
    cancel_asked: bool
    publishes: bool = Field(sa_column_kwargs={"server_default": true()})
    shop_version: int | None = None
    book_version: int | None = None
    progress: str | None = Field(default=None, sa_type=Text)
    problems: str = Field(sa_type=Text)
    plan_version: int | None = None
    best: str | None = Field(default=None, sa_type=Text)
    subject: str = Field(max_length=250, sa_column_kwargs={"server_default": "plan"})
    ask: str | None = Field(default=None, sa_type=Text)
    answer: str | None = Field(default=None, sa_type=Text)
    traceparent: str = Field(default="", max_length=55, sa_column_kwargs={"server_default": ""})


class PlanRow(Row, table=True):
    """A plan as it was published; never changed."""

    __tablename__ = "plan"

    shop: str = Field(
        primary_key=True, max_length=64, sa_column_args=[ForeignKey("shop.key", ondelete="CASCADE")]
    )
    version: int = Field(primary_key=True)
    shop_version: int
    book_version: int
    run: str = Field(max_length=64)
    made_at: datetime = Field(sa_type=UtcInstant)
    document: str = Field(sa_type=Text)
