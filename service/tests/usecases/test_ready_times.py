"""Which quantities are planned for the chart of dates, and what is said at the one asked."""

from __future__ import annotations

import pytest

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.read import read_scenario
from mouldwright.usecases.enquiry import compare
from mouldwright.usecases.ready_times import quantities_beside, ready_times

SHOP = read_scenario(demo_path("foil-bench")).shop
NOW = minute_of(SHOP.start)


@pytest.mark.parametrize(
    ("asked", "last", "shown"),
    [
        (24, 50, (1, 10, 24, 50)),
        (1, 50, (1, 10, 50)),
        (12, 50, (1, 12, 50)),
        (300, 500, (1, 10, 50, 100, 200, 300, 500)),
        (900, 500, (1, 10, 50, 100, 200, 500)),
    ],
)
def test_round_quantities_stand_beside_the_one_asked_but_not_next_to_it(asked, last, shown):
    assert quantities_beside(asked, last) == shown


def test_the_chart_agrees_with_ready_and_what_cannot_be_planned_has_no_date():
    def finish(shop, part, process, quantity, now):
        if quantity > 20:
            raise HardLimit(["too many"])
        return ReadyBy(finish=now + 60 * quantity)

    found = compare(SHOP, "stabiliser", 12, now=NOW, finish=finish)
    times = ready_times(SHOP, found, now=NOW, finish=finish, last=50)
    passing = {c.process: c.lead_time_min for c in found.choices if c.passes}
    assert set(times) == set(passing)
    for process, points in times.items():
        assert points == ((1, 60), (12, passing[process]), (50, None))
