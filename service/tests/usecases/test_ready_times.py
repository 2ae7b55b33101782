"""Which quantities are planned for the chart of dates, and what is said at the one asked."""

from __future__ import annotations

import pytest

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import minute_of
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.read import read_scenario
from mouldwright.usecases.enquiry import compare
from mouldwright.usecases.ready_times import quantities_beside, ready_times

SHOP = read_scenario(demo_path("foil-bench")).shop
NOW = minute_of(SHOP.start)


@pytest.mark.parametrize(
    ("asked", "last", "shown"),
    [
        (24, 50, (1, 5, 10, 24, 50)),
        (1, 50, (1, 5, 10, 20, 50)),
        (12, 50, (1, 5, 12, 20, 50)),
        (300, 500, (1, 5, 10, 20, 50, 100, 200, 300, 500)),
        (900, 500, (1, 5, 10, 20, 50, 100, 200, 500)),
    ],
)
def test_round_quantities_stand_beside_the_one_asked_but_not_next_to_it(asked, last, shown):
    assert quantities_beside(asked, last) == shown


def test_the_quantity_asked_is_not_planned_again_and_what_cannot_be_planned_has_no_date():
    planned = []

    def finish(shop, part, process, quantity, now):
        planned.append(quantity)
        if quantity > 20:
            raise HardLimit(["too many"])
        return now + 60 * quantity

    found = compare(SHOP, "stabiliser", 12, now=NOW, finish=finish)
    planned.clear()
    times = ready_times(SHOP, found, now=NOW, finish=finish, last=50)
    assert 12 not in planned
    passing = {choice.process for choice in found.choices if choice.passes}
    assert set(times) == passing
    for points in times.values():
        assert points == ((1, 60), (5, 300), (12, 720), (20, 1200), (50, None))
