"""What holds of a log: entries taken back, and those that took back what was right."""

from datetime import UTC, datetime, timedelta

from mouldwright.domain.record.kept_log import in_force
from mouldwright.domain.record.log import Happening, LogEntry

MORNING = datetime(2027, 3, 1, 8, tzinfo=UTC)


def entry(
    number: int, *, minutes: int = 0, what: Happening = Happening.STARTED, back: int | None = None
) -> LogEntry:
    at = MORNING + timedelta(minutes=minutes)
    return LogEntry(number=number, what=what, at=at, noted_at=at, takes_back=back)


def taking_back(number: int, back: int) -> LogEntry:
    return entry(number, what=Happening.TAKEN_BACK, back=back)


def numbers(*entries: LogEntry) -> list[int]:
    return [e.number for e in in_force(entries)]


def test_entries_hold_in_the_order_in_which_they_happened():
    assert numbers(entry(1, minutes=30), entry(2, minutes=10)) == [2, 1]
    assert numbers(entry(2), entry(1)) == [1, 2]


def test_an_entry_taken_back_holds_no_more_and_neither_does_what_took_it_back():
    assert numbers(entry(1), entry(2), taking_back(3, 1)) == [2]


def test_what_took_an_entry_back_can_be_taken_back():
    assert numbers(entry(1), taking_back(2, 1), taking_back(3, 2)) == [1]
    assert numbers(entry(1), taking_back(2, 1), taking_back(3, 2), taking_back(4, 3)) == []
