"""What calendars are told as a plan moves: the same entry moved, called off, over, or new."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from builders import at

from mouldwright.domain.calendar_event import (
    CANCELLED_DAYS,
    OVER_DAYS,
    CalendarEvent,
    caught_up,
    shown_on,
)

NOW = datetime(2027, 3, 1, 8, tzinfo=UTC)
MORNING = at("2027-03-01 08:00")
DEMOULD = CalendarEvent(
    uid="demould", title="Demould", span=(at("2027-03-02 09:00"), at("2027-03-02 09:20"))
)
EASTER = CalendarEvent(uid="easter", title="Closed", days=(date(2027, 3, 26), date(2027, 3, 27)))


def told(known, *events, now=NOW, since=MORNING):
    return caught_up(known, events, zone="UTC", since=since, now=now)


def test_an_entry_that_stands_is_not_told_anew():
    first = told({}, DEMOULD)
    assert (first["demould"].sequence, first["demould"].changed_at) == (0, NOW)
    assert told(first, DEMOULD, now=NOW + timedelta(days=1)) == first


def test_an_entry_that_moves_keeps_its_name_and_raises_its_sequence():
    first = told({}, DEMOULD)
    moved = replace(DEMOULD, span=(at("2027-03-03 09:00"), at("2027-03-03 09:20")))
    later = NOW + timedelta(hours=2)
    second = told(first, moved, now=later)
    assert (second["demould"].sequence, second["demould"].changed_at) == (1, later)
    back = told(second, DEMOULD, now=later)
    assert back["demould"].sequence == 2


def test_what_is_gone_before_it_begins_is_called_off_and_may_come_again():
    first = told({}, DEMOULD, EASTER)
    gone = told(first)
    assert {uid: (k.sequence, k.is_cancelled) for uid, k in gone.items()} == {
        "demould": (1, True),
        "easter": (1, True),
    }
    # Told once: what is called off already is not called off again.
    assert told(gone, now=NOW + timedelta(days=1)) == gone
    again = told(gone, DEMOULD)["demould"]
    assert (again.sequence, again.is_cancelled) == (2, False)


def test_what_is_gone_after_it_began_was_done_and_stays_as_it_was():
    first = told({}, DEMOULD)
    later = told(first, since=at("2027-03-02 09:10"), now=NOW + timedelta(days=1))
    assert later == first


def test_a_calendar_drops_what_is_long_over_or_was_long_called_off():
    kept = told({}, DEMOULD)
    last = date(2027, 3, 2) + timedelta(days=OVER_DAYS)
    assert shown_on(kept.values(), zone="UTC", day=last)
    assert not shown_on(kept.values(), zone="UTC", day=last + timedelta(days=1))
    off = told(told({}, EASTER))
    last = NOW.date() + timedelta(days=CANCELLED_DAYS)
    assert shown_on(off.values(), zone="UTC", day=last)
    assert not shown_on(off.values(), zone="UTC", day=last + timedelta(days=1))


def test_what_is_forgotten_is_over_long_before():
    kept = told({}, DEMOULD)
    assert "demould" in told(kept, since=at("2027-03-20 08:00"), now=NOW + timedelta(days=19))
    assert told(kept, since=at("2027-04-20 08:00"), now=NOW + timedelta(days=50)) == {}


def test_what_was_called_off_keeps_its_count_for_over_a_year():
    off = told(told({}, EASTER))
    assert told(off, EASTER, now=NOW + timedelta(days=365))["easter"].sequence == 2


def test_an_entry_has_times_or_days_and_not_both():
    with pytest.raises(ValueError, match="either times or whole days"):
        replace(DEMOULD, days=(date(2027, 3, 2), date(2027, 3, 3)))
    with pytest.raises(ValueError, match="either times or whole days"):
        replace(DEMOULD, span=None)
