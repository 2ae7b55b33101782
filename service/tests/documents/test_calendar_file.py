"""Calendars read back by a library that shares nothing with what wrote them.

Every task stands at its time, across both clock changes.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from io import StringIO
from zoneinfo import ZoneInfo

import pytest
from builders import at, hands, moulds, opening, order, person, process, shop, task
from builders import plan as planned
from dateutil.tz import tzical
from ical.calendar_stream import IcsCalendarStream
from promise_bench import DEMO

from mouldwright.documents.calendar_file import calendar_file
from mouldwright.domain.calendar_event import CalendarEvent, KeptEvent
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.planning.run import make_plan
from mouldwright.usecases.feeds import Calendar, plain_calendar

BERLIN = "Europe/Berlin"
NOW = datetime(2027, 3, 1, 8, tzinfo=UTC)
WORK = process(hands("load", 30))


def read(made: bytes):
    return IcsCalendarStream.calendar_from_ics(made.decode())


def entries(calendar: Calendar) -> list:
    """Return every entry that an independent reader expands a calendar to."""
    return list(read(calendar_file(calendar)).timeline)


def timed(found: list) -> list:
    return [entry for entry in found if isinstance(entry.dtstart, datetime)]


def minutes(entry) -> tuple[int, int]:
    return minute_of(entry.dtstart), minute_of(entry.dtend)


def of_plan(shop, plan, about="shop", key="") -> Calendar:
    return plain_calendar("key", shop, plan, about, key, now=local(plan.now, shop.zone))


@pytest.mark.parametrize(
    ("first", "day"),
    # Central European summer time 2027: from 28 March to 31 October (EU directive 2000/84/EC:
    # the last Sundays of March and October).
    [("2027-03-26 16:00", "2027-03-28"), ("2027-10-29 16:00", "2027-10-31")],
)
def test_a_cure_over_a_clock_change_is_read_with_its_elapsed_hours(first, day):
    start = at(first, BERLIN)
    cures = [
        task("cure", start + nth * 1440, start + (nth + 1) * 1440, pull=nth, mould="fin-mould 1")
        for nth in range(1, 4)
    ]
    there = shop(WORK, [order()], moulds=[moulds()], hours=opening(zone=BERLIN))
    plan = planned(there, start, cures, starts={"1": 4})
    found = sorted(minutes(entry) for entry in entries(of_plan(there, plan)))
    assert found == [(each.start, each.end) for each in cures]
    assert all(end - begin == 1440 for begin, end in found)
    changing = [e for e in entries(of_plan(there, plan)) if str(e.dtend.date()) == day]
    # The clock is set by an hour in that night: what the wall shows differs by it.
    assert {e.dtend.utcoffset() - e.dtstart.utcoffset() for e in changing} == {
        timedelta(hours=1 if day < "2027-06" else -1)
    }


def test_the_hour_that_comes_twice_is_told_apart():
    # 31 October 2027 in Berlin: 02:30 comes at 00:30 and again at 01:30 in UTC.
    once, again = at("2027-10-31 00:30"), at("2027-10-31 01:30")
    tasks = [
        task("start", when, when + 20, mould="fin-mould 1", pull=nth)
        for nth, when in enumerate((once, again), 1)
    ]
    there = shop(WORK, [order()], moulds=[moulds()], hours=opening(zone=BERLIN))
    plan = planned(there, once, tasks, starts={"1": 2})
    found = sorted(minutes(entry) for entry in entries(of_plan(there, plan)))
    assert found == [(once, once + 20), (again, again + 20)]


@pytest.mark.parametrize(
    ("when", "offset_h"),
    [("2027-03-26 09:00", 1), ("2027-03-29 09:00", 2), ("2027-11-01 09:00", 1)],
)
def test_the_offset_is_that_of_the_day_and_the_zone_is_written_beside(when, offset_h):
    start = at(when, BERLIN)
    there = shop(WORK, [order()], moulds=[moulds()], hours=opening(zone=BERLIN))
    plan = planned(there, start, [task("load", start, start + 30, pull=1)], starts={"1": 1})
    made = calendar_file(of_plan(there, plan)).decode()
    assert "BEGIN:VTIMEZONE" in made
    assert f"DTSTART;TZID={BERLIN}:" in made
    # The rules that are written, read by themselves, and not what the reader knows of Berlin.
    written = tzical(StringIO(made)).get(BERLIN)
    shown = datetime.fromisoformat(when).replace(tzinfo=written)
    assert shown.utcoffset() == timedelta(hours=offset_h)


def test_every_task_of_the_demo_is_read_at_its_time_with_its_name_and_place():
    plan = make_plan(DEMO, now=minute_of(DEMO.start), seconds=0.0, seed=1)
    found = timed(entries(of_plan(DEMO, plan)))
    spans = sorted(span for each in plan.tasks for span in each.spans)
    tasks = [e for e in found if not e.summary.startswith(("Gear up", "Clean down"))]
    assert sorted(minutes(entry) for entry in tasks) == spans
    assert len({entry.uid for entry in found}) == len(found)
    assert {(entry.status, entry.sequence) for entry in found} == {("CONFIRMED", 0)}


@pytest.mark.parametrize("who", sorted(DEMO.people))
def test_a_persons_calendar_has_that_persons_tasks_and_no_one_elses(who):
    plan = make_plan(DEMO, now=minute_of(DEMO.start), seconds=0.0, seed=1)
    mine = sorted(span for t in plan.tasks if who in t.people for span in t.spans)
    goings = [s for s in plan.sessions if s.person == who]
    found = timed(entries(of_plan(DEMO, plan, "person", who)))
    turns = sum((s.gear_up_min > 0) + (s.clean_down_min > 0) for s in goings)
    assert len(found) == len(mine) + turns
    assert set(mine) <= {minutes(entry) for entry in found}


def test_closed_from_24_to_26_december_ends_on_the_27th():
    closed = [date(2027, 12, day) for day in (24, 25, 26)]
    there = shop(WORK, people=[person("ada")], hours=opening(zone=BERLIN, closed=closed))
    made = plain_calendar("key", there, None, "person", "ada", now=NOW)
    text = calendar_file(made).decode()
    assert "DTSTART;VALUE=DATE:20271224" in text
    assert "DTEND;VALUE=DATE:20271227" in text
    days = [date(2027, 12, day) for day in (23, 24, 25, 26, 27)]
    on = read(text.encode()).timeline
    assert [len(list(on.on_date(day))) for day in days] == [0, 1, 1, 1, 0]


def test_a_date_is_written_as_a_day_without_any_zone():
    due = datetime(2027, 3, 19, 17, tzinfo=ZoneInfo("Pacific/Auckland"))
    there = shop(WORK, [order(due=due)], hours=opening(zone="Pacific/Auckland"))
    text = calendar_file(plain_calendar("key", there, None, "shop", "", now=NOW)).decode()
    assert "DTSTART;VALUE=DATE:20270319" in text
    assert "DTEND;VALUE=DATE:20270320" in text


def test_what_is_called_off_says_so_and_lines_are_as_the_standard_has_them():
    event = CalendarEvent(
        uid="a@b",
        title="Größe; Länge, Höhe",
        span=(minute_of(NOW), minute_of(NOW) + 5),
        notes="Caution: " + "Härter ätzt. " * 20 + "\nBEGIN:VEVENT",
    )
    kept = KeptEvent(event=event, sequence=3, changed_at=NOW, is_cancelled=True)
    made = calendar_file(Calendar(title="Bench", zone=BERLIN, events=(kept,)))
    # RFC 5545, 3.1: lines end in CR LF and are folded at 75 octets.
    assert all(len(line) <= 75 for line in made.split(b"\r\n"))
    (entry,) = read(made).events
    assert (entry.status, entry.sequence) == ("CANCELLED", 3)
    assert (entry.summary, entry.description) == (event.title, event.notes)
    assert entry.dtstamp == entry.last_modified == NOW


def test_the_same_calendar_is_the_same_file():
    there = shop(WORK, [order()], hours=opening(closed=[date(2027, 3, 26)]))
    made = plain_calendar("key", there, None, "shop", "", now=NOW)
    assert calendar_file(made) == calendar_file(made)


def test_a_calendar_of_nothing_is_one_all_the_same():
    made = calendar_file(Calendar(title="Bench", zone=BERLIN, events=()))
    assert read(made).events == []
