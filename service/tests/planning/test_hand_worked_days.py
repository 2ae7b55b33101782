"""Plans over days and nights worked out by hand: drifting cures, plates, clocks, closures."""

from __future__ import annotations

from datetime import date, timedelta

import builders as build
import pytest
from plans_by_hand import WEEK, finish, made, told

from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan


def one_mould(cure_min: int, pulls: int) -> Shop:
    """Return a shop of one mould with lay-up of 60, a cure, and demoulding of 15 min."""
    process = build.process(
        build.hands("lay", 60),
        build.alone("cure", cure_min),
        build.hands("demould", 15),
        holds=[build.hold("lay", "demould")],
    )
    return build.shop(
        process,
        [build.order("1", pulls)],
        people=[build.person("ana")],
        moulds=[build.moulds(1)],
        hours=build.opening(WEEK),
    )


def starts(plan: Plan, operation: str) -> list[str]:
    return [text.partition(" - ")[0] for text in told(plan, operation)]


def test_a_cure_of_a_whole_day_makes_each_pull_begin_later_than_the_last() -> None:
    # Each day 60 + 15 later: laid up by 09:00 is cured at 09:00 the next day, out at 09:15.
    # Thursday: out at 11:45, and 60 min do not fit before lunch. Friday's is cured Saturday.
    plan = made(one_mould(1440, 6), "2027-03-01 08:00")
    assert starts(plan, "lay") == [
        "Mon 08:00", "Tue 09:15", "Wed 10:30", "Thu 12:30", "Fri 13:45", "Mon 08:15",
    ]  # fmt: skip
    # Laid up by 09:15, cured Tuesday 09:15.
    assert finish(plan) == "Tue 09:30"


def test_a_cure_shorter_by_the_work_on_it_begins_at_the_same_time_each_day() -> None:
    # 22 h 45 min and 75 min of hands are a day: at 07:45 cured, at 08:15 laid up anew, from
    # then on every day at that time.
    plan = made(one_mould(1365, 5), "2027-03-01 08:00")
    assert starts(plan, "lay") == [
        "Mon 08:00", "Tue 08:15", "Wed 08:15", "Thu 08:15", "Fri 08:15",
    ]  # fmt: skip


def plate(key: str, print_min: int) -> Process:
    return build.process(
        build.hands("start", 10, per="batch", batch_parts=1),
        build.alone("print", print_min, per="batch"),
        build.hands("remove", 10, per="batch"),
        holds=[build.hold("start", "remove", "printer")],
        key=key,
    )


def test_the_long_plate_runs_at_night_and_the_short_ones_by_day() -> None:
    # Nine hours begun at 08:10 keep the printer until Tuesday. Short ones first: 08:00-11:40,
    # 11:40-15:20 with 10 min to start and 10 to remove; then the long one, off on Tuesday at
    # 08:00-08:10: no plan is done before, for 540 + 10 + 10 do not fit into Monday's 08:00-17:00.
    shop = build.shop(
        [plate("long", 540), plate("short", 200)],
        [build.order("1", process="long"), build.order("2", 2, process="short")],
        people=[build.person("ana")],
        stations=[build.station("printer")],
        hours=build.opening(WEEK),
    )
    plan = made(shop, "2027-03-01 08:00")
    assert finish(plan, "1") == "Tue 08:10"
    assert plan.objective.finish_min == 24 * 60 + 10
    shorts = [text for text in told(plan, "remove") if text.startswith("Mon")]
    assert len(shorts) == 2


# Berlin's clocks go from 02:00 to 03:00 on 28 March 2027 and from 03:00 back to 02:00 on
# 31 October 2027 (IANA tz database): open from 01:00 to 04:00 is 2 h, and 4 h.
@pytest.mark.parametrize(
    ("minutes", "now", "day"),
    [
        (120, "2027-03-27 12:00", date(2027, 3, 28)),
        (121, "2027-03-27 12:00", date(2027, 4, 4)),
        (180, "2027-10-24 12:00", date(2027, 10, 31)),
        # Three hours are all there is on any other Sunday of that month.
        (181, "2027-10-03 12:00", date(2027, 10, 31)),
        (240, "2027-10-03 12:00", date(2027, 10, 31)),
    ],
)
def test_a_night_with_a_clock_change_is_as_long_as_it_is(minutes: int, now: str, day: date) -> None:
    process = build.process(build.hands("pour", minutes, per="part"))
    shop = build.shop(
        process,
        [build.order()],
        people=[build.person("ana")],
        hours=build.opening(build.week("", sun="01:00-04:00"), zone="Europe/Berlin"),
    )
    (task,) = made(shop, now).tasks
    assert task.start == build.at(f"{day} 01:00", "Europe/Berlin")
    assert task.end - task.start == minutes


def test_work_waits_out_a_closure_longer_than_any_plan() -> None:
    # Shut for 400 days from Monday, 1 March: 57 weeks and a day later is a Tuesday.
    first = date(2027, 3, 1)
    shut = [first + timedelta(days=n) for n in range(400)]
    process = build.process(build.hands("sand", 30, per="part"))
    shop = build.shop(
        process,
        [build.order()],
        people=[build.person("ana")],
        hours=build.opening(WEEK, closed=shut),
    )
    plan = made(shop, "2027-03-01 08:00")
    assert told(plan, "sand") == ["Tue 08:00 - Tue 08:30"]
    assert plan.objective.finish_min == 400 * 1440 + 30
