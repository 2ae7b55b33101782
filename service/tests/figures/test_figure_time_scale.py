"""Where a minute stands: closed time narrower, local days, clocks that change."""

from datetime import date

import builders as build
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.figures.time_scale import (
    ZOOMS,
    TimeScale,
    clock_minutes,
    day_names,
    days,
    instant,
    moment,
)

LISBON = "Europe/Lisbon"


def test_a_closed_minute_takes_its_share_of_an_open_one() -> None:
    # Open 0 to 60, closed 60 to 180 at a half: 60 + 60 = 120 parts over 240 px.
    scale = TimeScale(0, 180, [(0, 60)], closed_share=0.5, start=100, end=340)
    assert [scale(m) for m in (0, 30, 60, 120, 180)] == [100, 160, 220, 280, 340]
    assert scale.closed == ((60, 180),)


def test_before_and_after_stand_at_the_edges() -> None:
    scale = TimeScale(0, 100, [], closed_share=1, start=0, end=100)
    assert (scale(-50), scale(500)) == (0, 100)


@pytest.mark.parametrize(
    ("first", "last", "share", "said"),
    [(5, 5, 1, "shows no time"), (0, 9, 0, "a share above 0"), (0, 9, 2, "a share above 0")],
)
def test_a_scale_of_nothing_is_refused(first: int, last: int, share: float, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        TimeScale(first, last, [], closed_share=share, start=0, end=1)


windows = st.lists(st.tuples(st.integers(-50, 1000), st.integers(1, 200)), max_size=8).map(
    lambda found: [(start, start + length) for start, length in found]
)


@given(windows, st.floats(0.05, 1), st.lists(st.integers(-100, 1100), min_size=2, max_size=20))
def test_later_never_stands_before_earlier(
    opened: list[tuple[int, int]], share: float, minutes: list[int]
) -> None:
    scale = TimeScale(0, 1000, opened, closed_share=share, start=10, end=700)
    places = [scale(m) for m in sorted(minutes)]
    assert places == sorted(places)
    assert all(10 - 1e-6 <= place <= 700 + 1e-6 for place in places)
    assert scale(0) == 10
    assert scale(1000) == pytest.approx(700)


@given(windows, st.floats(0.05, 1))
def test_open_and_closed_minutes_keep_their_ratio(
    opened: list[tuple[int, int]], share: float
) -> None:
    scale = TimeScale(0, 1000, opened, closed_share=share, start=0, end=1000)
    per_open = [(scale(b) - scale(a)) / (b - a) for a, b in scale.open]
    per_closed = [(scale(b) - scale(a)) / (b - a) for a, b in scale.closed]
    for one in per_open:
        for other in per_closed:
            assert other / one == pytest.approx(share)


def test_days_are_local_and_may_have_23_or_25_hours() -> None:
    # Clocks in Lisbon went on at 01:00 on Sunday 28 March 2027 and go back on 31 October.
    spring = days(
        build.at("2027-03-27 12:00", LISBON), build.at("2027-03-29 12:00", LISBON), LISBON
    )
    assert [(day, end - start) for day, start, end in spring] == [
        (date(2027, 3, 27), 1440),
        (date(2027, 3, 28), 1380),
        (date(2027, 3, 29), 1440),
    ]
    autumn = days(
        build.at("2027-10-31 00:00", LISBON), build.at("2027-11-01 00:00", LISBON), LISBON
    )
    assert [end - start for _, start, end in autumn] == [1500]


def test_hours_are_marked_where_clocks_show_them() -> None:
    day = (build.at("2027-03-28 00:00", LISBON), build.at("2027-03-29 00:00", LISBON))
    shown = [instant(m, LISBON)[-5:] for m in clock_minutes(*day, LISBON, 180)]
    # 03:00 comes two elapsed hours after midnight that day.
    assert shown == ["03:00", "06:00", "09:00", "12:00", "15:00", "18:00", "21:00"]
    assert clock_minutes(*day, LISBON, 180)[0] - day[0] == 120


def test_days_are_named_with_their_weekday() -> None:
    assert day_names(date(2027, 3, 1)) == ("Mon 1 Mar", "Mon 1", "1")
    assert moment(build.at("2027-07-02 10:40", LISBON), LISBON) == "Fri 2 Jul 10:40"


def test_the_board_zooms_from_an_hour_to_six_weeks() -> None:
    spans = [zoom.span_min for zoom in ZOOMS.values()]
    assert spans == sorted(spans)
    assert (spans[0], spans[-1]) == (60, 6 * 7 * 24 * 60)
