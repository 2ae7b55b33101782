"""What the log tells of stock moves a plan that is made from stock: by hand.

A part takes 5.5 g of each component: see ``stocked_shops``.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import builders as build
from stocked_shops import lot, shop_of
from written_log import BenchLog

from mouldwright.domain.costing.material_wait import waits_of_one_more
from mouldwright.domain.record.log import Happening
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan

# A Monday.
NOW = build.at("2027-03-01 08:00")
TEN = build.order("1", 10)
EIGHT = build.order("2", 8, due=build.instant("2027-03-20 12:00"))


def plan_of(shop: Shop, now: int = NOW) -> Plan:
    return make_plan(shop, now=now, seconds=0.1)


def begins(plan: Plan, order: str) -> int:
    return min(t.start for t in plan.tasks if any(m.order == order for m in t.members))


def test_an_order_that_is_begun_goes_on_drawing_what_it_still_needs() -> None:
    # Ten parts draw 55 g, of which one pull has taken 5.5. Of 80 g 74.5 are left, 49.5 of them for
    # the nine to come: 25 are no 44 for eight more, which wait for a purchase of three days.
    shop = shop_of([TEN], lot("resin-a", 200), lot("resin-b", 80), lead_days=3)
    first = plan_of(shop)
    log = BenchLog(NOW)
    log.as_planned(next(t for t in first.tasks if t.operation == "mix"))
    both = log.kept_in(shop_of([TEN, EIGHT], lot("resin-a", 200), lot("resin-b", 80), lead_days=3))
    plan = plan_of(both, NOW + 10)
    assert begins(plan, "1") == NOW
    assert begins(plan, "2") == build.at("2027-03-04 00:00")
    assert plan.shortages is not None
    assert [(each.order, each.short) for each in plan.shortages] == [("2", 19.0)]


def test_a_delivery_that_is_late_moves_the_order_that_waits_for_it() -> None:
    coming = lot("resin-b", 13, arrives=date(2027, 3, 3))
    shop = shop_of([TEN], lot("resin-a", 100), lot("resin-b", 42), coming)
    assert begins(plan_of(shop), "1") == build.at("2027-03-03 00:00")
    log = BenchLog(NOW)
    until = build.instant("2027-03-05 09:00")
    log.note(Happening.DELIVERY_LATE, 0, material="resin-b", until=until)
    plan = plan_of(log.kept_in(shop), NOW + 5)
    assert begins(plan, "1") == build.at("2027-03-05 00:00")
    assert plan.shortages is not None
    assert [each.there_on for each in plan.shortages] == [date(2027, 3, 5)]
    said = "13 g of resin-b are not there before Fri 5 Mar 2027"
    assert any(said in each for each in plan.orders[0].binds)


def test_stock_that_is_counted_short_has_to_be_bought_first() -> None:
    shop = shop_of([TEN], lot("resin-a", 100), lot("resin-b", 60), lead_days=4)
    assert begins(plan_of(shop), "1") == NOW
    log = BenchLog(NOW)
    log.note(Happening.STOCK_COUNTED, 0, material="resin-b", amount=Decimal(42))
    counted = log.kept_in(shop)
    plan = plan_of(counted, NOW + 5)
    assert begins(plan, "1") == build.at("2027-03-05 00:00")
    assert plan.shortages is not None
    assert [(each.short, each.bought) for each in plan.shortages] == [(13.0, 13.0)]


def test_what_came_in_is_there_for_the_plan_and_for_one_more_order() -> None:
    shop = shop_of([TEN], lot("resin-a", 200), lot("resin-b", 42), lead_days=4)
    log = BenchLog(NOW)
    log.note(Happening.RECEIVED, 0, material="resin-b", amount=Decimal(30), lot="B-7")
    there = log.kept_in(shop)
    assert begins(plan_of(there, NOW + 5), "1") == NOW + 5
    # 72 less 55: of three more parts' 16.5 g nothing is short, of four's 22 five are.
    assert waits_of_one_more(there, "fin", "pressed", 3, now=NOW + 5) == ()
    (wait,) = waits_of_one_more(there, "fin", "pressed", 4, now=NOW + 5)
    assert (wait.material, wait.short) == ("resin-b", 5)
