"""What a calendar shows, and what is kept of it so that a moved event is known for the same one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from mouldwright.domain.hours.opening import Window, local, minute_of

# How long what is called off is still told of, and what is over still shown.
CANCELLED_DAYS, OVER_DAYS = 14, 28
# A sequence must not begin anew while a calendar may still hold the higher one.
REMEMBERED_DAYS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarEvent:
    """An entry of a calendar.

    Attributes:
        uid: Names it for good, whenever it is moved to.
        span: Its minutes since the epoch, half-open; None where it is of whole days.
        days: Its first day and the day after its last; None where it has times.
        title: What it is.
        notes: What else there is to know, in lines.
        place: Where.
        people: Keys of those whose hands are in it.
        mould: Name of the mould, None where it is on none.
        stations: Names of the units held.
        is_busy: Whether someone or something is taken up by it.
        for_all: Whether it concerns everyone, such as a closed day.
    """

    uid: str
    title: str
    span: Window | None = None
    days: tuple[date, date] | None = None
    notes: str = ""
    place: str = ""
    people: tuple[str, ...] = ()
    mould: str | None = None
    stations: tuple[str, ...] = ()
    is_busy: bool = True
    for_all: bool = False

    def __post_init__(self) -> None:
        """Raise ValueError unless it has either times or whole days."""
        if (self.span is None) == (self.days is None):
            raise ValueError("an event has either times or whole days")

    def begins(self, zone: str) -> date:
        """Return the local day it begins on."""
        return local(self.span[0], zone).date() if self.span is not None else self._days()[0]

    def ends(self, zone: str) -> date:
        """Return the local day after its last."""
        if self.span is not None:
            start, end = self.span
            return local(max(start, end - 1), zone).date() + timedelta(days=1)
        return self._days()[1]

    def _days(self) -> tuple[date, date]:
        assert self.days is not None
        return self.days


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptEvent:
    """An event as calendars were last told of it.

    Attributes:
        sequence: How often it was changed since it was first told (RFC 5545, 3.8.7.4).
        changed_at: When it was told first, or changed last.
        is_cancelled: Whether it was called off.
    """

    event: CalendarEvent
    sequence: int
    changed_at: datetime
    is_cancelled: bool = False


def caught_up(
    known: Mapping[str, KeptEvent],
    fresh: Iterable[CalendarEvent],
    *,
    zone: str,
    since: int,
    now: datetime,
) -> dict[str, KeptEvent]:
    """Return what is kept once calendars are told of the events as they are now.

    One that was changed has its sequence raised. One that is gone though it had yet to begin
    is called off, which is a change too; one that is gone and had begun stays as it was.

    Args:
        known: What was kept before, by uid.
        fresh: Every event as it is now.
        zone: Of the shop.
        since: Minute the newest plan was made for: what began before it is no more planned.
        now: Zone-aware.

    Returns:
        By uid.
    """
    found: dict[str, KeptEvent] = {}
    for event in fresh:
        before = known.get(event.uid)
        if before is None:
            found[event.uid] = KeptEvent(event=event, sequence=0, changed_at=now)
        elif before.event == event and not before.is_cancelled:
            found[event.uid] = before
        else:
            found[event.uid] = KeptEvent(event=event, sequence=before.sequence + 1, changed_at=now)
    for uid, kept in known.items():
        if uid in found:
            continue
        if not kept.is_cancelled and _had_yet_to_begin(kept.event, zone, since, now):
            found[uid] = replace(
                kept, sequence=kept.sequence + 1, changed_at=now, is_cancelled=True
            )
        elif _is_remembered(kept, zone, now):
            found[uid] = kept
    return found


def shown_on(kept: Iterable[KeptEvent], *, zone: str, day: date) -> tuple[KeptEvent, ...]:
    """Return what a calendar shows on a local day: what is to come, over or called off of late."""
    long_over, long_off = day - timedelta(days=OVER_DAYS), day - timedelta(days=CANCELLED_DAYS)
    seen = [
        each
        for each in kept
        if each.event.ends(zone) > long_over
        and not (each.is_cancelled and local(minute_of(each.changed_at), zone).date() < long_off)
    ]
    return tuple(sorted(seen, key=lambda each: (each.event.begins(zone), each.event.uid)))


def _had_yet_to_begin(event: CalendarEvent, zone: str, since: int, now: datetime) -> bool:
    if event.span is not None:
        return event.span[0] >= since
    return event.begins(zone) > local(minute_of(now), zone).date()


def _is_remembered(kept: KeptEvent, zone: str, now: datetime) -> bool:
    days = REMEMBERED_DAYS if kept.is_cancelled else OVER_DAYS
    return kept.event.ends(zone) + timedelta(days=days) > local(minute_of(now), zone).date()
