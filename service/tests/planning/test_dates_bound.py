"""The bound from choosing all orders' ends at once never passes the best plan there is."""

from __future__ import annotations

from datetime import UTC
from random import Random

import builders as build
import pytest
from small_search import best_plan

from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.planning.attempt import Engine
from mouldwright.planning.flow.dates import DatesBound
from mouldwright.planning.flow.finish import FinishBound
from mouldwright.planning.flow.stages import lay_out
from mouldwright.planning.reduce import as_flow

NOW = build.at("2027-03-01 08:00")


def bound_on(shop: Shop, *, value: int, most_late: int, choices: int = 40) -> int:
    """Return the bound after so many choices, from a known bound and a known plan."""
    flow = as_flow(Engine.for_shop(shop, now=NOW).problem, 100_000)
    assert flow is not None
    asked = iter(range(choices))
    bound = DatesBound(flow, FinishBound(lay_out(flow)), value=value, most_late=most_late)
    bound.refine(lambda: next(asked, None) is None, seed=1, work=1.0)
    return bound.value


def one_hand(weights: tuple[int, ...], minutes: int) -> Shop:
    """Return orders of one part each, due Monday noon, by one person in from 08:00 to 12:00."""
    process = build.process(build.hands("sand", minutes, per="part"))
    due = build.instant("2027-03-01 12:00")
    return build.shop(
        process,
        [build.order(str(n), due=due, weight=w) for n, w in enumerate(weights, 1)],
        people=[build.person("ana")],
        hours=build.opening(build.week("08:00-12:00")),
    )


def test_of_two_orders_that_each_fill_the_day_the_lighter_is_a_day_late() -> None:
    # By hand: 240 min each, 240 a day: one is done on Tuesday, the one of weight 1.
    assert bound_on(one_hand((3, 1), 240), value=0, most_late=10_000) == 1440


def test_of_three_the_lightest_is_two_days_late_and_the_next_one() -> None:
    # By hand: 5 in time, 3 x 1440, 2 x 2 x 1440.
    assert bound_on(one_hand((2, 5, 3), 240), value=0, most_late=50_000) == 7 * 1440


def test_a_mould_that_serves_one_a_day_makes_the_others_late() -> None:
    # By hand: fill 10, cure 20 h, empty 10, one mould. The first is emptied Tuesday at 08:00
    # and the mould filled again at 08:10, emptied Wednesday 08:00-08:10: the first is in time
    # and the second late from Tuesday 12:00 to Wednesday 08:10, 20 h 10 min.
    process = build.process(
        build.hands("fill", 10),
        build.alone("cure", 1200),
        build.hands("empty", 10),
        holds=[build.hold("fill", "empty")],
    )
    due = build.instant("2027-03-02 12:00")
    shop = build.shop(
        process,
        [build.order("1", due=due), build.order("2", due=due)],
        people=[build.person("ana")],
        moulds=[build.moulds(1)],
        hours=build.opening(build.week("08:00-12:00")),
    )
    assert best_plan(shop, NOW).weighted_late_min == 1210
    assert 0 < bound_on(shop, value=0, most_late=10_000) <= 1210


def drawn(rng: Random) -> Shop:
    """Return two or three small dated orders by one or two processes in few moulds."""
    processes = [
        build.process(
            build.hands("fill", rng.randint(10, 120)),
            build.alone("cure", rng.choice((20, 300, 1200))),
            build.hands("empty", rng.randint(5, 60)),
            holds=[build.hold("fill", "empty")],
        ),
        build.process(
            build.hands("cut", rng.randint(10, 200), per="part"),
            build.alone("rest", rng.choice((10, 700)), per="part"),
            build.hands("sand", rng.randint(10, 120), per="part"),
            key="cut",
        ),
    ]
    orders = [
        build.order(
            str(number),
            rng.randint(1, 2),
            process=rng.choice(("pressed", "pressed", "cut")),
            due=local(NOW + rng.randint(0, 2 * 1440), "UTC").astimezone(UTC),
            weight=rng.randint(1, 3),
        )
        for number in range(1, rng.randint(2, 3) + 1)
    ]
    return build.shop(
        processes,
        orders,
        people=[build.person("ana")],
        moulds=[build.moulds(rng.randint(1, 2))],
        hours=build.opening(build.week(rng.choice(("08:00-12:00", "08:00-12:00 13:00-17:00")))),
    )


@pytest.mark.parametrize("seed", range(24))
def test_the_bound_is_never_above_the_best_of_all_orders_of_work(seed: int) -> None:
    shop = drawn(Random(seed))
    least = best_plan(shop, NOW).weighted_late_min
    # A poor plan is known, so that nothing but the argument keeps the bound down; what is
    # proven already may be anything up to the best.
    for value in (0, least // 2, least):
        assert bound_on(shop, value=value, most_late=3 * least + 3000) <= least
