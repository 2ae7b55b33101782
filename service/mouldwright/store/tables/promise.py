"""Quotes in revisions, the orders they became, and the counters that number them."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import CheckConstraint, ForeignKey, ForeignKeyConstraint, Index, Text
from sqlmodel import Field

from mouldwright.store.columns import ExactDecimal, UtcInstant
from mouldwright.store.tables.base import Row

_STATES = "state IN ('draft', 'sent', 'accepted', 'declined', 'lapsed', 'superseded')"


class CounterRow(Row, table=True):
    """How far a sequence of a shop has come. It is drawn in the unit that uses the number."""

    __tablename__ = "counter"

    shop: str = Field(
        primary_key=True, max_length=64, sa_column_args=[ForeignKey("shop.key", ondelete="CASCADE")]
    )
    name: str = Field(primary_key=True, max_length=16)
    value: int


class QuoteRow(Row, table=True):
    """A quote: its number, and which revision is the newest."""

    __tablename__ = "quote"

    shop: str = Field(
        primary_key=True, max_length=64, sa_column_args=[ForeignKey("shop.key", ondelete="CASCADE")]
    )
    number: int = Field(primary_key=True)
    revision: int


class QuoteRevisionRow(Row, table=True):
    """One revision with all that made it; only state and customer ever change."""

    __tablename__ = "quote_revision"
    __table_args__ = (
        CheckConstraint(_STATES, name="state_known"),
        ForeignKeyConstraint(
            ["shop", "number"], ["quote.shop", "quote.number"], ondelete="CASCADE"
        ),
        ForeignKeyConstraint(
            ["shop", "shop_version"], ["shop_version.shop", "shop_version.version"]
        ),
        Index(None, "shop", "state", "valid_until"),
    )

    shop: str = Field(primary_key=True, max_length=64)
    number: int = Field(primary_key=True)
    revision: int = Field(primary_key=True)
    state: str = Field(max_length=16)
    shop_version: int
    part: str = Field(sa_type=Text)
    process: str | None = Field(default=None, sa_type=Text)
    quantity: int
    now_minute: int
    given_up: int
    booked: str = Field(sa_type=Text)
    currency: str = Field(max_length=3)
    zone: str = Field(max_length=64)
    unit_cost: Decimal = Field(sa_type=ExactDecimal)
    price_each: Decimal = Field(sa_type=ExactDecimal)
    net: Decimal = Field(sa_type=ExactDecimal)
    tax: Decimal = Field(sa_type=ExactDecimal)
    gross: Decimal = Field(sa_type=ExactDecimal)
    deposit: Decimal = Field(sa_type=ExactDecimal)
    finish_minute: int | None = None
    finish_odds: Decimal | None = Field(default=None, sa_type=ExactDecimal)
    valid_until: date
    made_at: datetime = Field(sa_type=UtcInstant)
    moved_at: datetime = Field(sa_type=UtcInstant)
    customer: str = Field(sa_type=Text)
    due: datetime | None = Field(default=None, sa_type=UtcInstant)
    document: str = Field(sa_type=Text)
    terms: str = Field(default="", sa_type=Text)
    address: str = Field(default="", sa_type=Text)
    day_ends_minute: int | None = None
    log_last: int = 0
    plan_version: int | None = None
    pins: str = Field(default="", sa_type=Text)


class BookingRow(Row, table=True):
    """An order that came from a quote."""

    __tablename__ = "booking"
    __table_args__ = (
        CheckConstraint("state IN ('open', 'cancelled')", name="state_known"),
        CheckConstraint("begun >= 0", name="begun_from_0"),
        ForeignKeyConstraint(
            ["shop", "quote", "revision"],
            ["quote_revision.shop", "quote_revision.number", "quote_revision.revision"],
            ondelete="CASCADE",
        ),
        Index(None, "shop", "state"),
        Index(None, "shop", "number", unique=True),
    )

    shop: str = Field(primary_key=True, max_length=64)
    quote: int = Field(primary_key=True)
    revision: int
    number: str = Field(max_length=64)
    state: str = Field(max_length=16)
    version: int
    part: str = Field(sa_type=Text)
    process: str | None = Field(default=None, sa_type=Text)
    quantity: int
    customer: str = Field(sa_type=Text)
    due: datetime | None = Field(default=None, sa_type=UtcInstant)
    weight: int
    release: datetime | None = Field(default=None, sa_type=UtcInstant)
    starts: int | None = None
    promised_minute: int | None = None
    expected_minute: int | None = None
    begun: int
    booked_at: datetime = Field(sa_type=UtcInstant)
