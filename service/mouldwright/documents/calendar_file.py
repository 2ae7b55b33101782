"""A calendar as a file that calendar programs read (iCalendar, RFC 5545)."""

from __future__ import annotations

from datetime import UTC, date

from icalendar import Calendar as Written
from icalendar import Event

from mouldwright.domain.calendar_event import KeptEvent
from mouldwright.domain.hours.opening import local
from mouldwright.usecases.feeds import Calendar

MEDIA_TYPE = "text/calendar; charset=utf-8"
# How often a calendar program should look again; many keep to a pace of their own.
_LOOK_AGAIN = "PT15M"


def calendar_file(calendar: Calendar) -> bytes:
    """Return a calendar as a file: the same to the byte for the same calendar."""
    written = Written()
    written.add("version", "2.0")
    written.add("prodid", "-//mouldwright//feeds 1.0//EN")
    written.add("calscale", "GREGORIAN")
    # NAME and REFRESH-INTERVAL are of RFC 7986; the other two are what programs read before it.
    written.add("name", calendar.title)
    written.add("x-wr-calname", calendar.title)
    written.add("x-wr-timezone", calendar.zone)
    written.add("refresh-interval", _LOOK_AGAIN, parameters={"VALUE": "DURATION"}, encode=False)
    written.add("x-published-ttl", _LOOK_AGAIN)
    for kept in calendar.events:
        written.add_component(_event(kept, calendar.zone))
    _add_zone(written, calendar)
    return bytes(written.to_ical())


def _event(kept: KeptEvent, zone: str) -> Event:
    told, event = kept.event, Event()
    event.add("uid", told.uid)
    event.add("dtstamp", kept.changed_at.astimezone(UTC))
    event.add("last-modified", kept.changed_at.astimezone(UTC))
    event.add("sequence", kept.sequence)
    event.add("summary", told.title)
    start, end = _times(kept, zone)
    event.add("dtstart", start)
    # Its end is later than its start, or left out (RFC 5545, 3.6.1).
    if end > start:
        event.add("dtend", end)
    event.add("status", "CANCELLED" if kept.is_cancelled else "CONFIRMED")
    event.add("transp", "OPAQUE" if told.is_busy else "TRANSPARENT")
    if told.place:
        event.add("location", told.place)
    if told.notes:
        event.add("description", told.notes)
    return event


def _times(kept: KeptEvent, zone: str) -> tuple[date, date]:
    """Return when an event begins and ends.

    Times are local, with the rules of the zone beside them. Of a local time that comes twice
    the first is meant (RFC 5545, 3.3.5), so the second can only be said in UTC.
    """
    told = kept.event
    if told.days is not None:
        return told.days
    assert told.span is not None
    start, end = (local(minute, zone) for minute in told.span)
    if start.fold or end.fold:
        return start.astimezone(UTC), end.astimezone(UTC)
    return start, end


def _add_zone(written: Written, calendar: Calendar) -> None:
    """Write the rules of the zone for the days of the events."""
    if calendar.events:
        zone = calendar.zone
        written.add_missing_timezones(
            min(each.event.begins(zone) for each in calendar.events),
            max(each.event.ends(zone) for each in calendar.events),
        )
