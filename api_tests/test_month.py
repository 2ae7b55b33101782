"""A month at the foil bench, lived through the service: what must hold of it holds every week.

``MOULDWRIGHT_DAYS`` lives fewer or more of its days.
"""

import os

import pytest
from month.live import Course, live
from month.small import small_course, small_shop
from month.within import live_within

from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.read import read_scenario

DAYS = int(os.environ.get("MOULDWRIGHT_DAYS", "28"))


# A morning's plan with its odds and a day's notes, again and again: far more than any other test.
@pytest.mark.timeout(300 + 60 * DAYS)
def test_a_month_with_its_mishaps_keeps_everyone_in_one_place_and_its_ledgers_in_balance() -> None:
    said: list[str] = []
    shop = read_scenario(demo_path("foil-bench")).shop
    # Anything that must hold and does not is raised from within.
    month = live(shop, Course(days=DAYS, seconds=0.05), 371, said.append)
    assert month.days == len(said) == DAYS
    # The six open orders are for 66 parts, each of which is gone through.
    assert month.tasks > 200
    assert month.told["finished"] == pytest.approx(month.told["started"], abs=5)
    # That seed has each of them early, however the work is planned.
    assert {"scrapped", "person away", "mould lost", "delivery late"} <= month.told.keys()


def test_a_month_without_the_wire_is_the_same_for_a_seed_and_leaves_no_promise_open() -> None:
    once, again = (live_within(small_shop(), small_course(3), 3) for _ in range(2))
    assert once == again
    assert len(once.promises) == len(small_course(3).enquiries)
    assert all(promise.ready is not None for promise in once.promises)
    assert once.told["finished"] > once.told["scrapped"]
