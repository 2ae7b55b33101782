"""Going in and coming out in cost without a plan, worked by hand.

The bench is open 08:00-12:00 and 12:45-16:45: its longest opening is 240 min.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from costing_bench import attended, family, mould_hold, part, person, process, shop, unattended

from mouldwright.domain.costing.set_cost import set_cost
from mouldwright.domain.costing.unit_cost import UnitCost, unit_cost
from mouldwright.domain.order import PartSet, SetPart
from mouldwright.domain.part.mass import charge
from mouldwright.domain.process.process import Consumable, Process
from mouldwright.domain.room import Session
from mouldwright.domain.shop import Shop

GLOVES = Session(key="in-gloves", title="In gloves", skill="wet", gear_up_min=10, clean_down_min=15)
LAID = process(
    attended("lay", "part", "30"),
    attended("trim", "part", "20", skill="finish"),
    consumables=(Consumable(name="gloves", cost=Decimal("1.10"), per="session"),),
)
GOING = "going in and coming out: In gloves"


def bench(way: Process = LAID, **more: object) -> Shop:
    return shop(
        way, part("fin", "way"), person("ann", "wet", "finish"), sessions={GLOVES.key: GLOVES},
        overhead_per_hour=Decimal("6"), **more,
    )  # fmt: skip


def costed(where: Shop, quantity: int) -> UnitCost:
    return unit_cost(where, where.parts["fin"], where.processes["way"], quantity, charge=None)


def amounts(cost: UnitCost) -> dict[str, Fraction | None]:
    return {line.text: line.amount for line in cost.lines}


@pytest.mark.parametrize(
    ("quantity", "sessions"),
    # 240 - 10 - 15 = 215 min of lay-up a session: 7 x 30 = 210 is one, 8 x 30 = 240 are two,
    # 14 x 30 = 420 still two, 15 x 30 = 450 three.
    [(1, 1), (7, 1), (8, 2), (14, 2), (15, 3)],
)
def test_an_order_has_as_few_sessions_as_hours_allow(quantity: int, sessions: int) -> None:
    cost = costed(bench(), quantity)
    # 25 min of a person at 36 an hour: 15.00 a session; gloves 1.10.
    assert amounts(cost)[GOING] == 15 * sessions
    assert amounts(cost)["gloves"] == Fraction("1.10") * sessions
    # Attended: 50 min a part and 25 a session, overhead 6 an hour on all of it.
    hours = Fraction(50 * quantity + 25 * sessions, 60)
    assert abs(Fraction(cost.people_hours) - hours) < Fraction(1, 1_000_000)
    assert amounts(cost)["overhead on attended hours"] == 6 * hours


def test_two_at_one_task_go_in_both() -> None:
    both = replace(LAID, operations=(attended("lay", "part", "30", people=2),))
    where = replace(bench(both), people={key: person(key, "wet") for key in ("ann", "bob")})
    # 60 person-minutes fit one session, and two people go in: 2 x 15.00.
    assert amounts(costed(where, 1))[GOING] == 30


def test_upkeep_of_the_mould_is_of_the_session_too() -> None:
    pressed = process(
        attended("lay", "pull", "30"),
        unattended("cure", "pull", "60"),
        holds=(mould_hold("lay", "cure"),),
        conditioning=attended("wax", "conditioning", "20"),
    )
    where = shop(
        pressed, part("fin", "way"), family(conditioned_every_pulls=1),
        sessions={GLOVES.key: GLOVES},
    )  # fmt: skip
    # 4 x (30 + 20) = 200 min are one session, 5 x 50 = 250 two.
    assert amounts(costed(where, 4))[GOING] == 15
    assert amounts(costed(where, 5))[GOING] == 30


def test_work_on_sets_goes_in_and_comes_out_as_well() -> None:
    kit = PartSet(
        key="kit",
        title="Kit",
        parts=(SetPart(part="fin", process="way"),),
        operations=(attended("join", "part", "43"),),
    )
    where = bench(sets={"kit": kit})
    way = where.processes["way"]
    charges = {("fin", "way"): charge(where, where.parts["fin"], way)}
    # 5 x 43 = 215 min of joining are one session, 6 x 43 = 258 two.
    for quantity, sessions in ((5, 1), (6, 2)):
        cost = set_cost(where, kit, quantity, charges=charges)
        assert amounts(cost)[f"kit: {GOING}"] == 15 * sessions


def test_a_shop_without_sessions_has_no_such_line() -> None:
    plain = replace(LAID, consumables=())
    assert GOING not in amounts(costed(replace(bench(plain), sessions={}), 3))
