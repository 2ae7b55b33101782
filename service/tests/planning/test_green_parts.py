"""Parts too young to be worked on wait, their age counted from the end of the cure's hold."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import builders as build

from mouldwright.domain.consistency.check import faults_of
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.planning.check import check_plan
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")


def cast(*after: object, **sand: object) -> Process:
    """Return fill 10, cure 60, demould 5, then sanding with what is given."""
    return build.process(
        build.hands("fill", 10),
        build.alone("cure", 60),
        build.hands("demould", 5),
        build.hands("sand", 20, per="part", **sand),
        holds=[build.hold("fill", "demould")],
    )


def shop_of(process: Process, quantity: int = 1) -> Shop:
    return build.shop(
        process,
        [build.order(quantity=quantity)],
        people=[build.person("ana")],
        moulds=[build.moulds(1)],
    )


def plan_of(shop: Shop) -> Plan:
    plan = make_plan(shop, now=NOW, seconds=0.3)
    assert plan.checked
    return plan


def the(plan: Plan, name: str) -> Task:
    (task,) = [task for task in plan.tasks if task.operation == name]
    return task


def test_sanding_waits_until_the_part_is_old_enough() -> None:
    # By hand: out of the mould at 10 + 60 + 5 = 75 min; a day later 75 + 1440 = 1515,
    # sanded by 1535. The bound knows it too.
    plan = plan_of(shop_of(cast(least_age_h=Decimal(24))))
    assert the(plan, "sand").start == NOW + 1515
    assert plan.objective.finish_min == 1535
    assert plan.bound == 1535
    assert plan.orders[0].binds[0].startswith("its parts must be old enough, from demould")


def test_part_of_an_hour_counts_in_whole_minutes_rounded_up() -> None:
    # By hand: 0.51 h is 30.6 min: 31.
    plan = plan_of(shop_of(cast(least_age_h=Decimal("0.51"))))
    assert the(plan, "sand").start == NOW + 75 + 31


def test_hands_do_other_work_meanwhile() -> None:
    # By hand: two pulls in one mould, 75 min each: 75 and 150. Sanded at the age of 2 h:
    # from 195 and from 270, so done by 290; nothing of the wait is anyone's time.
    plan = plan_of(shop_of(cast(least_age_h=Decimal(2)), quantity=2))
    assert plan.objective.finish_min == 290
    assert plan.objective.attended_min == 2 * (10 + 5 + 20)


def test_age_counts_from_the_serial_however_many_steps_lie_between() -> None:
    # By hand: trimmed at 75 to 78; coated not before 75 + 120 = 195, done by 202.
    process = build.process(
        build.hands("fill", 10),
        build.alone("cure", 60),
        build.hands("demould", 5),
        build.hands("trim", 3, per="part"),
        build.hands("coat", 7, per="part", least_age_h=Decimal(2)),
        holds=[build.hold("fill", "demould")],
    )
    plan = plan_of(shop_of(process))
    assert the(plan, "trim").end == NOW + 78
    assert the(plan, "coat").start == NOW + 195


def test_a_greatest_wait_holds_back_the_step_before_an_aged_one() -> None:
    # By hand: primed within 30 min before the coat, which waits for 75 + 120 = 195: primed
    # (4 min) to end at 165 at the earliest.
    process = build.process(
        build.hands("fill", 10),
        build.alone("cure", 60),
        build.hands("demould", 5),
        build.hands("prime", 4, per="part"),
        build.hands("coat", 7, per="part", least_age_h=Decimal(2), wait_max_min=30),
        holds=[build.hold("fill", "demould")],
    )
    plan = plan_of(shop_of(process))
    assert the(plan, "coat").start == NOW + 195
    assert the(plan, "prime").end >= NOW + 165


def test_an_order_ships_when_its_youngest_part_is_old_enough() -> None:
    # By hand: pulls end at 75 and 150; packed once for the order at 150 + 60 = 210, by 215.
    process = build.process(
        build.hands("fill", 10),
        build.alone("cure", 60),
        build.hands("demould", 5),
        build.hands("pack", 5, per="order", least_age_h=Decimal(1)),
        holds=[build.hold("fill", "demould")],
    )
    plan = plan_of(shop_of(process, quantity=2))
    assert the(plan, "pack").start == NOW + 210


def test_without_holds_age_counts_from_the_first_work_on_the_part() -> None:
    # By hand: laid by 30; dressed not before 30 + 90 = 120.
    process = build.process(
        build.hands("lay", 30, per="part"),
        build.hands("dress", 5, per="part", least_age_h=Decimal("1.5")),
    )
    plan = plan_of(build.shop(process, [build.order()], people=[build.person("ana")]))
    assert the(plan, "dress").start == NOW + 120


def test_the_checker_finds_work_on_green_parts() -> None:
    shop = shop_of(cast(least_age_h=Decimal(24)))
    plan = plan_of(shop)
    sand = the(plan, "sand")
    early = replace(sand, spans=tuple((a - 1, b - 1) for a, b in sand.spans))
    tasks = tuple(early if task is sand else task for task in plan.tasks)
    complaints = check_plan(shop, replace(plan, tasks=tasks))
    assert any("1439 min old, of 1440 at the least" in words for words in complaints)


def problems(process: Process) -> list[str]:
    return [f.problem for f in faults_of(shop_of(process)) if "least_age_h" in f.path]


def test_an_age_is_refused_where_no_part_has_a_serial_yet_and_where_nothing_waits() -> None:
    early = build.process(
        build.hands("fill", 10, least_age_h=Decimal(1)),
        build.hands("demould", 5),
        holds=[build.hold("fill", "demould")],
    )
    assert problems(early) == ["age is counted from a part's serial, and demould gives it."]
    nowhere = build.process(build.hands("fill", 10), build.hands("cut", 5, least_age_h=Decimal(1)))
    assert problems(nowhere) == ["age is counted from a part's serial, and no operation gives one."]
    alone = build.process(
        build.hands("fill", 10),
        build.hands("demould", 5),
        build.alone("bake", 60, per="part", least_age_h=Decimal(1)),
        holds=[build.hold("fill", "demould")],
    )
    assert problems(alone) == [
        "an unattended operation starts as the one before it ends, and waits for no age."
    ]
    assert problems(cast(least_age_h=Decimal(24))) == []
