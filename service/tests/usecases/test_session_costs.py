"""What sessions cost, as planned and as reckoned, worked by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import builders as build

from mouldwright.domain.process.process import Consumable
from mouldwright.domain.shop import Shop
from mouldwright.planning.run import make_plan
from mouldwright.usecases.session_costs import session_costs


def bench() -> Shop:
    """Return a shop that lays up two orders of one part each, at 15 an hour and 6 overhead."""
    process = build.process(
        build.hands("lay", 30, per="part", skill="wet"),
        consumables=(Consumable(name="gloves", cost=Decimal("1.10"), per="session"),),
    )
    shop = build.shop(
        process,
        [build.order("1", 1), build.order("2", 1)],
        people=[build.person("ana", ["wet"])],
        sessions=[build.session("in-gloves", 10, 15, skill="wet")],
        hours=build.opening(build.week("08:00-12:00")),
    )
    return replace(shop, overhead_per_hour=Decimal(6))


def test_two_orders_of_one_session_cost_less_than_reckoned_apart() -> None:
    shop = bench()
    now = build.at("2027-03-01 08:00")
    plan = make_plan(shop, now=now, seconds=math.inf, work_limit=20)
    (cost,) = session_costs(shop, plan)
    # Planned: one session of 25 min, 25/60 h at 15 + 6, and gloves once: 8.75 + 1.10.
    assert (cost.planned, cost.planned_min) == (1, 25)
    assert cost.planned_cost == Fraction("9.85")
    # Reckoned one by one: each order a session of its own.
    assert (cost.assumed, cost.assumed_min) == (2, 50)
    assert cost.assumed_cost == 2 * Fraction("9.85")


def test_an_order_over_two_mornings_is_reckoned_as_it_is_planned() -> None:
    # 240 - 25 = 215 min a morning hold seven lay-ups; eight need two mornings.
    shop = replace(bench(), orders=(build.order("1", 8),))
    now = build.at("2027-03-01 08:00")
    plan = make_plan(shop, now=now, seconds=math.inf, work_limit=20)
    (cost,) = session_costs(shop, plan)
    assert (cost.planned, cost.assumed) == (2, 2)
    assert cost.planned_cost == cost.assumed_cost


def test_a_shop_without_sessions_has_no_such_cost() -> None:
    shop = replace(bench(), sessions={})
    plan = make_plan(shop, now=build.at("2027-03-01 08:00"), seconds=math.inf, work_limit=5)
    assert session_costs(shop, plan) == ()
