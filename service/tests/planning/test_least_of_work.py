"""A little work is done whatever the clock says: a busy machine answers later, and not worse."""

from __future__ import annotations

from dataclasses import replace

import builders as build
import pytest

from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.improve.search import Limits
from mouldwright.planning.replan import replan
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")
# Over before the search has begun, on any machine.
NO_TIME = 1e-9


def sanded(*orders: Order, packed: bool) -> Shop:
    """Return parts of an hour of ana's hands; where packed, with a minute of ben's after it.

    Alone it is plain flow, which has a search of its own; of two crews it is not.
    """
    hands = [build.hands("sand", 60, per="part", skill="sand")]
    people = [build.person("ana", ("sand",))]
    if packed:
        hands.append(build.hands("pack", 1, per="part", skill="pack"))
        people.append(build.person("ben", ("pack",)))
    return build.shop(
        build.process(*hands), orders, people=people, hours=build.opening(build.week("08:00-16:00"))
    )


BY_NINE = build.order("1", 4, due=build.instant("2027-03-01 09:00"))
HEAVY = build.order("2", 1, due=build.instant("2027-03-01 09:30"), weight=100)


@pytest.mark.parametrize("packed", [False, True], ids=["plain flow", "two crews"])
def test_what_counts_most_goes_first_though_there_is_no_time_to_look(packed: bool) -> None:
    # By hand: the four parts first are done at 12:00, 3 h late, and the other at 13:00, 3 h 30
    # late a hundred times. The other first is done at 09:00, in time, and the four at 13:00,
    # 4 h late. Packing the last adds a minute.
    plan = make_plan(sanded(BY_NINE, HEAVY, packed=packed), now=NOW, seconds=NO_TIME)
    assert plan.objective.weighted_late_min == 240 + packed


@pytest.mark.parametrize("packed", [False, True], ids=["plain flow", "two crews"])
def test_a_plan_from_nothing_is_made_beside_the_one_that_holds(packed: bool) -> None:
    # Kept to the plan that holds, the other would go last: 21,000 weighted minutes late.
    shop = sanded(BY_NINE, packed=packed)
    held = make_plan(shop, now=NOW, seconds=NO_TIME)
    found = replan(replace(shop, orders=(BY_NINE, HEAVY)), held, now=NOW, seconds=NO_TIME)
    assert found.plan.objective.weighted_late_min == 240 + packed


@pytest.mark.parametrize("packed", [False, True], ids=["plain flow", "two crews"])
def test_whoever_has_had_enough_is_not_kept_waiting_for_it(packed: bool) -> None:
    asked = 0

    def enough() -> bool:
        nonlocal asked
        asked += 1
        return True

    shop = sanded(BY_NINE, HEAVY, packed=packed)
    assert make_plan(shop, now=NOW, seconds=NO_TIME, cancelled=enough).checked
    # Of the hundred plans that are owed none is built.
    assert 1 <= asked < 20


def test_a_search_goes_on_until_both_its_time_and_the_least_of_work_are_over() -> None:
    limits = Limits(until=0.0, tries=None, good_enough=(0, 0), least=7)
    assert not limits.reached((1, 1, 1, 1), 6)
    assert limits.reached((1, 1, 1, 1), 7)
    # No work is owed of what cannot be beaten.
    assert limits.reached((0, 0, 1, 1), 1)
