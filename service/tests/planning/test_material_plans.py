"""Orders wait for materials that are not there: by hand, and told with how much is short.

A part of builders.part() is 20 x 5 x 100 mm: 10 cm3, 11 g of a resin of 1100 kg/m3, mixed of
equal masses of two components.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import builders as build
import pytest
from stocked_shops import lot, shop_of

from mouldwright.domain.consistency.check import faults_of
from mouldwright.domain.errors import HardLimit
from mouldwright.domain.shop import Shop
from mouldwright.planning.check import check_plan
from mouldwright.planning.plan import Plan, Shortage
from mouldwright.planning.run import make_plan
from mouldwright.wire.kept_plan import KeptPlanDocument

# A Monday.
NOW = build.at("2027-03-01 08:00")


def plan_of(shop: Shop) -> Plan:
    plan = make_plan(shop, now=NOW, seconds=0.2)
    assert plan.checked
    assert plan.bound is not None
    assert plan.bound <= (plan.objective.weighted_late_min or plan.objective.finish_min)
    return plan


def begins(plan: Plan, order: str) -> int:
    return min(t.start for t in plan.tasks if any(m.order == order for m in t.members))


TEN = [build.order(quantity=10)]


def test_hardener_that_is_13_g_short_is_named_before_anything_starts() -> None:
    # Ten parts take 110 g: 55 g of each component. 100 g of one are there, 42 of the other.
    with pytest.raises(HardLimit) as found:
        plan_of(shop_of(TEN, lot("resin-a", 100), lot("resin-b", 42)))
    assert found.value.reasons == (
        "order 1: 13 g of resin-b are short; a delivery of that much would do "
        "(stock.resin-b, with arrives), or a supplier's offer of it.",
    )


def test_an_order_begins_the_day_its_delivery_arrives() -> None:
    shop = shop_of(
        TEN, lot("resin-a", 100), lot("resin-b", 42), lot("resin-b", 13, arrives=date(2027, 3, 5))
    )
    plan = plan_of(shop)
    assert begins(plan, "1") == build.at("2027-03-05 00:00")
    said = "13 g of resin-b are not there before Fri 5 Mar 2027"
    assert any(said in each for each in plan.orders[0].binds)


def test_what_no_delivery_brings_is_bought_now() -> None:
    # Monday and four days: Friday.
    plan = plan_of(shop_of(TEN, lot("resin-a", 100), lot("resin-b", 42), lead_days=4))
    assert begins(plan, "1") == build.at("2027-03-05 00:00")
    assert any("bought now from The quay" in words for words in plan.orders[0].binds)
    # Ten parts draw 55 g of the component, 42 are on the shelf.
    assert plan.shortages == (
        Shortage(
            order="1", material="resin-b", unit="g", needed=55.0, short=13.0,
            there_on=date(2027, 3, 5), bought=13.0, supplier="quay",
        ),
    )  # fmt: skip


def test_a_plan_tells_no_shortage_where_all_is_there_and_none_where_nobody_looks() -> None:
    shop = shop_of(TEN, lot("resin-a", 100), lot("resin-b", 100))
    assert plan_of(shop).shortages == ()
    assert plan_of(replace(shop, materials_planned="assumed")).shortages is None


def test_a_plan_that_takes_materials_as_there_says_what_stock_lacks_and_from_when() -> None:
    # Ten parts draw 55 g of the component, 42 are on the shelf; Monday and four days: Friday.
    shop = shop_of(TEN, lot("resin-a", 100), lot("resin-b", 42), lead_days=4)
    plan = plan_of(replace(shop, materials_planned="assumed"))
    assert plan.cautions == (
        "Dates take materials as there, yet (order 1) 13 g of resin-b are not there before "
        "Fri 5 Mar 2027, bought now from The quay.",
    )
    assert KeptPlanDocument.of(plan).plan() == plan
    assert plan_of(shop).cautions == ()


def test_a_plan_is_silent_of_stock_that_is_enough_or_that_nobody_keeps() -> None:
    for lots in ([lot("resin-a", 100), lot("resin-b", 100)], []):
        shop = replace(shop_of(TEN, *lots), materials_planned="assumed")
        assert plan_of(shop).cautions == ()


def test_shortages_are_written_in_the_answer_and_read_back() -> None:
    delivery = lot("resin-b", 13, arrives=date(2027, 3, 5))
    plan = plan_of(shop_of(TEN, lot("resin-a", 100), lot("resin-b", 42), delivery))
    answer = json.loads(KeptPlanDocument.of(plan).model_dump_json())
    assert answer["shortages"] == [
        {
            "order": "1", "material": "resin-b", "unit": "g", "needed": 55.0, "short": 13.0,
            "there_on": "2027-03-05", "bought": 0.0, "supplier": None,
        }
    ]  # fmt: skip
    assert KeptPlanDocument.model_validate(answer).plan() == plan


def test_stock_goes_to_those_due_first() -> None:
    # Eight parts each take 44 g of each component and 60 g are there: enough for one order.
    orders = [
        build.order("1", 8, due=build.instant("2027-03-20 12:00")),
        build.order("2", 8, due=build.instant("2027-03-10 12:00")),
    ]
    shop = shop_of(orders, lot("resin-a", 100), lot("resin-b", 60), lead_days=3)
    plan = plan_of(shop)
    assert begins(plan, "2") == NOW
    assert begins(plan, "1") == build.at("2027-03-04 00:00")


def test_a_lot_that_has_expired_covers_nothing() -> None:
    shop = shop_of(
        TEN,
        lot("resin-a", 100),
        lot("resin-b", 42),
        lot("resin-b", 500, expires=date(2027, 2, 28)),
        lead_days=1,
    )
    assert begins(plan_of(shop), "1") == build.at("2027-03-02 00:00")


def test_a_shop_that_takes_materials_as_there_waits_for_none() -> None:
    shop = replace(shop_of(TEN, lot("resin-a", 1)), materials_planned="assumed")
    assert begins(plan_of(shop), "1") == NOW


def test_a_delivery_that_no_plan_waits_for_is_warned_of() -> None:
    late = lot("resin-b", 42, arrives=date(2027, 3, 5))
    shop = replace(shop_of(TEN, late), materials_planned="assumed")
    assert [f.path for f in faults_of(shop) if "arrives" in f.path] == ["stock.resin-b[1].arrives"]


def test_the_checker_sees_an_order_that_begins_too_soon() -> None:
    full = shop_of(TEN, lot("resin-a", 100), lot("resin-b", 55))
    plan = plan_of(full)
    short = shop_of(TEN, lot("resin-a", 100), lot("resin-b", 42), lead_days=4)
    complaints = check_plan(short, plan)
    assert complaints == ("order 1 begins on 2027-03-01 and 13.0 g of resin-b are not there",)
