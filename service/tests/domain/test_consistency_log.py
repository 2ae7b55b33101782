"""Log entries that say too little or too much, and names that are not known."""

from __future__ import annotations

import pytest
from written_shop import edited, faults_in, only_fault, only_warning, whole_shop

from mouldwright.domain.record.kept_log import in_force

STARTED = 'what = "started"\nat = "2027-02-26T09:05"'
LATER = 'takes_back = 1\nnote = "Wrong order."\n'


def added(entry: str) -> tuple[str, str]:
    """Return the edit that puts an entry of its own before the last one."""
    return '[[log]]\nwhat = "weighed"', f'[[log]]\n{entry}\n[[log]]\nwhat = "weighed"'


def test_the_entries_of_the_whole_shop_hold_but_for_the_one_taken_back() -> None:
    shop = whole_shop()
    assert [entry.number for entry in shop.log] == [1, 2, 3, 4, 5]
    assert [entry.number for entry in in_force(shop.log)] == [4, 3, 5]
    assert shop.log[2].noted_at == shop.log[2].at


@pytest.mark.parametrize(
    ("entry", "path", "remedy"),
    [
        ('what = "started"\nat = "2027-03-01T09:00"', "log[5].task", "Add the operation"),
        ('what = "mould lost"\nat = "2027-03-01T09:00"', "log[5].mould", "Add the name of"),
        ('what = "scrapped"\nat = "2027-03-01T09:00"', "log[5].members", "Add the order"),
        ('what = "taken back"\nat = "2027-03-01T09:00"', "log[5].takes_back", "Add the number"),
    ],
)
def test_an_entry_that_lacks_something_is_told_what(entry: str, path: str, remedy: str) -> None:
    fault = only_fault(added(entry))
    assert fault.path == path
    assert fault.remedy.startswith(remedy)


def test_what_says_nothing_of_its_kind_is_refused() -> None:
    fault = only_fault((LATER, LATER + "mass_g = 12\n"))
    assert fault.path == "log[2].mass_g"
    assert '"weighed"' in fault.remedy


def test_an_entry_takes_back_only_one_before_it() -> None:
    fault = only_fault(("takes_back = 1", "takes_back = 2"))
    assert fault.path == "log[2].takes_back"
    assert fault.remedy == "Write a number from 1 to 1."


def test_numbers_leave_no_gap() -> None:
    fault = only_fault(("number = 2\nwhat", "number = 3\nwhat"))
    assert (fault.path, fault.remedy) == ("log[2].number", "Write 2, or leave it out.")


def test_one_name_of_a_sender_is_kept_once() -> None:
    fault = only_fault((LATER, LATER + 'said_once = "phone-1"\n'))
    assert (fault.path, fault.value) == ("log[2].said_once", '"phone-1"')


def test_nobody_is_away_until_before_they_left() -> None:
    fault = only_fault(('until = "2027-02-26T08:00"', 'until = "2027-02-25T08:00"'))
    assert fault.path == "log[4].until"


def test_a_time_that_the_clocks_skip_is_refused() -> None:
    # On 28 March 2027 the clocks of Berlin go from 02:00 to 03:00.
    faults = faults_in(edited((STARTED, 'what = "started"\nat = "2027-03-28T02:30"')))
    assert [fault.path for fault in faults] == ["log[1].at"]


@pytest.mark.parametrize(
    ("old", "new", "path", "near"),
    [
        ('order = "R-7", pulls', 'order = "R-77", pulls', "order", "R-7"),
        ('people = ["ada"]\ntask', 'people = ["adda"]\ntask', "people", "ada"),
        ('mould = "vane-pressed V1"', 'mould = "vane-presed V1"', "mould", "vane-pressed V1"),
        ('operation = "load"', 'operation = "loud"', "operation", "load"),
        ('process = "pressed", part', 'process = "presed", part', "process", "pressed"),
        ('part = "vane", mould', 'part = "vanes", mould', "part", "vane"),
        ('stations = ["press 1"]', 'stations = ["pres 1"]', "stations", "press"),
        ('supplier = "landing"', 'supplier = "landings"', "supplier", "landing"),
    ],
)
def test_a_name_that_is_not_known_is_a_warning_with_the_nearest(
    old: str, new: str, path: str, near: str
) -> None:
    warning = only_warning((old, new))
    assert warning.path.rpartition(".")[2] == path
    assert warning.remedy == f"It is kept as history. Did you mean {near}?"
    assert warning.line > 0
