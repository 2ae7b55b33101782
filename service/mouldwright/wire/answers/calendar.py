"""Answer to "what stands in the calendar?"."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from pydantic import BaseModel, Field

from mouldwright.domain.calendar_event import KeptEvent
from mouldwright.domain.hours.opening import local


class EventAnswer(BaseModel):
    """An entry of a calendar."""

    uid: str
    title: str
    start: datetime | date = Field(description="its first minute, or its first day")
    end: datetime | date = Field(description="the minute after its last, or the day after it")
    place: str
    people: list[str]
    mould: str | None
    stations: list[str]
    notes: str


class CalendarAnswer(BaseModel):
    """A calendar of a plan."""

    title: str
    zone: str
    events: list[EventAnswer]

    @classmethod
    def of(cls, title: str, zone: str, events: Iterable[KeptEvent]) -> CalendarAnswer:
        """Return the answer for a calendar."""
        return cls(title=title, zone=zone, events=[_event(each, zone) for each in events])


def _event(kept: KeptEvent, zone: str) -> EventAnswer:
    told = kept.event
    start: datetime | date
    end: datetime | date
    if told.days is not None:
        start, end = told.days
    else:
        first, after = told.span or (0, 0)
        start, end = local(first, zone), local(after, zone)
    return EventAnswer(
        uid=told.uid,
        title=told.title,
        start=start,
        end=end,
        place=told.place,
        people=list(told.people),
        mould=told.mould,
        stations=list(told.stations),
        notes=told.notes,
    )
