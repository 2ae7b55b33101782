"""One thing that waits for someone, and how lengths and moments are said of it."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.hours.opening import local
from mouldwright.domain.notice_kind import NoticeKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """Something that waits for someone.

    Attributes:
        key: Of what it is about: an order's or quote's number, a run's id, a material's key, a
            mould's name, a task's place in the plan; empty where it is about the whole shop.
        text: In a sentence.
        at: Minute by which it matters; None where it matters now.
        presses: Whether something breaks, is late or cannot go on.
    """

    kind: NoticeKind
    key: str
    text: str
    at: int | None = None
    presses: bool = False


def span(minutes: int) -> str:
    """Return a length of time in words: 45 min, 21 h 34, 3 days 2 h."""
    hours, left = divmod(minutes, 60)
    if not hours:
        return f"{left} min"
    if hours < 48:
        return f"{hours} h {left:02d}" if left else f"{hours} h"
    days, hours = divmod(hours, 24)
    return f"{days} days {hours} h" if hours else f"{days} days"


def clock_of(minute: int, zone: str) -> str:
    """Return a time of day: 09:05."""
    return f"{local(minute, zone):%H:%M}"


def when(minute: int, zone: str) -> str:
    """Return a moment: Mon 1 Mar, 09:05."""
    at = local(minute, zone)
    return f"{at:%a} {at.day} {at:%b}, {at:%H:%M}"
