"""The log as it is kept: numbered without gap, found again, never changed."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from logged_entries import logs
from promise_bench import KEY, NOW, later
from sqlalchemy.exc import IntegrityError

from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember, LoggedTask
from mouldwright.store.log_memory import LogMemory
from mouldwright.store.repositories.log import document_of, entry_of
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.log_port import LogQuery
from mouldwright.usecases.shelf import open_whole, replace_kept

WRITERS, EACH = 50, 4


def weighed(**more) -> LogEntry:
    values = {"at": NOW, "noted_at": NOW, "mass_g": Decimal("31.40"), **more}
    members = (LoggedMember(order="F-101", parts=(1,)),)
    return LogEntry(number=0, what=Happening.WEIGHED, members=members, **values)


def kept(bench, *entries: LogEntry, moves_plan: bool = False) -> list[LogEntry]:
    with bench.units.write(KEY) as unit:
        found = [unit.log.add(entry, moves_plan=moves_plan) for entry in entries]
        unit.commit()
    return found


def listed(bench, **query) -> list[int]:
    with bench.units.read(KEY) as unit:
        return [entry.number for entry in unit.log.listed(LogQuery(limit=50, **query))]


@given(logs(st.datetimes().map(lambda at: at.replace(tzinfo=NOW.tzinfo))))
@settings(max_examples=60, deadline=None)
def test_any_entry_reads_back_equal(entries):
    for entry in entries:
        assert entry_of(document_of(entry)) == entry


def test_fifty_who_write_at_once_leave_no_gap_and_no_repeat(either_bench):
    bench = either_bench

    def write(writer: int) -> list[int]:
        found = []
        for number in range(EACH):
            entry = weighed(noted_by=f"writer {writer}", note=str(number))
            found.append(kept(bench, entry)[0].number)
        return found

    with ThreadPoolExecutor(WRITERS) as pool:
        drawn = list(pool.map(write, range(WRITERS)))
    assert sorted(n for each in drawn for n in each) == list(range(1, WRITERS * EACH + 1))
    with bench.units.read(KEY) as unit:
        entries = unit.log.all()
    assert [entry.number for entry in entries] == list(range(1, WRITERS * EACH + 1))
    # What each wrote stands under the numbers it was told.
    for writer, numbers in enumerate(drawn):
        assert [entries[n - 1].noted_by for n in numbers] == [f"writer {writer}"] * EACH


def test_a_number_is_given_back_by_a_unit_that_is_not_committed(either_bench):
    with either_bench.units.write(KEY) as unit:
        assert unit.log.add(weighed(), moves_plan=False).number == 1
    assert kept(either_bench, weighed())[0].number == 1
    with either_bench.units.read(KEY) as unit:
        assert unit.log.last() == 1


def test_what_a_sender_called_one_thing_is_kept_once(either_bench):
    kept(either_bench, weighed(said_once="a"), weighed(), weighed())
    with either_bench.units.read(KEY) as unit:
        found = unit.log.said("a")
        assert found is not None
        assert found.number == 1
        assert unit.log.said("b") is None
    with pytest.raises(IntegrityError):
        kept(either_bench, weighed(said_once="a"))


def test_entries_are_found_by_what_they_are_about(either_bench):
    task = LoggedTask(
        operation="press", process="pressed", part="stabiliser", mould="stabiliser-pressed 2",
        members=(LoggedMember(order="F-102", pulls=(3,)),),
    )  # fmt: skip
    started = LogEntry(
        number=0, what=Happening.STARTED, at=later(hours=30), noted_at=NOW, people=("mara", "ilo"),
        task=task,
    )  # fmt: skip
    lost = LogEntry(
        number=0, what=Happening.MOULD_LOST, at=NOW, noted_at=NOW, mould="stabiliser-pressed 2"
    )
    counted = LogEntry(
        number=0, what=Happening.STOCK_COUNTED, at=NOW, noted_at=NOW, material="resin",
        amount=Decimal(90),
    )  # fmt: skip
    kept(either_bench, weighed(), started, lost, counted)
    assert listed(either_bench) == [4, 3, 2, 1]
    assert listed(either_bench, about=[("order", "F-101")]) == [1]
    assert listed(either_bench, about=[("mould", "stabiliser-pressed 2")]) == [3, 2]
    assert listed(either_bench, about=[("person", "ilo"), ("order", "F-102")]) == [2]
    assert listed(either_bench, about=[("person", "ilo"), ("order", "F-101")]) == []
    assert listed(either_bench, about=[("material", "resin")]) == [4]
    assert listed(either_bench, since=later(hours=30), until=later(hours=31)) == [2]
    assert listed(either_bench, until=later(hours=30)) == [4, 3, 1]
    assert listed(either_bench, what=Happening.MOULD_LOST) == [3]
    assert listed(either_bench, before=3) == [2, 1]
    with either_bench.units.read(KEY) as unit:
        assert unit.log.at(3).mould == "stabiliser-pressed 2"
        with pytest.raises(Unknown):
            unit.log.at(9)


def test_a_plan_made_before_no_longer_fits_where_an_entry_moves_it(either_bench):
    def book() -> int:
        with either_bench.units.read(KEY) as unit:
            return unit.bookings.book_version()

    before = book()
    kept(either_bench, weighed())
    assert book() == before
    kept(either_bench, weighed(), moves_plan=True)
    assert book() > before


def test_a_file_may_go_on_from_the_log_and_never_change_it(either_bench):
    bench = either_bench
    kept(bench, weighed(), weighed(note="two"))
    whole = open_whole(bench.units, bench.written, KEY)
    third = replace(weighed(note="three"), number=3)

    def bring(log, read):
        shop = replace(whole.shop, log=log)
        return replace_kept(bench.units, bench.written, KEY, shop, read=read, now=NOW, by="a test")

    bring((), 1)
    bring((*whole.shop.log, third), 2)
    assert open_whole(bench.units, bench.written, KEY).shop.log == (*whole.shop.log, third)
    other = replace(whole.shop.log[1], at=NOW + timedelta(minutes=1))
    with pytest.raises(Exception, match="Entry 2 of the log is not the one kept"):
        bring((whole.shop.log[0], other), 3)
    assert listed(bench) == [3, 2, 1]


def read(bench) -> list[str]:
    with bench.units.read(KEY) as unit:
        return [entry.note for entry in unit.log.all()]


def test_what_was_read_before_is_not_read_again(either_bench):
    kept(either_bench, weighed(note="first"), weighed(note="second"))
    with either_bench.units.read(KEY) as unit:
        before = unit.log.all()
    kept(either_bench, weighed(note="third"))
    with either_bench.units.read(KEY) as unit:
        after = unit.log.all()
    assert [entry.note for entry in after] == ["first", "second", "third"]
    assert after[0] is before[0]


def test_an_entry_that_was_rolled_back_is_never_told_to_others(either_bench):
    kept(either_bench, weighed(note="kept"))
    assert read(either_bench) == ["kept"]
    with either_bench.units.write(KEY) as unit:
        unit.log.add(weighed(note="rolled back"), moves_plan=False)
        assert [entry.note for entry in unit.log.all()] == ["kept", "rolled back"]
    assert read(either_bench) == ["kept"]
    kept(either_bench, weighed(note="another"))
    assert read(either_bench) == ["kept", "another"]


def test_a_unit_opened_before_a_note_tells_its_own_moment(either_bench):
    kept(either_bench, weighed(note="first"))
    with either_bench.units.read(KEY) as unit:
        assert [entry.note for entry in unit.log.all()] == ["first"]
        kept(either_bench, weighed(note="second"))
        assert read(either_bench) == ["first", "second"]
        assert [entry.note for entry in unit.log.all()] == ["first"]
    assert read(either_bench) == ["first", "second"]


def test_what_others_remember_is_held_against_what_is_kept():
    memory, names = LogMemory(), ["one", "two"]

    def entry_of_name(name: str) -> LogEntry:
        return weighed(note=name)

    def told(kept_now: list[str]) -> list[str]:
        log = memory.read(KEY, lambda number: kept_now[max(number - 1, 0) :], entry_of_name)
        return [entry.note for entry in log]

    assert told(names) == names
    # A shop made anew under an old key, with a shorter log, another, and a longer one.
    assert told(["other"]) == ["other"]
    assert told(["another", "second"]) == ["another", "second"]
    assert told([]) == []
    assert told(["three", "four", "five"]) == ["three", "four", "five"]


def test_of_more_shops_than_are_remembered_the_first_is_read_anew_and_stays_right():
    memory, asked_from = LogMemory(), []

    def told(shop: str) -> list[str]:
        def read(number: int) -> list[str]:
            asked_from.append(number)
            return ["one", "two"][max(number - 1, 0) :]

        return [entry.note for entry in memory.read(shop, read, lambda name: weighed(note=name))]

    for n in range(65):
        assert told(f"shop {n}") == ["one", "two"]
    asked_from.clear()
    # Of one that is remembered only the last entry is looked at.
    assert told("shop 64") == ["one", "two"]
    assert told("shop 0") == ["one", "two"]
    assert asked_from == [2, 1]
