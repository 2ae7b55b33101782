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


def clock_of(minute: int, zone: str) -> str:
    """Return a time of day: 09:05."""
    return f"{local(minute, zone):%H:%M}"


def when(minute: int, zone: str) -> str:
    """Return a moment: Mon 1 Mar, 09:05."""
    at = local(minute, zone)
    return f"{at:%a} {at.day} {at:%b}, {at:%H:%M}"
