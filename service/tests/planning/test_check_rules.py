"""Batches, mould upkeep, moulds still to be built and sets, each by a plan written by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import builders as build
import pytest
from written_plan import NOW, Tasks, changed, clock, moved, without

from mouldwright.domain.order import PartSet, SetPart
from mouldwright.domain.process.mould import Mould
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import CastStructure
from mouldwright.planning.check import check_plan
from mouldwright.planning.plan import Member, Task


def found(shop: Shop, tasks: Tasks, **starts: int) -> tuple[str, ...]:
    given = {number.removeprefix("order_"): n for number, n in starts.items()}
    return check_plan(shop, build.plan(shop, NOW, tasks.values(), starts=given))


def said(complaints: tuple[str, ...], words: str) -> bool:
    return any(words in one for one in complaints)


# Plates: load, print and clear a printer together, for two orders; 4 parts a plate.


def plate_shop(**limits: object) -> Shop:
    printed = build.process(
        build.hands("load", 4, per="batch", **{"batch_parts": 4, **limits}),
        build.alone("print", 10, each=20, per="batch"),
        build.hands("clear", 2, per="batch", wait_max_min=60),
        key="printed",
        holds=[build.hold("load", "clear", "printer")],
        structure=CastStructure(matrix="resin"),
    )
    return build.shop(
        printed,
        [build.order("1", 3, process="printed"), build.order("2", 1, process="printed")],
        people=[build.person("ana")],
        stations=[build.station("printer", 2)],
        materials=[replace(build.mixed(), mix=None)],
    )


def plate(name: str, n: int, start: str, end: str, *people: str, **by_order: object) -> Task:
    members = [
        Member(order=order.removeprefix("order_"), parts=tuple(parts))
        for order, parts in by_order.items()
    ]
    return build.task(
        name,
        clock(start),
        clock(end),
        *people,
        process="printed",
        members=members,
        stations=[f"printer {n}"],
    )


def plate_tasks() -> Tasks:
    """Return one plate of three parts, 10 + 3 x 20 = 70 min, and one of one."""
    first: dict[str, object] = {"order_1": (1, 2), "order_2": (1,)}
    second: dict[str, object] = {"order_1": (3,)}
    return {
        "load A": plate("load", 1, "08:00", "08:04", "ana", **first),
        "print A": plate("print", 1, "08:04", "09:14", **first),
        "clear A": plate("clear", 1, "09:14", "09:16", "ana", **first),
        "load B": plate("load", 2, "08:04", "08:08", "ana", **second),
        "print B": plate("print", 2, "08:08", "08:38", **second),
        "clear B": plate("clear", 2, "08:38", "08:40", "ana", **second),
    }


def members(tasks: Tasks, names: str, **by_order: object) -> Tasks:
    for name in names.split(","):
        like = plate("x", 1, "08:00", "08:00", **by_order)
        tasks = changed(tasks, name, members=like.members)
    return tasks


def test_plates_of_two_orders_pass() -> None:
    assert found(plate_shop(), plate_tasks(), order_1=3, order_2=1) == ()


def test_a_plate_over_its_count_is_caught() -> None:
    complaints = found(plate_shop(batch_parts=2), plate_tasks(), order_1=3, order_2=1)
    assert len(complaints) == 1
    assert "takes 3 parts of 2 at most" in complaints[0]


def test_a_plate_over_its_mass_is_caught() -> None:
    # Three parts of 11 g are 33 g.
    light = found(plate_shop(batch_g=Decimal("32.9")), plate_tasks(), order_1=3, order_2=1)
    assert len(light) == 1
    assert "takes 33 g of 32.9 at most" in light[0]
    assert found(plate_shop(batch_g=Decimal(33)), plate_tasks(), order_1=3, order_2=1) == ()


def test_a_batch_split_in_two_is_caught() -> None:
    tasks = members(plate_tasks(), "clear A", order_1=(1, 2))
    tasks["clear rest"] = plate("clear", 1, "09:16", "09:18", "ana", order_2=(1,))
    complaints = found(plate_shop(), tasks, order_1=3, order_2=1)
    assert said(complaints, "leaves behind some of the batch of print")


def test_two_batches_joined_are_caught() -> None:
    tasks = without(plate_tasks(), "clear B")
    tasks = members(tasks, "clear A", order_1=(1, 2, 3), order_2=(1,))
    complaints = found(plate_shop(), tasks, order_1=3, order_2=1)
    assert said(complaints, "joins what came from several batches")


def test_each_member_of_a_batch_waits_no_longer_than_allowed() -> None:
    tasks = moved(plate_tasks(), "clear A", 61)
    complaints = found(plate_shop(), tasks, order_1=3, order_2=1)
    assert said(complaints, "keeps part 1 of order 2 (fin by printed) waiting 61 min")


def test_a_print_as_long_as_another_plate_would_take_is_caught() -> None:
    # Two parts would be 50 min; this plate holds three.
    tasks = changed(plate_tasks(), "print A", spans=((clock("08:04"), clock("08:54")),))
    complaints = found(plate_shop(), tasks, order_1=3, order_2=1)
    assert said(complaints, "lasts 50 min, not 70")


def test_two_plates_on_one_printer_are_caught() -> None:
    tasks = plate_tasks()
    for name in ("load B", "print B", "clear B"):
        tasks = changed(tasks, name, stations=("printer 1",))
    assert said(found(plate_shop(), tasks, order_1=3, order_2=1), "printer 1 takes 2")


def test_a_print_in_the_quiet_hours_of_its_printer_is_caught() -> None:
    quiet = build.station("printer", 2, weekly=build.week("08:00-09:00"))
    shop = replace(plate_shop(), stations={"printer": quiet})
    complaints = found(shop, plate_tasks(), order_1=3, order_2=1)
    assert len(complaints) == 2
    assert said(complaints, "print of 1 parts 1, 2, 2 part 1")
    assert said(complaints, "clear of 1 parts 1, 2, 2 part 1")
    assert all("runs while printer is closed" in one for one in complaints)


# One mould, three pulls of 20 min, waxed every two pulls.


def waxed_shop(mould: Mould | None = None, **family: object) -> Shop:
    pressed = build.process(
        build.hands("fill", 5),
        build.alone("cure", 10),
        build.hands("empty", 5),
        holds=[build.hold("fill", "empty")],
        conditioning=build.hands("wax", 10, per="conditioning"),
    )
    given = {"conditioned_every_pulls": 2, **family}
    made = replace(build.moulds(1, **given), moulds=(mould or Mould(number="1"),))
    return build.shop(pressed, [build.order("1", 3)], people=[build.person("ana")], moulds=[made])


def wax(start: int) -> Task:
    return build.task("wax", start, start + 10, "ana", mould="fin-mould 1", members=())


def pulls(*begins: int) -> Tasks:
    tasks: Tasks = {}
    for n, begin in enumerate(begins, start=1):
        for name, start, end, who in (
            ("fill", 0, 5, ("ana",)),
            ("cure", 5, 15, ()),
            ("empty", 15, 20, ("ana",)),
        ):
            tasks[f"{name} {n}"] = build.task(
                name, begin + start, begin + end, *who, mould="fin-mould 1", pull=n
            )
    return tasks


def test_a_mould_waxed_when_due_passes() -> None:
    tasks = {**pulls(NOW, NOW + 20, NOW + 50), "wax": wax(NOW + 40)}
    assert found(waxed_shop(), tasks, order_1=3) == ()


def test_wax_that_is_skipped_is_caught() -> None:
    complaints = found(waxed_shop(), pulls(NOW, NOW + 20, NOW + 50), order_1=3)
    assert complaints == (
        "fin-mould 1 is due for conditioning before its pull at Mon 01 Mar 08:50",
    )


def test_wax_a_pull_late_is_caught() -> None:
    shop = waxed_shop(Mould(number="1", pulls=9, pulls_since_conditioning=1))
    tasks = {**pulls(NOW, NOW + 20, NOW + 50), "wax": wax(NOW + 40)}
    # One pull since the last wax: after the first here it is due.
    assert said(
        found(shop, tasks, order_1=3), "due for conditioning before its pull at Mon 01 Mar 08:20"
    )


def test_wax_after_the_last_pull_is_caught() -> None:
    tasks = {**pulls(NOW, NOW + 20, NOW + 50), "wax": wax(NOW + 40), "more": wax(NOW + 70)}
    assert found(waxed_shop(), tasks, order_1=3) == (
        "fin-mould 1 is conditioned after its last pull",
    )


def test_wax_while_the_mould_is_full_is_caught() -> None:
    tasks = {**pulls(NOW, NOW + 20, NOW + 40), "wax": wax(NOW + 45)}
    assert said(found(waxed_shop(), tasks, order_1=3), "fin-mould 1 is in two places")


def test_coats_are_counted_by_pull_since_the_mould_was_new() -> None:
    # Two coats before the first pull (given to a new mould), one before the second and none
    # before the third.
    shop = waxed_shop(conditioned_every_pulls=None, coats=(2, 1))
    tasks = pulls(NOW, NOW + 30, NOW + 50)
    assert found(shop, {**tasks, "wax": wax(NOW + 20)}, order_1=3) == ()
    assert said(
        found(shop, tasks, order_1=3), "due for conditioning before its pull at Mon 01 Mar 08:30"
    )
    late = {**pulls(NOW, NOW + 20, NOW + 50), "wax": wax(NOW + 40)}
    assert said(found(shop, late, order_1=3), "comes before it is due")


def test_more_pulls_than_a_mould_has_left_are_caught() -> None:
    shop = waxed_shop(Mould(number="1", pulls=8), life_pulls=10, conditioned_every_pulls=None)
    complaints = found(shop, pulls(NOW, NOW + 20, NOW + 40), order_1=3)
    assert complaints == ("fin-mould 1 takes 3 pulls and has 2 left",)


# A mould that is printed, sanded and only then pulled.


def built_shop() -> Shop:
    pressed = build.process(
        build.hands("fill", 5),
        build.alone("cure", 10),
        build.hands("empty", 5),
        holds=[build.hold("fill", "empty")],
    )
    tool = build.process(
        build.alone("print", 60, per="part", station="printer"),
        build.hands("sand", 20, per="part", wait_min=10),
        key="tool",
    )
    family = replace(build.moulds(1, made_by="tool"), moulds=())
    return build.shop(
        [pressed, tool],
        [build.order("1", 1)],
        people=[build.person("ana")],
        moulds=[family],
        stations=[build.station("printer")],
    )


def built_tasks() -> Tasks:
    def step(name: str, start: int, end: int, *who: str, **more: object) -> Task:
        return build.task(
            name,
            start,
            end,
            *who,
            process="tool",
            mould="fin-mould 1",
            members=(),
            **more,
        )

    return {
        "print": step("print", NOW, NOW + 60, stations=["printer 1"]),
        "sand": step("sand", NOW + 70, NOW + 90, "ana"),
        **pulls(NOW + 90),
    }


def test_a_mould_built_before_its_first_pull_passes() -> None:
    assert found(built_shop(), built_tasks(), order_1=1) == ()


def test_a_mould_used_before_it_is_built_is_caught() -> None:
    tasks = {**built_tasks(), **pulls(NOW + 50)}
    assert said(found(built_shop(), tasks, order_1=1), "fin-mould 1 is used before it is built")


def test_a_mould_half_built_is_caught() -> None:
    complaints = found(built_shop(), without(built_tasks(), "sand"), order_1=1)
    assert complaints == ("the building of fin-mould 1: sand is missing for part 1",)


def test_a_mould_sanded_too_soon_is_caught() -> None:
    complaints = found(built_shop(), moved(built_tasks(), "sand", -1), order_1=1)
    assert said(complaints, "starts 1 min before part 1 of the building of fin-mould 1 is ready")


def test_a_mould_at_hand_is_not_built_again() -> None:
    shop = built_shop()
    family = replace(shop.moulds["fin-mould"], moulds=(Mould(number="1"),))
    complaints = found(replace(shop, moulds={"fin-mould": family}), built_tasks(), order_1=1)
    assert complaints == ("fin-mould 1 is built and is at hand",)


# Two kits of one fin and one pad each: fitted one by one, labelled together.


def kit_shop() -> Shop:
    cut = build.process(build.hands("cut", 10, per="part"), key="cut")
    kit = PartSet(
        key="kit",
        title="kit",
        parts=(SetPart(part="fin", process="cut"), SetPart(part="pad", process="cut")),
        operations=(
            build.hands("fit", 6, per="part", wait_min=5),
            build.hands("label", 1, each=2, per="order"),
        ),
    )
    return build.shop(
        cut,
        [build.order("1", 2, part="kit", process=None)],
        people=[build.person("ana"), build.person("ben")],
        sets=[kit],
    )


def kit_tasks() -> Tasks:
    """Return fins by ana, pads by ben; parts 1 to 4, sets 5 and 6; labels 1 + 2 x 2 min."""

    def step(name: str, start: int, end: int, who: str, part: str, ids: tuple[int, ...]) -> Task:
        return build.task(
            name,
            NOW + start,
            NOW + end,
            who,
            process="kit" if part == "kit" else "cut",
            part=part,
            members=[Member(order="1", parts=ids)],
        )

    return {
        "fin 1": step("cut", 0, 10, "ana", "fin", (1,)),
        "fin 2": step("cut", 10, 20, "ana", "fin", (2,)),
        "pad 1": step("cut", 0, 10, "ben", "pad", (3,)),
        "pad 2": step("cut", 10, 20, "ben", "pad", (4,)),
        "fit 1": step("fit", 25, 31, "ana", "kit", (5,)),
        "fit 2": step("fit", 25, 31, "ben", "kit", (6,)),
        "label": step("label", 31, 36, "ana", "kit", (5, 6)),
    }


def test_sets_made_of_their_parts_pass() -> None:
    assert found(kit_shop(), kit_tasks(), order_1=4) == ()


@pytest.mark.parametrize(
    ("names", "minutes", "words"),
    [
        # The first fin and pad are cut by 10 and rest 5 min; the second pair 10 min later.
        (("fit 1",), -11, "begins before 1 sets are whole"),
        (("fit 1", "fit 2"), -1, "begins before 2 sets are whole"),
        (("label",), -1, "starts 1 min before order 1 (sets of kit) is ready"),
    ],
)
def test_work_on_sets_too_early_is_caught(names: tuple[str, ...], minutes: int, words: str) -> None:
    tasks = kit_tasks()
    for name in names:
        tasks = moved(tasks, name, minutes)
    assert said(found(kit_shop(), tasks, order_1=4), words)


def test_a_set_forgotten_is_caught() -> None:
    complaints = found(kit_shop(), without(kit_tasks(), "fit 2"), order_1=4)
    assert said(complaints, "fit is missing for part 6")


def test_a_part_of_a_set_forgotten_is_caught() -> None:
    complaints = found(kit_shop(), without(kit_tasks(), "pad 2"), order_1=3)
    assert said(complaints, "order 1 (pad by cut): 1 parts begun are too few for 2 good ones")
