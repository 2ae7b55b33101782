"""A date beside the plan that holds: what was told to people stays, and the date heeds that."""

from __future__ import annotations

from dataclasses import replace

import builders as build

from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.planning.run import make_plan
from mouldwright.usecases.held import Held
from mouldwright.usecases.planned import finish_on_top

EIGHT = build.at("2027-03-01 08:00")
# Three hours by one pair of hands for each part, and nobody else there.
SHOP = build.shop(
    build.process(build.hands("sand", 180, per="part")),
    [build.order(quantity=1)],
    people=[build.person("ana")],
)


def planned_of(ready: ReadyBy) -> int:
    assert ready.odds is not None
    return ready.odds.planned


def test_what_is_promised_goes_round_what_the_plan_that_holds_has_given_out() -> None:
    # By hand: order 1 was told for 10:00 to 13:00, which leaves 2 h before it; one of 3 h is ready
    # at 16:00. From nothing both would be done by 14:00.
    told = build.task("sand", EIGHT + 120, EIGHT + 300, "ana", order="1", part_id=1)
    held = Held(version=1, plan=build.plan(SHOP, EIGHT, [told], starts={"1": 1}))
    asked = (SHOP, "fin", "pressed", 1, EIGHT)
    assert planned_of(finish_on_top(*asked, held=held)) == EIGHT + 480
    assert planned_of(finish_on_top(*asked)) == EIGHT + 360


def test_the_date_of_a_quote_is_the_one_its_order_has_once_it_is_booked() -> None:
    # The plan after acceptance is made beside the same plan, so it comes to the same.
    held = Held(version=1, plan=make_plan(SHOP, now=EIGHT, seconds=0.0))
    promised = finish_on_top(SHOP, "fin", "pressed", 2, EIGHT, held=held).finish
    booked = replace(SHOP, orders=(*SHOP.orders, build.order("2", 2)))
    assert make_plan(booked, now=EIGHT, seconds=0.0).orders[1].finish == promised == EIGHT + 540
