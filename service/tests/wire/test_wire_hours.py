"""Openings as written and as minutes of the day."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.wire.hours import Hours, Week, opening_text


@pytest.mark.parametrize(
    ("written", "minutes"),
    [
        # 8 x 60 + 30 = 510; 12 x 60 + 30 = 750
        ("08:30-12:30", (510, 750)),
        # 22 x 60 = 1320; 6 x 60 + 24 x 60 = 1800
        ("22:00-06:00", (1320, 1800)),
        ("00:00-24:00", (0, 1440)),
        ("18:00-24:00", (1080, 1440)),
        ("8:05 - 9:00", (485, 540)),
    ],
)
def test_an_opening_is_minutes_after_midnight(written: str, minutes: tuple[int, int]) -> None:
    assert Week(mon=[written]).mon == (minutes,)


def test_a_day_that_is_left_out_is_closed() -> None:
    assert Week(tue=["09:00-13:00"]).weekly() == ((), ((540, 780),), (), (), (), (), ())


def test_closed_intervals_include_both_ends() -> None:
    hours = Hours(closed=["2027-04-02", "2027-12-24/2027-12-31"]).opening_hours("Europe/Lisbon")
    assert len(hours.closed) == 1 + 8  # 24 to 31 December is eight days
    assert {date(2027, 12, 24), date(2027, 12, 31), date(2027, 4, 2)} <= hours.closed


def test_runs_of_closed_dates_are_written_as_intervals() -> None:
    hours = Hours(
        closed=["2027-12-30/2027-12-31", "2028-01-01/2028-01-02", "2027-05-01"]
    ).opening_hours("UTC")
    assert Hours.of_hours(hours).model_dump(include={"closed"}) == {
        "closed": ["2027-05-01", "2027-12-30/2028-01-02"]
    }


@given(st.integers(0, 1439), st.integers(1, 2880))
def test_an_opening_reads_back_as_it_was_written(opens: int, closes: int) -> None:
    if not opens < closes:
        closes = opens + 1
    assert Week(mon=[opening_text((opens, closes))]).mon == ((opens, closes),)
