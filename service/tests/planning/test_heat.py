"""Post-cures: their time from the recipe, loads that share it, and moulds that do not stand it.

The recipe of 16 h at 50 °C with a ramp of 10 °C an hour is one of an epoxy maker's sheet; the
times are worked by hand from it.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import builders as build
import pytest
from plans_by_hand import made, told

from mouldwright.domain.consistency.check import faults_of
from mouldwright.domain.errors import HardLimit
from mouldwright.domain.process.heat import SUPPORT, Heat
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop
from mouldwright.planning.check import check_plan

LIGHT = Heat(hold_c=Decimal(50), hold_min=Decimal(960), ramp_c_per_h=Decimal(10))


def heated(name: str, heat: Heat, *, per: str = "batch", **more: object) -> Operation:
    return build.alone(name, heat.minutes, per=per, heat=heat, **more)


def test_a_post_cure_lasts_from_cold_to_cold() -> None:
    # (50 - 20) / 10 = 3 h up, 16 h, 3 h down: 22 h.
    assert LIGHT.minutes == 22 * 60
    # 5 h at 80 °C: 6 h up, 5 h, 6 h down: 17 h; cooled at 30 °C/h 2 h down: 13 h.
    hot = replace(LIGHT, hold_c=Decimal(80), hold_min=Decimal(300))
    assert hot.minutes == 17 * 60
    assert replace(hot, cool_c_per_h=Decimal(30)).minutes == 13 * 60
    # 30 °C at 7 °C/h are 257.14 min each way: 514.29 + 960 = 1474.29, a minute begun is kept.
    assert replace(LIGHT, ramp_c_per_h=Decimal(7)).minutes == 1475


def test_a_post_cure_says_to_support_the_part() -> None:
    assert heated("warm", LIGHT).told_cautions == (SUPPORT,)
    assert build.alone("cure", 60).told_cautions == ()


def loads(*orders: tuple[str, int], batch: int = 4) -> Shop:
    process = build.process(
        build.hands("lay", 30, per="part"),
        heated("warm", LIGHT, station="oven", batch_parts=batch),
        build.hands("trim", 10, per="part"),
    )
    return build.shop(
        process,
        [build.order(number, quantity) for number, quantity in orders],
        people=[build.person("ana")],
        stations=[build.station("oven")],
    )


def test_orders_share_a_load_of_one_recipe() -> None:
    # Three lay-ups by 09:30, one load of all three 09:30 to Tuesday 07:30.
    plan = made(loads(("1", 2), ("2", 1)), "2027-03-01 08:00")
    assert told(plan, "warm") == ["Mon 09:30 - Tue 07:30"]
    (load,) = [task for task in plan.tasks if task.operation == "warm"]
    assert {member.order for member in load.members} == {"1", "2"}


def test_a_load_takes_no_more_than_it_holds() -> None:
    plan = made(loads(("1", 3), batch=2), "2027-03-01 08:00")
    assert len(told(plan, "warm")) == 2


def test_the_checker_works_the_time_of_a_recipe_out_itself() -> None:
    shop = loads(("1", 1))
    plan = made(shop, "2027-03-01 08:00")
    process = shop.processes["pressed"]
    slower = replace(LIGHT, ramp_c_per_h=Decimal(5))
    operations = tuple(
        replace(o, heat=slower) if o.heat is not None else o for o in process.operations
    )
    other = replace(shop, processes={"pressed": replace(process, operations=operations)})
    # At 5 °C/h: 6 h up, 16 h, 6 h down are 1680 min.
    assert any("lasts 1320 min, not 1680" in words for words in check_plan(other, plan))


def in_the_mould(*families: object) -> Shop:
    process = build.process(
        build.hands("lay", 30),
        heated("warm", LIGHT, per="pull"),
        build.hands("demould", 10),
        holds=[build.hold("lay", "demould")],
    )
    return build.shop(process, [build.order("1", 2)], people=[build.person("ana")], moulds=families)


def test_moulds_that_do_not_stand_the_heat_are_left_alone() -> None:
    printed = build.moulds(3, key="printed", greatest_c=Decimal(45))
    cast = build.moulds(1, key="cast", greatest_c=Decimal(50))
    shop = in_the_mould(printed, cast)
    plan = made(shop, "2027-03-01 08:00")
    assert {task.mould for task in plan.tasks} == {"cast 1"}
    assert [f.path for f in faults_of(shop) if f.is_warning and "45" in f.value] == [
        "moulds.printed.greatest_c"
    ]
    # On a printed mould the same plan is refused.
    tasks = tuple(replace(task, mould="printed 1") for task in plan.tasks)
    complaints = check_plan(shop, replace(plan, tasks=tasks))
    assert any("heats printed 1 to 50" in words and "45" in words for words in complaints)


def test_no_mould_that_stands_the_heat_is_said_before_the_search() -> None:
    shop = in_the_mould(build.moulds(3, key="printed", greatest_c=Decimal(45)))
    with pytest.raises(HardLimit, match="they stand 45 °C"):
        made(shop, "2027-03-01 08:00")


def test_out_of_the_mould_its_limit_does_not_count() -> None:
    process = build.process(
        build.hands("lay", 30),
        build.hands("demould", 10),
        heated("warm", LIGHT, per="part"),
        holds=[build.hold("lay", "demould")],
    )
    shop = build.shop(
        process,
        [build.order("1", 1)],
        people=[build.person("ana")],
        moulds=[build.moulds(1, greatest_c=Decimal(45))],
    )
    assert told(made(shop, "2027-03-01 08:00"), "warm") == ["Mon 08:40 - Tue 06:40"]


def test_a_recipe_hotter_than_a_part_or_its_material_stands_is_a_fault() -> None:
    shop = loads(("1", 1))
    cool = replace(shop.processes["pressed"], greatest_c=Decimal("49.5"))
    shop = replace(shop, processes={"pressed": cool})
    found = [fault for fault in faults_of(shop) if not fault.is_warning]
    assert [(f.path, f.problem) for f in found] == [
        ('processes.pressed.operations["warm"].heat.hold_c', "parts of pressed stand 49.5 °C.")
    ]
