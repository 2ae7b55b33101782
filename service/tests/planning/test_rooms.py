"""Rooms in one state at a time: plans worked by hand, and what the checker says of others."""

from __future__ import annotations

from dataclasses import replace

import builders as build
import pytest
from plans_by_hand import made, told

from mouldwright.domain.shop import Shop
from mouldwright.planning.check import check_plan

NOON = build.opening(build.week("08:00-16:00"))


def one_room(settle: int = 30, *, now_sanding: str = "sand", **states: int | None) -> Shop:
    """Return a shop of two people and one room: sanding of one order, lay-up of another."""
    sanding = build.process(
        build.hands("sand", 60, per="part", skill="finish", in_room="bench", room_state="dust"),
        key="sanded",
    )
    laying = build.process(
        build.hands("lay", 40, per="part", skill="wet", in_room="bench", room_state="wet"),
        key="laid",
    )
    return build.shop(
        [sanding, laying],
        [
            build.order("1", 1, process="sanded", weight=9, due=build.instant("2027-03-01 09:00")),
            build.order("2", 1, process="laid"),
        ],
        people=[build.person("ana", ["finish"]), build.person("ben", ["wet"])],
        rooms=[build.room("bench", settle, **(states or {"dust": None, "wet": None}))],
        hours=NOON,
    )


def test_dust_keeps_wet_work_out_until_it_has_settled() -> None:
    # The trade's case: sanding 10 to 11 in the only room, no lay-up until 11:00 and settling.
    # Ben is free all the while. Dust settles 30 min: lay-up 11:30 to 12:10.
    plan = made(one_room(), "2027-03-01 10:00")
    assert told(plan, "sand") == ["Mon 10:00 - Mon 11:00"]
    assert told(plan, "lay") == ["Mon 11:30 - Mon 12:10"]


def test_a_state_settles_by_its_own_minutes_where_it_states_them() -> None:
    # Wet work needs no settling before sanding, dust 45 min before wet work.
    plan = made(one_room(30, dust=45, wet=0), "2027-03-01 10:00")
    assert told(plan, "lay") == ["Mon 11:45 - Mon 12:25"]


def test_work_in_the_same_state_goes_on_side_by_side() -> None:
    shop = one_room()
    both = build.process(
        build.hands("sand", 60, per="part", in_room="bench", room_state="dust"), key="sanded"
    )
    shop = build.shop(
        both,
        [build.order("1", 2, process="sanded")],
        people=[build.person("ana"), build.person("ben")],
        rooms=list(shop.rooms.values()),
    )
    plan = made(shop, "2027-03-01 10:00")
    assert told(plan, "sand") == ["Mon 10:00 - Mon 11:00"] * 2


def test_a_start_that_may_not_wait_finds_its_room_or_moves_what_goes_before() -> None:
    # Paint dries by itself for 60 min in a room free of dust, at once after painting. Dust is
    # made 09:00 to 10:00 elsewhere in the day: painting 20 min begins so that drying is over
    # before, or begins once the dust has settled: at 08:00 drying would end 09:20, too late.
    painted = build.process(
        build.hands("paint", 20, per="part", skill="wet"),
        build.alone("dry", 60, per="part", in_room="bench", room_state="paint"),
        key="painted",
    )
    sanded = build.process(
        build.hands("sand", 60, per="part", skill="finish", in_room="bench", room_state="dust"),
        key="sanded",
    )
    shop = build.shop(
        [painted, sanded],
        [
            build.order(
                "1", 1, process="sanded", weight=99, due=build.instant("2027-03-01 10:00"),
                release=build.instant("2027-03-01 09:00"),
            ),
            build.order("2", 1, process="painted"),
        ],
        people=[build.person("ana", ["finish"]), build.person("ben", ["wet"])],
        rooms=[build.room("bench", 30, dust=None, paint=None)],
        hours=NOON,
    )  # fmt: skip
    plan = made(shop, "2027-03-01 08:00")
    assert told(plan, "sand") == ["Mon 09:00 - Mon 10:00"]
    # Settled at 10:30: painting 10:10 to 10:30, drying from then on.
    assert told(plan, "paint") == ["Mon 10:10 - Mon 10:30"]
    assert told(plan, "dry") == ["Mon 10:30 - Mon 11:30"]


def test_a_pause_keeps_the_state_of_the_room() -> None:
    # Sanding 15:30 to 16:00 and, after the night, 08:00 to 08:30: dust until then, then 30 min.
    shop = one_room()
    sanding = build.process(
        build.hands(
            "sand", 60, per="part", skill="finish", in_room="bench", room_state="dust",
            interruptible=True,
        ),
        key="sanded",
    )  # fmt: skip
    shop = replace(shop, processes={**shop.processes, "sanded": sanding})
    plan = made(shop, "2027-03-01 15:30")
    assert told(plan, "lay") == ["Tue 09:00 - Tue 09:40"]


@pytest.mark.parametrize(("start", "early"), [("11:29", 1), ("10:59", 31), ("10:30", 60)])
def test_the_checker_sees_a_room_not_settled(start: str, early: int) -> None:
    shop = one_room()
    plan = made(shop, "2027-03-01 10:00")
    lay = next(task for task in plan.tasks if task.operation == "lay")
    at = build.at(f"2027-03-01 {start}")
    moved = replace(lay, spans=((at, at + 40),))
    tasks = tuple(moved if task is lay else task for task in plan.tasks)
    complaints = check_plan(shop, replace(plan, tasks=tasks))
    assert any(f"{early} min too soon" in words and "wet" in words for words in complaints)
