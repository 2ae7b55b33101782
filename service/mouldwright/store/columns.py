"""Columns that give back exactly what was put in, on either database."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import DateTime, Dialect, String
from sqlalchemy.types import TypeDecorator


class UtcInstant(TypeDecorator[datetime]):
    """A zone-aware instant, kept in UTC and given back in UTC.

    A time without a zone is refused when it is written: nobody could say later what it meant.
    """

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Return the instant in UTC; SQLite keeps it without its zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError(f"{value.isoformat()} has no zone; only instants are kept")
        instant = value.astimezone(UTC)
        return instant.replace(tzinfo=None) if dialect.name == "sqlite" else instant

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Return the instant with its zone."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


class ExactDecimal(TypeDecorator[Decimal]):
    """A decimal kept as text, since SQLite would make a binary float of it.

    It cannot be summed in SQL. An amount that must be is a column of whole minor units.
    """

    impl = String(64)
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        """Return the decimal written out; anything but a finite decimal is refused."""
        if value is None:
            return None
        if not isinstance(value, Decimal) or not value.is_finite():
            raise TypeError(f"{value!r} is not a finite decimal")
        return f"{value:f}"

    def process_result_value(self, value: str | None, dialect: Dialect) -> Decimal | None:
        """Return the decimal with the digits it was written with."""
        return None if value is None else Decimal(value)
