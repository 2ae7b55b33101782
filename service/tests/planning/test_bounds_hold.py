"""A bound never passes what some plan reaches, whichever rule built the plan."""

from __future__ import annotations

from itertools import permutations
from random import Random

import builders as build
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from random_shops import draw, draw_tiny

from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.assignment import least_cost
from mouldwright.planning.attempt import Engine
from mouldwright.planning.bound import bound_of
from mouldwright.planning.energy import OpenTime
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")


@pytest.mark.parametrize("seed", range(40))
def test_no_rule_builds_a_plan_below_the_bound(seed: int) -> None:
    drawn = (draw if seed % 2 else draw_tiny)(Random(seed))
    engine = Engine.for_shop(drawn.shop, now=drawn.now)
    bound = bound_of(engine.problem, engine.untouched(), [0] * len(engine.problem.demands))
    for policy in engine.portfolio():
        value = engine.attempt(policy).value
        assert bound.weighted_late_min <= value[0]
        assert bound.finish_min <= value[1]


def test_a_pool_of_moulds_is_bounded_by_its_rounds() -> None:
    # By hand, open all day: fill 20 + cure 60 + demould 5 = 85 min a round; of 2 moulds
    # one takes at least 3 of 6 pulls, 255 min, and the last part is trimmed in 15: 270.
    process = build.process(
        build.hands("fill", 20),
        build.alone("cure", 60),
        build.hands("demould", 5),
        build.hands("trim", 15, per="part"),
        holds=[build.hold("fill", "demould")],
    )
    shop = build.shop(
        process,
        [build.order(quantity=6)],
        people=[build.person(name) for name in ("ana", "ben", "cem")],
        moulds=[build.moulds(2)],
    )
    engine = Engine.for_shop(shop, now=NOW)
    bound = bound_of(engine.problem, [6], [0])
    assert bound.finish_min == 270
    assert "moulds" in bound.finish_name


def test_people_are_bounded_by_their_open_minutes() -> None:
    # By hand: 10 x 60 min by one person who is in from 08:00 to 12:00: 240 min a day, so
    # two days and 120 min of the third: Wednesday 10:00, 3000 min after Monday 08:00.
    process = build.process(build.hands("sand", 60, per="part", interruptible=True))
    shop = build.shop(
        process,
        [build.order(quantity=10)],
        people=[build.person("ana")],
        hours=build.opening(build.week("08:00-12:00")),
    )
    engine = Engine.for_shop(shop, now=NOW)
    bound = bound_of(engine.problem, [10], [0])
    assert bound.finish_min == 3000
    assert bound.finish_name == "the hours of ana"


def test_whichever_order_comes_last_is_late() -> None:
    # By hand: two orders of 60 min each, one person, both due after 60 min: alone each is
    # in time, but one of them ends after 120 at the earliest: 60 min late.
    process = build.process(build.hands("sand", 60, per="part"))
    due = build.instant("2027-03-01 09:00")
    shop = build.shop(
        process,
        [build.order("1", due=due), build.order("2", due=due)],
        people=[build.person("ana")],
    )
    engine = Engine.for_shop(shop, now=NOW)
    bound = bound_of(engine.problem, [1, 1], [0, 0])
    assert bound.weighted_late_min == 60
    assert "in turn" in bound.late_name


@given(st.integers(1, 5), st.integers(0, 10_000))
def test_places_are_given_out_as_cheaply_as_any_permutation(size: int, seed: int) -> None:
    costs = np.random.default_rng(seed).integers(0, 50, (size, size))
    cheapest = min(
        sum(int(costs[row, column]) for row, column in enumerate(order))
        for order in permutations(range(size))
    )
    assert least_cost(costs.astype(np.int64)) == cheapest


def test_open_minutes_of_two_people_add_up() -> None:
    # By hand: one is in from 0 to 60, the other from 30 to 60: 30 + 2 x 30 = 90 in all,
    # and 50 are done 10 min into the time both are in.
    time = OpenTime([[(0, 60)], [(30, 60)]])
    assert time.when(0, 90) == 60
    assert time.when(0, 50) == 40


# Pulls of 20 min (fill 5, cure 10, empty 5) in one mould, waxed in 10 every two pulls; ana
# fills, ben empties and waxes, so that hands never bind. By hand throughout.


def waxed(*orders: Order, since: int) -> Shop:
    process = build.process(
        build.hands("fill", 5, skill="fill"),
        build.alone("cure", 10),
        build.hands("empty", 5, skill="empty"),
        holds=[build.hold("fill", "empty")],
        conditioning=build.hands("wax", 10, per="conditioning", skill="empty"),
    )
    return build.shop(
        process,
        orders,
        people=[build.person("ana", ("fill",)), build.person("ben", ("empty",))],
        moulds=[build.moulds(1, since=since, conditioned_every_pulls=2)],
    )


def test_conditioning_is_counted_where_an_order_has_all_the_pulls() -> None:
    # 20 + 20 + wax 10 + 20 = 70.
    plan = make_plan(waxed(build.order(quantity=3), since=0), now=NOW, seconds=0.2)
    assert plan.bound == plan.objective.finish_min == 70
    # One pull since: wax after the first here and after the third: 20 + 10 + 40 + 10 + 20.
    plan = make_plan(waxed(build.order(quantity=4), since=1), now=NOW, seconds=0.2)
    assert plan.bound == plan.objective.finish_min == 100


def test_conditioning_that_another_order_can_bring_on_is_not_counted() -> None:
    # One pull since. Order 1 pulls 08:00-08:20, wax to 08:30, and order 2, released then and
    # due then, has its two pulls without a wax by 09:10: 40 late. Counting its own first pull
    # as the second since the wax would make it 50.
    urgent = build.order(
        "2",
        2,
        release=build.instant("2027-03-01 08:30"),
        due=build.instant("2027-03-01 08:30"),
    )
    plan = make_plan(waxed(build.order("1", 1), urgent, since=1), now=NOW, seconds=0.2)
    assert plan.objective.weighted_late_min == 40
    assert plan.bound is not None
    assert 0 < plan.bound <= 40


def test_conditioning_due_at_once_is_not_counted_where_it_fits_before_the_release() -> None:
    # Due before the first pull, which is not before 08:30: waxed by then, so 30 + 20.
    released = build.order(quantity=1, release=build.instant("2027-03-01 08:30"))
    plan = make_plan(waxed(released, since=2), now=NOW, seconds=0.2)
    assert plan.bound == plan.objective.finish_min == 50
    # Without a release it is in the way: 10 + 20.
    plan = make_plan(waxed(build.order(quantity=1), since=2), now=NOW, seconds=0.2)
    assert plan.bound == plan.objective.finish_min == 30


def test_the_bound_of_a_shop_that_once_had_one_above_its_plan() -> None:
    # Orders with releases of their own, two moulds due for wax at once; found by drawing.
    drawn = draw(Random(296))
    plan = make_plan(drawn.shop, now=drawn.now, seconds=0.2)
    assert plan.bound is not None
    assert plan.bound <= plan.objective.weighted_late_min
