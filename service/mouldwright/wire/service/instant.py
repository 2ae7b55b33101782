"""An instant that a bench may name."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, overload
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, AwareDatetime

from mouldwright.wire.numbers import wrong

# Beyond these no bench plans, and at the ends of the calendar an offset leads out of it.
_FIRST_YEAR, _LAST_YEAR = 1970, 2199


def _within(instant: datetime) -> datetime:
    if not _FIRST_YEAR <= instant.year <= _LAST_YEAR:
        raise wrong(
            "that is no time a bench plans for.",
            f"Write a year from {_FIRST_YEAR} to {_LAST_YEAR}.",
        )
    return instant


Instant = Annotated[AwareDatetime, AfterValidator(_within)]


@overload
def in_zone(instant: datetime, zone: str) -> datetime: ...


@overload
def in_zone(instant: None, zone: str) -> None: ...


@overload
def in_zone(instant: datetime | None, zone: str) -> datetime | None: ...


def in_zone(instant: datetime | None, zone: str) -> datetime | None:
    """Return the same instant as the clock shows it in a time zone."""
    return None if instant is None else instant.astimezone(ZoneInfo(zone))
