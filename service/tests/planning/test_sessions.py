"""Sessions: gearing up and cleaning down in plans worked by hand, and what the checker says."""

from __future__ import annotations

from dataclasses import replace

import builders as build
import pytest
from plans_by_hand import made, told

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.planning.check import check_plan
from mouldwright.planning.plan import Plan

HOURS = build.opening(build.week("08:00-12:00 12:30-16:30"))


def wet_and_dry(pieces: int = 2, *, gear: int = 10, clean: int = 15, wet: int = 30) -> Shop:
    """Return a shop of one person whose parts are each laid up (wet) and then trimmed (dry)."""
    process = build.process(
        build.hands("lay", wet, per="part", skill="wet"),
        build.hands("trim", 20, per="part", skill="finish"),
    )
    return build.shop(
        process,
        [build.order("1", pieces)],
        people=[build.person("ana", ["wet", "finish"])],
        sessions=[build.session("wet-work", gear, clean, skill="wet")],
        hours=HOURS,
    )


def sessions(plan: Plan) -> list[tuple[str, str]]:
    return [
        (f"{local(s.start, 'UTC'):%a %H:%M}", f"{local(s.end, 'UTC'):%a %H:%M}")
        for s in plan.sessions
    ]


def test_wet_work_clusters_so_that_one_gears_up_once() -> None:
    plan = made(wet_and_dry(), "2027-03-01 08:00")
    # Gear up 08:00-08:10, both lay-ups to 09:10, clean down to 09:25, then both trims.
    assert told(plan, "lay") == ["Mon 08:10 - Mon 08:40", "Mon 08:40 - Mon 09:10"]
    assert told(plan, "trim") == ["Mon 09:25 - Mon 09:45", "Mon 09:45 - Mon 10:05"]
    assert sessions(plan) == [("Mon 08:00", "Mon 09:25")]
    # Hands: 2 x (30 + 20) + 10 + 15.
    assert plan.objective.attended_min == 125


def test_one_comes_out_before_hours_close_and_goes_in_again_after() -> None:
    # From 11:00: gear up to 11:10, one lay-up to 11:40, clean down to 11:55. A second would
    # end 12:10. After lunch: gear up 12:30 to 12:40, lay up to 13:10, clean down to 13:25.
    # The first is trimmed before or after that; ready soonest at 13:25 + 2 x 20 = 14:05.
    plan = made(wet_and_dry(), "2027-03-01 11:00")
    assert told(plan, "lay")[0] == "Mon 11:10 - Mon 11:40"
    assert sessions(plan)[0] == ("Mon 11:00", "Mon 11:55")
    assert len(sessions(plan)) == 2
    assert plan.objective.finish_min == 3 * 60 + 5


def test_a_session_that_fits_no_opening_is_named_before_the_search() -> None:
    # 225 + 10 + 15 = 250 min; the longest opening is 240.
    with pytest.raises(HardLimit, match=r"lay takes 225 min .* 240 min; an opening of 250 min"):
        made(wet_and_dry(wet=225), "2027-03-01 08:00")
    assert told(made(wet_and_dry(1, wet=215), "2027-03-01 08:00"), "lay") == [
        "Mon 08:10 - Mon 11:45"
    ]


def test_a_session_may_be_told_by_a_room_and_its_state() -> None:
    shop = wet_and_dry(1)
    process = build.process(
        build.hands("lay", 30, per="part", in_room="bench", room_state="wet"),
    )
    shop = replace(
        shop,
        processes={"pressed": process},
        rooms={"bench": build.room("bench", 30, wet=None, dust=None)},
        sessions={"wet-work": build.session("wet-work", 10, 15, in_room="bench", room_state="wet")},
    )
    plan = made(shop, "2027-03-01 08:00")
    assert told(plan, "lay") == ["Mon 08:10 - Mon 08:40"]
    assert sessions(plan) == [("Mon 08:00", "Mon 08:55")]


def test_two_people_at_one_task_both_gear_up() -> None:
    shop = wet_and_dry(1)
    process = build.process(build.hands("lay", 30, per="part", skill="wet", people=2))
    shop = replace(
        shop,
        processes={"pressed": process},
        people={key: build.person(key, ["wet"]) for key in ("ana", "ben")},
    )
    plan = made(shop, "2027-03-01 08:00")
    assert sessions(plan) == [("Mon 08:00", "Mon 08:55")] * 2
    # 2 x (30 + 10 + 15).
    assert plan.objective.attended_min == 110


def test_what_is_under_way_needs_no_gearing_up() -> None:
    # Ana has been laying up since 07:50 in one piece until 08:20: she is in, the next follows.
    shop = wet_and_dry()
    early = replace(shop, hours=build.opening(build.week("07:00-12:00 12:30-16:30")))
    running = build.task(
        "lay", build.at("2027-03-01 07:50"), build.at("2027-03-01 08:20"), "ana", part_id=1
    )
    plan = made(early, "2027-03-01 08:00", running=[running])
    assert told(plan, "lay") == ["Mon 07:50 - Mon 08:20", "Mon 08:20 - Mon 08:50"]
    assert sessions(plan) == [("Mon 08:00", "Mon 09:05")]
    # 2 x (30 + 20) + 15: gearing up was before now.
    assert plan.objective.attended_min == 115


@pytest.mark.parametrize(
    ("lay_at", "trim_at", "words"),
    [
        (("08:09", "08:39"), ("09:25", "09:45"), "no 10 min to gear up"),
        (("08:10", "08:40"), ("09:24", "09:44"), "no 15 min to clean down"),
    ],
)
def test_the_checker_wants_the_minutes_of_going_in_and_out(
    lay_at: tuple[str, str], trim_at: tuple[str, str], words: str
) -> None:
    shop = wet_and_dry()
    plan = made(shop, "2027-03-01 08:00")
    at = {("lay", 0): lay_at, ("trim", 0): trim_at}
    seen: dict[str, int] = {}
    tasks = []
    for task in plan.tasks:
        nth = seen[task.operation] = seen.get(task.operation, -1) + 1
        if (task.operation, nth) in at:
            start, end = (build.at(f"2027-03-01 {t}") for t in at[task.operation, nth])
            task = replace(task, spans=((start, end),))
        tasks.append(task)
    complaints = check_plan(shop, replace(plan, tasks=tuple(tasks)))
    assert any(words in complaint for complaint in complaints)


def test_the_checker_wants_every_session_told_and_counted() -> None:
    shop = wet_and_dry()
    plan = made(shop, "2027-03-01 08:00")
    untold = check_plan(shop, replace(plan, sessions=()))
    assert any("is not told" in words for words in untold)
    cheap = replace(plan.objective, attended_min=100)
    assert any("attended" in words for words in check_plan(shop, replace(plan, objective=cheap)))
