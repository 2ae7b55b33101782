"""Work against hours and pot life, worked by hand on the whole shop.

Its weekdays are 08:00-12:00 and 12:45-16:45 (240 min each), Friday 08:00-12:30 (270 min).
Ada keeps them. Jon has Monday 08:00-12:00 and Thursday 10:00-14:00 (240 min each).
"""

from __future__ import annotations

import pytest
from written_shop import edited, faults_in, only_fault

from mouldwright.domain.errors import Fault
from mouldwright.scenario.read import read_scenario_text


def warnings_of(*edits: tuple[str, str]) -> tuple[Fault, ...]:
    return read_scenario_text(edited(*edits)).warnings


def test_work_without_a_pause_fits_the_longest_opening_exactly() -> None:
    # Ada alone knows printing; her longest opening is Friday's 270 min.
    edit = ('attended_min = 4\nskill = "print"', 'attended_min = 270\nskill = "print"')
    assert warnings_of(edit) == ()


def test_work_longer_than_every_opening_says_both_figures() -> None:
    fault = only_fault(('attended_min = 4\nskill = "print"', 'attended_min = 271\nskill = "print"'))
    assert fault.path == 'processes.printed.operations["start"].attended_min'
    assert "at least 271 min" in fault.problem
    assert "is 270 min" in fault.problem
    assert "interruptible = true" in fault.remedy


def test_work_that_may_pause_may_be_longer_than_an_opening() -> None:
    edit = ('attended_min = 4\nskill = "print"', 'attended_min = 901\nskill = "print"')
    pausing = ("attended_min = 901\n", "attended_min = 901\ninterruptible = true\n")
    assert warnings_of(edit, pausing) == ()


def test_people_needed_together_share_only_the_time_both_are_there() -> None:
    # Monday 08:00-12:00 is 240 min; Thursday 10:00-14:00 less Ada's break leaves 120 and 75.
    assert (
        warnings_of(
            ("attended_min = 6\npeople = 2", "attended_min = 240\npeople = 2"),
            ("pot_life_min = 45", "pot_life_min = 300"),
        )
        == ()
    )
    fault = only_fault(
        ("attended_min = 6\npeople = 2", "attended_min = 241\npeople = 2"),
        ("pot_life_min = 45", "pot_life_min = 300"),
    )
    assert "longest opening of 2 people wet and press open is 240 min" in fault.problem


def test_people_who_never_meet_are_named() -> None:
    fault = only_fault(
        (
            'hours = { mon = ["08:00-12:00"], thu = ["10:00-14:00"] }',
            'hours = { sun = ["08:00-12:00"] }',
        )
    )
    assert fault.path == 'processes.pressed.operations["close"].attended_min'
    assert "never at work at once" in fault.problem


def test_a_station_with_hours_of_its_own_cuts_the_time_for_attended_work() -> None:
    # The press opens for 3 min a week; closing takes 6.
    fault = only_fault(
        ("[stations.press]\n", '[stations.press]\nhours = { mon = ["08:00-08:03"] }\n')
    )
    assert fault.path == 'processes.pressed.operations["close"].attended_min'
    assert "is 3 min" in fault.problem


def test_a_one_off_opening_counts_where_the_week_is_too_short() -> None:
    # Ada's week gives 270 min; 13 March is opened for five hours.
    edit = ('attended_min = 4\nskill = "print"', 'attended_min = 300\nskill = "print"')
    assert warnings_of(edit, ('["09:00-13:00"] }', '["09:00-14:00"] }')) == ()


def test_a_closure_at_the_start_hides_no_opening() -> None:
    closed = ('closed = ["2027-03-26"', 'closed = ["2027-03-01/2027-03-26"')
    assert warnings_of(closed, ('due = "2027-03-20"', 'due = "2027-03-30"')) == ()


def test_a_shop_that_never_opens_is_one_fault() -> None:
    text = edited(
        *[
            (f'{day} = ["08:00-12:00", "12:45-16:45"]\n', "")
            for day in ("mon", "tue", "wed", "thu")
        ],
        ('open = { "2027-03-13" = ["09:00-13:00"] }\n', ""),
        ('fri = ["08:00-12:30"]\n', ""),
        ('hours = { mon = ["08:00-12:00"], thu = ["10:00-14:00"] }\n', ""),
        ('due = "2027-03-20"', 'due = "2027-03-20T12:00"'),
    )
    faults = faults_in(text)
    assert [fault.path for fault in faults] == ["shop.hours"]
    assert "nobody is ever at work" in faults[0].problem


def test_attended_work_without_anyone_is_one_fault() -> None:
    text = edited(("[people.ada]", "[stations.desk]"))
    start, end = text.index("[stations.desk]"), text.index("[stations.press]")
    faults = faults_in(text[:start] + text[end:])
    assert [fault.path for fault in faults] == ["people"]


def test_a_mix_that_must_set_before_it_is_used_is_refused() -> None:
    # After mixing: load 4.5 x 2 cavities = 9, a wait of 1, close 6: 16 min at the very least.
    fault = only_fault(("pot_life_min = 45", "pot_life_min = 15"))
    assert fault.path == 'processes.pressed.operations["mix"].pot_life_until'
    assert "15 min" in fault.problem
    assert "at least 16 min" in fault.problem
    assert "slower hardener" in fault.remedy
    assert warnings_of(("pot_life_min = 45", "pot_life_min = 16")) == ()


@pytest.mark.parametrize(
    ("written", "read", "way"),
    [("pot_life_min = 6.5", 6, "down"), ("pot_life_min = 16.01", 16, "down")],
)
def test_part_of_a_minute_of_pot_life_is_dropped_and_said(
    written: str, read: int, way: str
) -> None:
    result = read_scenario_text(edited(("pot_life_min = 6,", f"{written},")))
    mix = result.shop.materials["quick-cast"].mix
    assert mix is not None
    assert mix.pot_life_min == read
    assert [warning.path for warning in result.warnings] == [
        "materials.quick-cast.mix.pot_life_min"
    ]
    assert f"rounded {way}" in result.warnings[0].problem
