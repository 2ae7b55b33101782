"""When a delivery is there, by hand on a calendar: March 2027 begins on a Monday.

How a carrier or a supplier counts is common practice, no source: an order past the cut-off is the
next working day's, only working days count, and nothing comes to a closed door.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import builders as build
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.costing.arrival import arrives_on, order_by
from mouldwright.domain.supplier import Supplier

WEEKEND = frozenset({5, 6})
OFFICE = build.opening(build.week("08:00-16:00"))


def supplier(lead_days: int, **more) -> Supplier:
    return Supplier(key="quay", title="The quay", lead_days=lead_days, **more)


def shop(hours=OFFICE):
    made = build.shop(build.process(build.hands("trim", 5)), people=[build.person("ana")])
    return replace(made, hours=hours)


def march(day: int, clock: str = "10:00") -> datetime:
    return datetime.fromisoformat(f"2027-03-{day:02d}T{clock}")


@pytest.mark.parametrize(
    ("ordered", "more", "there"),
    [
        # Friday the 5th and four days is Tuesday the 9th; the weekend left out, Thursday the 11th.
        (march(5), {}, 9),
        (march(5), {"days_off": WEEKEND}, 11),
        # Ordered on Saturday it is taken on Monday the 8th: four working days are Friday the 12th.
        (march(6), {"days_off": WEEKEND}, 12),
        # Their cut-off is 14:00: what comes then is Monday's.
        (march(5, "13:59"), {"days_off": WEEKEND, "cut_off": 14 * 60}, 11),
        (march(5, "14:00"), {"days_off": WEEKEND, "cut_off": 14 * 60}, 12),
        # Closed from the 8th to the 12th: the 15th, 16th, 17th and 18th are the four.
        (
            march(5),
            {"days_off": WEEKEND, "closed": frozenset(date(2027, 3, d) for d in range(8, 13))},
            18,
        ),
    ],
)
def test_only_days_on_which_the_supplier_works_count(ordered, more, there):
    assert arrives_on(shop(), supplier(4, **more), ordered) == date(2027, 3, there)


def test_nothing_comes_while_the_shop_or_the_supplier_is_closed():
    # Tuesday the 2nd and four days is Saturday the 6th. Nobody is in before Monday the 8th, on
    # which the supplier rests: it comes on Tuesday the 9th.
    monday_off = supplier(4, closed=frozenset({date(2027, 3, 8)}))
    assert arrives_on(shop(), supplier(4), march(2)) == date(2027, 3, 8)
    assert arrives_on(shop(), monday_off, march(2)) == date(2027, 3, 9)
    closed = build.opening(build.week("08:00-16:00"), closed=[date(2027, 3, 9)])
    assert arrives_on(shop(closed), monday_off, march(2)) == date(2027, 3, 10)


def test_what_is_to_be_there_on_a_day_is_ordered_on_a_working_day_before():
    # For Wednesday the 17th: the 16th, 15th, 12th and 11th count, the weekend does not.
    assert order_by(shop(), supplier(4, days_off=WEEKEND), date(2027, 3, 17)) == date(2027, 3, 11)
    # Sunday the 14th has nobody in, so it has to be there on Friday the 12th.
    assert order_by(shop(), supplier(4, days_off=WEEKEND), date(2027, 3, 14)) == date(2027, 3, 8)


@given(
    lead=st.integers(0, 9),
    off=st.frozensets(st.integers(0, 6), max_size=3),
    closed=st.frozensets(st.integers(1, 31), max_size=10),
    wanted=st.integers(0, 40),
)
def test_the_last_day_to_order_is_the_last_that_comes_in_time(lead, off, closed, wanted):
    by = supplier(lead, days_off=off, closed=frozenset(date(2027, 3, d) for d in closed))
    day = date(2027, 3, 20) + timedelta(days=wanted)
    last = order_by(shop(), by, day)
    assert arrives_on(shop(), by, datetime.combine(last, datetime.min.time())) <= day
    after = datetime.combine(last + timedelta(days=1), datetime.min.time())
    assert arrives_on(shop(), by, after) > day
