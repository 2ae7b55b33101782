"""Days and instants as people say them, for sentences that are read."""

from __future__ import annotations

from datetime import date, datetime

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def spoken_day(at: date | datetime) -> str:
    """Return a day with its year: Wed 10 Mar 2027."""
    return f"{DAYS[at.weekday()]} {at.day} {MONTHS[at.month - 1]} {at.year}"


def spoken_moment(at: datetime) -> str:
    """Return a local instant with its year: Wed 10 Mar 2027, 14:05."""
    return f"{spoken_day(at)}, {at:%H:%M}"
