"""An order for matched sets begins as many parts as matching takes, and the check agrees."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import builders

from mouldwright.domain.costing.matching import good_pieces
from mouldwright.domain.order import Match, Order, PartSet, SetPart
from mouldwright.planning.check import check_plan
from mouldwright.planning.run import make_plan

NOW = builders.at("2027-03-01T08:00")
PAIR = PartSet(
    key="pair",
    title="Pair",
    parts=(SetPart(part="fin", process="sawn", count=2),),
    match=Match(on="mass", window=Decimal("0.02"), spread=Decimal("0.02")),
)


def test_the_plan_begins_the_parts_that_matching_takes():
    shop = builders.shop(
        builders.process(builders.hands("saw", 10, per="part"), key="sawn"),
        [Order(number="1", part="pair", quantity=6)],
        people=[builders.person("ada")],
        parts=[builders.part("fin", made_by=["sawn"])],
        sets=[PAIR],
    )
    shop = replace(shop, service_level=Decimal("0.9"))
    plan = make_plan(shop, now=NOW, seconds=0.0)
    begun = {part for task in plan.tasks for member in task.members for part in member.parts}
    (pieces,) = good_pieces(shop, PAIR, 6)
    assert pieces > 12
    assert len(begun) == pieces
    assert check_plan(shop, plan) == ()
