"""Instants as whole minutes."""

from __future__ import annotations

from datetime import datetime
from functools import cache

from mouldwright.domain.hours.opening import minute_of


@cache
def minute(text: str) -> int:
    """Return the minute of an instant in ISO 8601."""
    return minute_of(datetime.fromisoformat(text))
