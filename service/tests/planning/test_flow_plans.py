"""Which shops are plain flow, and the way there and back."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import builders as build
import pytest

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop
from mouldwright.planning.attempt import Engine
from mouldwright.planning.flow.instance import FlowInstance
from mouldwright.planning.flow.solve import solve_flow
from mouldwright.planning.reduce import as_flow, late_bound
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")


def plain(**more: object) -> Shop:
    process = build.process(
        build.hands("fill", 20, station="press"),
        build.alone("cure", 60),
        build.hands("demould", 5),
        build.hands("trim", 15, per="part"),
        holds=[build.hold("fill", "demould"), build.hold("fill", "demould", "clamps")],
    )
    return build.shop(
        process,
        [build.order(quantity=6, due=build.instant("2027-03-01 12:00"))],
        people=[build.person("ana"), build.person("ben")],
        moulds=[build.moulds(3)],
        stations=[build.station("press"), build.station("clamps", 2)],
        hours=build.opening(build.week("08:00-12:00 13:00-17:00")),
        **more,
    )


def flow_of(shop: Shop) -> FlowInstance | None:
    return as_flow(Engine.for_shop(shop, now=NOW).problem, 1000)


def changed(shop: Shop, name: str, **change: object) -> Shop:
    process = shop.processes["pressed"]
    operations = tuple(replace(o, **change) if o.name == name else o for o in process.operations)
    return replace(shop, processes={"pressed": replace(process, operations=operations)})


def test_moulds_stations_and_hands_become_pools_and_openings() -> None:
    flow = flow_of(plain())
    assert flow is not None
    assert sorted(flow.pools.values()) == [1, 2, 3]
    assert flow.windows[:2] == ((0, 240, 2), (300, 540, 2))
    assert [step.duration_min for step in flow.orders[0].steps] == [20, 60, 5, 15]
    assert flow.orders[0].due == 240


def test_a_plan_by_way_of_flow_has_names_and_passes_its_check() -> None:
    plan = make_plan(plain(), now=NOW, seconds=1.0)
    assert plan.checked
    fills = [task for task in plan.tasks if task.operation == "fill"]
    assert {task.people[0] for task in fills} <= {"ana", "ben"}
    assert all(task.mould is not None and len(task.stations) == 2 for task in fills)
    assert plan.bound is not None
    assert plan.bound <= (plan.objective.weighted_late_min or plan.objective.finish_min)


@pytest.mark.parametrize(
    "how", [{"seconds": 0.0}, {"seconds": -0.1}, {"seconds": 60.0, "cancelled": lambda: True}]
)
def test_a_search_whose_time_is_over_before_it_begins_ends_with_some_plan(
    how: dict[str, Any],
) -> None:
    # Two orders of two pulls on two moulds and one person: nothing is proven at once.
    process = build.process(
        build.hands("lay", 60),
        build.alone("cure", 840),
        build.hands("demould", 20),
        holds=[build.hold("lay", "demould")],
    )
    shop = build.shop(
        process,
        [build.order("1", 2), build.order("2", 2)],
        people=[build.person("ana")],
        moulds=[build.moulds(2)],
        hours=build.opening(build.week("08:00-17:00")),
    )
    flow = as_flow(Engine.for_shop(shop, now=NOW).problem, 1000)
    assert flow is not None
    assert len(solve_flow(flow, seed=1, **how).starts) == 2


@pytest.mark.parametrize(
    "change",
    [
        {"name": "trim", "interruptible": True},
        {"name": "trim", "people": 2},
        {"name": "demould", "wait_max_min": 600},
        {"name": "demould", "wait_min": 5},
        {"name": "trim", "per": "order"},
    ],
    ids=lambda change: f"{change['name']} {list(change)[1]}",
)
def test_what_flow_cannot_say_is_not_flow(change: dict[str, object]) -> None:
    assert flow_of(changed(plain(), **change)) is None


def test_a_skill_that_only_one_has_is_not_flow() -> None:
    shop = changed(plain(), "trim", skill="finish")
    people = {**shop.people, "ben": replace(shop.people["ben"], skills=frozenset({"finish"}))}
    assert flow_of(replace(shop, people=people)) is None


def test_moulds_that_wear_or_are_conditioned_are_not_flow() -> None:
    shop = plain()
    worn = replace(shop.moulds["fin-mould"], life_pulls=50)
    assert flow_of(replace(shop, moulds={"fin-mould": worn})) is None
    wax = Operation(name="wax", per="conditioning", attended=True, fixed_min=Decimal(5))
    waxed = replace(shop.moulds["fin-mould"], conditioned_every_pulls=4)
    process = replace(shop.processes["pressed"], conditioning=wax)
    shop = replace(shop, moulds={"fin-mould": waxed}, processes={"pressed": process})
    assert flow_of(shop) is None


def test_a_bound_on_the_value_says_how_late_at_least() -> None:
    flow = flow_of(plain())
    assert flow is not None
    weight = flow.lateness_weight
    # By hand: value = weight x late + finish with finish below the weight, so a value of
    # at least 3 weights and 10 means late >= 3, and one just below 1 weight says nothing.
    assert late_bound(flow, 3 * weight + 10) == 3
    assert late_bound(flow, weight - 1) == 0


def test_a_step_that_takes_no_time_is_flow_and_waits_for_its_machine() -> None:
    # By hand, one press: 1 cuts 0-30 and is let go at 30; 2 is pressed for 45 and then marked in
    # no time where 1 was, trimmed 45-60. 1 is trimmed 30-45 by the other hand.
    first = build.process(
        build.hands("cut", 30, per="part", station="saw"),
        build.hands("trim", 15, per="part"),
        key="first",
    )
    second = build.process(
        build.hands("press", 45, per="part", station="press"),
        build.hands("mark", 0, per="part", station="saw"),
        build.hands("trim", 15, per="part"),
        key="second",
    )
    shop = build.shop(
        [first, second],
        [build.order("1", process="first"), build.order("2", process="second")],
        people=[build.person("ana"), build.person("ben")],
        stations=[build.station("press"), build.station("saw")],
    )
    assert flow_of(shop) is not None
    plan = make_plan(shop, now=NOW, seconds=1.0)
    assert plan.objective.finish_min == plan.bound == 60
    marked = next(task for task in plan.tasks if task.operation == "mark")
    assert (marked.start - NOW, marked.end - NOW) == (45, 45)


def test_no_time_at_one_of_several_copies_is_left_to_the_general_planner() -> None:
    process = build.process(build.hands("mark", 0, per="part", station="saw"))
    shop = build.shop(
        process, [build.order()], people=[build.person("ana")], stations=[build.station("saw", 2)]
    )
    assert flow_of(shop) is None
