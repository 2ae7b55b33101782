from hypothesis import given, settings
from hypothesis import strategies as st

from mouldwright.domain.hours.week import (
    ALWAYS,
    MINUTES_A_WEEK,
    at_least,
    longest_opening,
    open_days,
    unrolled,
    week_of,
)


def test_a_week_of_shifts_is_laid_end_to_end() -> None:
    week = week_of((((480, 720),), (), (), (), (), (), ((600, 660),)))
    assert week == ((480, 720), (6 * 1440 + 600, 6 * 1440 + 660))
    assert open_days(week) == 2


def test_a_sunday_night_shift_goes_on_into_monday() -> None:
    week = week_of(((), (), (), (), (), (), ((1320, 1440 + 360),)))
    assert week == ((0, 360), (MINUTES_A_WEEK - 120, MINUTES_A_WEEK))
    assert longest_opening(week) == 480
    assert len(unrolled(week, 3)) == 4


def test_a_shop_that_never_shuts_is_open_all_week() -> None:
    assert longest_opening(ALWAYS) == MINUTES_A_WEEK
    assert unrolled(ALWAYS, 3) == ((0, 3 * MINUTES_A_WEEK),)


def test_two_at_once_are_in_only_while_their_hours_overlap() -> None:
    assert at_least([[(0, 100)], [(50, 150)], [(60, 70)]], 2) == ((50, 100),)
    assert at_least([[(0, 100)], [(100, 150)]], 2) == ()


shifts = st.lists(
    st.tuples(st.integers(0, 300), st.integers(1, 60)).map(lambda p: (p[0], p[0] + p[1])),
    max_size=1,
)


@settings(deadline=None, max_examples=60)
@given(st.lists(shifts, min_size=1, max_size=5), st.integers(1, 5))
def test_at_least_so_many_are_in_minute_by_minute(
    weeks: list[list[tuple[int, int]]], count: int
) -> None:
    found = at_least(weeks, count)
    for minute in range(0, 365):
        present = sum(any(a <= minute < b for a, b in week) for week in weeks)
        assert any(a <= minute < b for a, b in found) == (present >= count)
