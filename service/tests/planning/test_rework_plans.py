"""Rework and operations for a share of the parts, planned: who goes through, when, and no more."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from typing import Any

import builders as build

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.process.rework import Rework
from mouldwright.domain.shop import Shop
from mouldwright.planning.check import check_plan
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")
HALF = Decimal("0.5")


def shop_of(process: Process, quantity: int, people: int = 1, **more: Any) -> Shop:
    return build.shop(
        process,
        [build.order(quantity=quantity, starts=quantity)],
        people=[build.person(name) for name in ("ana", "ben", "cem")[:people]],
        moulds=[build.moulds(1)] if process.uses_mould else [],
        **more,
    )


def plan_of(shop: Shop) -> Plan:
    plan = make_plan(shop, now=NOW, seconds=0.3)
    assert plan.checked
    assert plan.bound is not None
    assert plan.bound <= (plan.objective.weighted_late_min or plan.objective.finish_min)
    return plan


def counts(plan: Plan) -> Counter[str]:
    return Counter(task.operation for task in plan.tasks)


def parts_of(plan: Plan, operation: str) -> set[int]:
    return {
        part
        for task in plan.tasks
        if task.operation == operation
        for member in task.members
        for part in member.parts
    }


def sanded(*rounds: Rework, after: tuple[Operation, ...] = ()) -> Process:
    """Return sand 10, inspect 2 and what is given, by single parts without moulds."""
    return build.process(
        build.hands("sand", 10, per="part"),
        build.hands("inspect", 2, per="part"),
        *after,
        reworks=rounds,
    )


def test_as_many_parts_are_reworked_as_can_be_expected_rounded_up() -> None:
    # By hand: a tenth of 11 is 1.1: 2 parts; a second round for a half of the tenth, 0.55: 1.
    mend = build.rework(
        "0.1",
        build.hands("fill", 5, per="part"),
        build.alone("set", 30, per="part"),
        share_again=HALF,
        most_rounds=2,
    )
    plan = plan_of(shop_of(sanded(mend), 11))
    found = counts(plan)
    assert (found["sand"], found["inspect"]) == (11, 11)
    assert (found["fill"], found["set"]) == (2, 2)
    assert (found["fill, round 2"], found["set, round 2"]) == (1, 1)
    assert parts_of(plan, "fill, round 2") < parts_of(plan, "fill") == parts_of(plan, "set")


def test_a_part_alone_goes_through_its_rework_in_turn() -> None:
    # By hand, one part: sand 10, inspect 2, fill 5, set 30, pack 1: 48; all of it proven.
    mend = build.rework(
        "0.1", build.hands("fill", 5, per="part"), build.alone("set", 30, per="part")
    )
    plan = plan_of(shop_of(sanded(mend, after=(build.hands("pack", 1, per="part"),)), 1))
    assert plan.objective.finish_min == 48
    assert plan.bound == 48


def test_those_not_reworked_go_on_at_once() -> None:
    # By hand, two people, two parts, half of them reworked: sand 10 and inspect 2 side by
    # side; one fills for 60 while the other packs its part from 12 to 13; the second packs
    # at 72: done by 73.
    mend = build.rework(HALF, build.hands("fill", 60, per="part"))
    process = sanded(mend, after=(build.hands("pack", 1, per="part"),))
    plan = plan_of(shop_of(process, 2, people=2))
    ends = sorted(task.end - NOW for task in plan.tasks if task.operation == "pack")
    assert ends == [13, 73]


def test_work_on_the_whole_order_waits_for_the_last_part_mended() -> None:
    # By hand: 2 x 12 = 24 min of ana; the first part (12) is filled at the earliest by 12 + 5
    # and set by 47; ana is through with the rest at 29; packed from 47 to 49.
    mend = build.rework(
        HALF, build.hands("fill", 5, per="part"), build.alone("set", 30, per="part")
    )
    process = sanded(mend, after=(build.hands("pack", 2, per="order"),))
    plan = plan_of(shop_of(process, 2))
    assert plan.objective.finish_min == 49


def test_a_greatest_wait_counts_from_what_a_part_really_went_through() -> None:
    # Coated within 20 min of the inspection, or of the mending.
    mend = build.rework(
        HALF, build.hands("fill", 5, per="part"), build.alone("set", 300, per="part")
    )
    coat = build.hands("coat", 7, per="part", wait_max_min=20)
    plan = plan_of(shop_of(sanded(mend, after=(coat,)), 4))
    assert counts(plan)["fill"] == 2
    late = max(task.end for task in plan.tasks if task.operation == "set")
    assert max(task.start for task in plan.tasks if task.operation == "coat") >= late


def test_parts_of_a_pull_are_reworked_one_by_one() -> None:
    # By hand: 3 pulls of 2 parts, a third of 6 is 2 parts.
    process = build.process(
        build.hands("fill", 10),
        build.alone("cure", 60),
        build.hands("demould", 5),
        build.hands("inspect", 2, per="part"),
        build.hands("pack", 1, per="part"),
        holds=[build.hold("fill", "demould")],
        reworks=[build.rework("0.3", build.hands("dab", 4, per="part"))],
    )
    shop = build.shop(
        process,
        [build.order(quantity=6, starts=6)],
        people=[build.person("ana")],
        moulds=[build.moulds(1, cavities=2)],
    )
    plan = plan_of(shop)
    assert counts(plan)["dab"] == 2
    assert counts(plan)["pack"] == 6


def test_an_oven_load_takes_only_the_parts_in_rework() -> None:
    # By hand: of 8 parts a quarter, 2, are coated again and baked together once.
    mend = build.rework(
        "0.25",
        build.hands("coat", 3, per="part"),
        build.alone("bake", 60, per="batch", station="oven", batch_parts=4),
    )
    process = sanded(mend, after=(build.hands("pack", 1, per="part"),))
    plan = plan_of(shop_of(process, 8, stations=[build.station("oven")]))
    loads = [task for task in plan.tasks if task.operation == "bake"]
    assert sum(len(member.parts) for load in loads for member in load.members) == 2
    assert counts(plan)["pack"] == 8


def test_an_operation_may_be_done_to_a_share_alone() -> None:
    # By hand: 3 of 4 parts are polished: 4 x 10 + 4 x 2 + 3 x 20 = 108 min by one person.
    polish = build.hands("polish", 20, per="part", applies_to_share=Decimal("0.7"))
    plan = plan_of(shop_of(sanded(after=(polish,)), 4))
    assert counts(plan)["polish"] == 3
    assert plan.objective.finish_min == 108
    assert plan.bound == 108


def test_a_first_operation_for_a_share_keeps_the_others_from_nothing() -> None:
    # By hand: one of two parts is stripped (40) first; the other is sanded meanwhile.
    process = build.process(
        build.hands("strip", 40, per="part", applies_to_share=HALF),
        build.hands("sand", 10, per="part"),
    )
    plan = plan_of(shop_of(process, 2, people=2))
    ends = sorted(task.end - NOW for task in plan.tasks if task.operation == "sand")
    assert ends == [10, 50]


def test_all_stays_as_it_is_where_a_plan_begins_anew_in_the_middle_of_rework() -> None:
    mend = build.rework(
        HALF, build.hands("fill", 5, per="part"), build.alone("set", 600, per="part")
    )
    shop = shop_of(sanded(mend, after=(build.hands("pack", 1, per="part"),)), 4)
    plan = plan_of(shop)
    moment = min(task.end for task in plan.tasks if task.operation == "fill") + 1
    begun = [task for task in plan.tasks if task.start < moment]
    again = make_plan(shop, now=moment, running=begun, seconds=0.3)
    assert again.checked
    assert counts(again) == counts(plan)


def broken(shop: Shop, plan: Plan, **changed: Task | None) -> tuple[str, ...]:
    """Return the complaints about a plan whose first task of each operation is changed."""
    tasks = list(plan.tasks)
    for name, instead in changed.items():
        place = next(i for i, task in enumerate(tasks) if task.operation == name)
        tasks[place : place + 1] = [instead] if instead else []
    return check_plan(shop, replace(plan, tasks=tuple(tasks)))


def test_the_checker_counts_who_goes_through() -> None:
    mend = build.rework(
        HALF, build.hands("fill", 5, per="part"), build.alone("set", 30, per="part")
    )
    shop = shop_of(sanded(mend), 4)
    plan = plan_of(shop)
    found = broken(shop, plan, fill=None)
    assert any("fill is done to 1 of 4, not 2" in words for words in found)
    assert any("fill is done to other parts than set" in words for words in found)
    first = next(task for task in plan.tasks if task.operation == "fill")
    others = parts_of(plan, "inspect") - parts_of(plan, "fill")
    other = replace(first, members=(replace(first.members[0], parts=(min(others),)),))
    assert any("to other parts than" in words for words in broken(shop, plan, fill=other))


def test_the_checker_sees_work_that_comes_before_the_mending() -> None:
    mend = build.rework(HALF, build.hands("fill", 5, per="part"))
    shop = shop_of(sanded(mend, after=(build.hands("pack", 1, per="part"),)), 2)
    plan = plan_of(shop)
    mended = parts_of(plan, "fill")
    tasks = tuple(
        replace(task, spans=((NOW, NOW + 1),))
        if task.operation == "pack" and set(task.members[0].parts) == mended
        else task
        for task in plan.tasks
    )
    complaints = check_plan(shop, replace(plan, tasks=tasks))
    assert any("pack" in words and "is ready" in words for words in complaints)
