"""A promise counts from the day its material can be there, whether or not plans wait: by hand.

Ten parts of ``stocked_shops`` draw 55 g of each component; 42 g of one are on the shelf. On Monday
1 March, bought with four days of delivery, the rest is there on Friday 5 March: 13 g.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import builders as build
import pytest
from stocked_shops import lot, shop_of

from mouldwright.domain.costing.material_wait import arrivals_said, waits_of_one_more
from mouldwright.domain.errors import HardLimit
from mouldwright.domain.shop import Shop
from mouldwright.usecases.enquiry import finish_by_rate
from mouldwright.usecases.planned import finish_first, finish_on_top
from mouldwright.usecases.try_order import Wanted, try_order

# A Monday.
NOW = build.at("2027-03-01 08:00")
FRIDAY = build.at("2027-03-05 00:00")
SHORT = (lot("resin-a", 100), lot("resin-b", 42))
ENOUGH = (lot("resin-a", 100), lot("resin-b", 100))
WAYS = (finish_by_rate, finish_on_top, finish_first)


def taken_as_there(*lots, lead_days: int | None = 4) -> Shop:
    shop = shop_of([], *lots, lead_days=lead_days)
    return replace(shop, materials_planned="assumed")


@pytest.mark.parametrize("finish", WAYS)
def test_a_promise_is_the_same_as_of_one_asked_for_when_the_material_comes(finish) -> None:
    asked = "fin", "pressed", 10
    there = taken_as_there(*ENOUGH)
    promised = finish(taken_as_there(*SHORT), *asked, NOW).finish
    assert promised == finish(there, *asked, FRIDAY).finish
    assert promised > FRIDAY > finish(there, *asked, NOW).finish


@pytest.mark.parametrize("finish", WAYS)
def test_a_shop_that_plans_from_its_stock_promises_no_other_day(finish) -> None:
    shop = taken_as_there(*SHORT)
    waits = replace(shop, materials_planned="from stock")
    asked = "fin", "pressed", 10, NOW
    assert finish(shop, *asked).finish == finish(waits, *asked).finish


@pytest.mark.parametrize("finish", WAYS)
def test_no_day_is_promised_of_what_nothing_brings(finish) -> None:
    with pytest.raises(HardLimit, match="13 g of resin-b are short"):
        finish(taken_as_there(*SHORT, lead_days=None), "fin", "pressed", 10, NOW)


@pytest.mark.parametrize("finish", WAYS)
def test_a_material_that_nobody_keeps_or_buys_is_taken_as_there(finish) -> None:
    # Of the other component there is no lot and no offer: the shop keeps no count of it.
    shop = taken_as_there(lot("resin-a", 100), lead_days=None)
    asked = "fin", "pressed", 10, NOW
    assert finish(shop, *asked).finish == finish(taken_as_there(*ENOUGH), *asked).finish


def test_an_order_that_is_tried_says_the_day_a_quote_of_it_would() -> None:
    shop = taken_as_there(*SHORT)
    tried = try_order(
        shop, Wanted(part="fin", process="pressed", quantity=10), now=NOW, seconds=0.1
    )
    quoted = tried.quote_promise or tried.promise
    assert quoted.finish == finish_on_top(shop, "fin", "pressed", 10, NOW).finish
    assert tried.finish > FRIDAY
    assert tried.arrivals == (
        "Material arrives Fri 5 Mar 2027, bought now from The quay: 13 g of resin-b.",
    )


def test_what_open_orders_take_is_not_promised_a_second_time() -> None:
    # Of 80 g eight booked parts take 44: 36 are left of 55, so that 19 are short.
    shop = replace(
        taken_as_there(lot("resin-a", 200), lot("resin-b", 80)),
        orders=(build.order("1", 8, due=build.instant("2027-03-20 12:00")),),
    )
    (wait,) = waits_of_one_more(shop, "fin", "pressed", 10, now=NOW)
    assert (wait.short, wait.there_on) == (Fraction(19), date(2027, 3, 5))
    assert arrivals_said(shop, [wait]) == (
        "Material arrives Fri 5 Mar 2027, bought now from The quay: 19 g of resin-b.",
    )
