"""What calendars were told, as it is kept: each event as it stood, and how often it was changed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from datetime import date, datetime

from pydantic import BaseModel

from mouldwright.domain.calendar_event import CalendarEvent, KeptEvent


class EventDocument(BaseModel):
    """An event of a calendar; see ``domain.calendar_event.CalendarEvent``."""

    uid: str
    title: str
    span: tuple[int, int] | None
    days: tuple[date, date] | None
    notes: str
    place: str
    people: tuple[str, ...]
    mould: str | None
    stations: tuple[str, ...]
    is_busy: bool
    for_all: bool


class KeptEventDocument(BaseModel):
    """An event and what was told of it; see ``domain.calendar_event.KeptEvent``."""

    event: EventDocument
    sequence: int
    changed_at: datetime
    is_cancelled: bool


class KeptEventsDocument(BaseModel):
    """All that was told."""

    events: list[KeptEventDocument]

    @classmethod
    def of(cls, kept: Iterable[KeptEvent]) -> KeptEventsDocument:
        """Return the document of events."""
        return cls.model_validate({"events": [asdict(each) for each in kept]})

    def values(self) -> tuple[KeptEvent, ...]:
        """Return the events."""
        return tuple(
            KeptEvent(
                event=CalendarEvent(**dict(each.event)),
                sequence=each.sequence,
                changed_at=each.changed_at,
                is_cancelled=each.is_cancelled,
            )
            for each in self.events
        )
