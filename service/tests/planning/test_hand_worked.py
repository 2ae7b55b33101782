"""Plans small enough to work out by hand, minute by minute; the working stands beside each.

All are worked by hand for these tests unless a comment names a source.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

import builders as build
import pytest
from plans_by_hand import WEEK, finish, made, told

from mouldwright.domain.hours.opening import DayTimes
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Task


def cured(cure_min: int, *, lay_min: int = 60, demould_min: int = 20, **more: Any) -> Process:
    """Return lay-up, cure and demould, in one mould throughout."""
    return build.process(
        build.hands("lay", lay_min),
        build.alone("cure", cure_min),
        build.hands("demould", demould_min),
        holds=[build.hold("lay", "demould")],
        **more,
    )


def one_mould(
    cure_min: int,
    *,
    pulls: int = 1,
    weekly: tuple[DayTimes, ...] = WEEK,
    zone: str = "UTC",
    closed: Iterable[date] = (),
    **more: Any,
) -> Shop:
    """Return a shop of one person and one mould with an order for so many pulls."""
    return build.shop(
        cured(cure_min, **more),
        [build.order("1", pulls)],
        people=[build.person("ana")],
        moulds=[build.moulds(1)],
        hours=build.opening(weekly, zone=zone, closed=closed),
    )


def test_work_may_end_as_hours_close_and_start_as_they_open() -> None:
    plan = made(one_mould(30, pulls=2), "2027-03-01 11:00")
    # Lay 60 from 11:00 ends as lunch begins; cure 30 ends as it is over; then all again.
    assert told(plan, "lay") == ["Mon 11:00 - Mon 12:00", "Mon 12:50 - Mon 13:50"]
    assert told(plan, "cure") == ["Mon 12:00 - Mon 12:30", "Mon 13:50 - Mon 14:20"]
    assert told(plan, "demould") == ["Mon 12:30 - Mon 12:50", "Mon 14:20 - Mon 14:40"]
    # From 11:00 to 14:40; hands: 2 x (60 + 20).
    assert plan.objective.finish_min == 220
    assert plan.objective.attended_min == 160


def test_work_that_cannot_pause_waits_for_lunch_to_be_over() -> None:
    # A minute later, 60 no longer fit before 12:00.
    plan = made(one_mould(30), "2027-03-01 11:01")
    assert told(plan, "lay") == ["Mon 12:30 - Mon 13:30"]


def test_work_that_may_pause_goes_on_after_lunch() -> None:
    sanded = build.process(build.hands("sand", 60, per="part", interruptible=True))
    shop = build.shop(
        sanded,
        [build.order("1", 1)],
        people=[build.person("ana")],
        hours=build.opening(WEEK),
    )
    plan = made(shop, "2027-03-01 11:30")
    at = build.at
    # 30 min before lunch, 30 after.
    assert plan.tasks[0].spans == (
        (at("2027-03-01 11:30"), at("2027-03-01 12:00")),
        (at("2027-03-01 12:30"), at("2027-03-01 13:00")),
    )


def test_a_cure_over_the_weekend_keeps_its_mould_until_monday() -> None:
    # Laid up by Friday 16:00, 36 h: cured Sunday 04:00, nobody in before Monday 08:00. The
    # next pull has the mould from 08:20, is laid up by 09:20, cured Tuesday 21:20.
    plan = made(one_mould(36 * 60, pulls=2), "2027-03-05 15:00")
    assert told(plan, "cure") == ["Fri 16:00 - Sun 04:00", "Mon 09:20 - Tue 21:20"]
    assert told(plan, "demould") == ["Mon 08:00 - Mon 08:20", "Wed 08:00 - Wed 08:20"]
    assert told(plan, "lay")[1] == "Mon 08:20 - Mon 09:20"


# A cure of 24 h lasts 24 elapsed hours: added in UTC with the IANA tz database, whose clocks
# go forward on 28 March 2027 (Europe) and 14 March 2027 (New York), back on 31 October 2027
# and 25 October 2026.
@pytest.mark.parametrize(
    ("zone", "now", "ends"),
    [
        ("Europe/Berlin", "2027-03-27 16:00", "Sun 18:00"),
        ("Europe/Berlin", "2027-10-30 16:00", "Sun 16:00"),
        ("Europe/London", "2027-03-27 17:00", "Sun 19:00"),
        ("Europe/London", "2026-10-24 17:00", "Sun 17:00"),
        ("America/New_York", "2027-03-13 17:00", "Sun 19:00"),
        ("Asia/Tokyo", "2027-03-27 17:00", "Sun 18:00"),
    ],
)
def test_a_cure_over_a_clock_change_lasts_its_hours(zone: str, now: str, ends: str) -> None:
    # Lay-up takes the hour from now; open all weekend, so that demoulding follows at once.
    open_always = made(one_mould(1440, weekly=build.ALWAYS, zone=zone), now)
    assert told(open_always, "cure")[0].endswith(f" - {ends}")
    assert told(open_always, "demould")[0].startswith(ends)
    # Shut on Sunday: demoulded when hours next open.
    shut = one_mould(1440, weekly=build.week(sat="08:00-18:00"), zone=zone)
    plan = made(shut, now)
    assert told(plan, "cure")[0].endswith(f" - {ends}")
    assert told(plan, "demould") == ["Mon 08:00 - Mon 08:20"]


def test_a_night_shift_loses_an_hour_as_clocks_go_forward() -> None:
    # Saturday 20:00 to 04:00: of the night of 27 March in Berlin 7 h are left, so 8 h of
    # pouring wait a week; 7 h end as the shift does.
    night = build.week("", sat="20:00-28:00")
    long = one_mould(0, lay_min=480, weekly=night, zone="Europe/Berlin")
    assert told(made(long, "2027-03-27 12:00"), "lay") == ["Sat 20:00 - Sun 04:00"]
    assert made(long, "2027-03-27 12:00").tasks[0].start == build.at(
        "2027-04-03 20:00", "Europe/Berlin"
    )
    short = one_mould(0, lay_min=420, demould_min=0, weekly=night, zone="Europe/Berlin")
    plan = made(short, "2027-03-27 12:00")
    assert told(plan, "lay") == ["Sat 20:00 - Sun 04:00"]
    assert plan.tasks[0].start == build.at("2027-03-27 20:00", "Europe/Berlin")


@pytest.mark.parametrize(
    ("country", "zone", "closed", "demould"),
    [
        # England and Wales: Boxing Day 2026 is a Saturday, its substitute Monday 28 December
        # (Banking and Financial Dealings Act 1971, schedule 1; from memory).
        ("England", "Europe/London", (date(2026, 12, 25), date(2026, 12, 28)), "Tue 08:00"),
        # Germany: 25 and 26 December, no substitute days (common practice, no source).
        ("Germany", "Europe/Berlin", (date(2026, 12, 25), date(2026, 12, 26)), "Mon 08:00"),
    ],
)
def test_a_cure_over_christmas(
    country: str, zone: str, closed: tuple[date, ...], demould: str
) -> None:
    shop = one_mould(1440, zone=zone, closed=closed)
    plan = made(shop, "2026-12-24 14:00")
    assert told(plan, "cure") == ["Thu 15:00 - Fri 15:00"], country
    assert told(plan, "demould")[0].startswith(demould)


def test_three_moulds_ready_at_once_are_emptied_one_by_one() -> None:
    # 15 h from Sunday 17:00: all three are ready as the person comes in at 08:00.
    process = build.process(
        build.alone("cure", 15 * 60),
        build.hands("demould", 20),
        holds=[build.hold("cure", "demould")],
    )
    shop = build.shop(
        process,
        [build.order("1", 3)],
        people=[build.person("ana")],
        moulds=[build.moulds(3)],
        hours=build.opening(WEEK),
    )
    assert told(made(shop, "2027-02-28 17:00"), "demould") == [
        "Mon 08:00 - Mon 08:20",
        "Mon 08:20 - Mon 08:40",
        "Mon 08:40 - Mon 09:00",
    ]


def test_a_long_plate_keeps_its_printer_overnight() -> None:
    # Started by 16:30, 9 h: ready at 01:30, off the printer at 08:00. The second goes on at
    # 08:10 and runs 08:20 to 17:20, past closing: off on Wednesday.
    process = build.process(
        build.hands("start", 10, per="batch", batch_parts=1),
        build.alone("print", 540, per="batch"),
        build.hands("remove", 10, per="batch"),
        holds=[build.hold("start", "remove", "printer")],
    )
    shop = build.shop(
        process,
        [build.order("1", 2)],
        people=[build.person("ana")],
        stations=[build.station("printer")],
        hours=build.opening(WEEK),
    )
    plan = made(shop, "2027-03-01 16:20")
    assert told(plan, "print") == ["Mon 16:30 - Tue 01:30", "Tue 08:20 - Tue 17:20"]
    assert told(plan, "remove") == ["Tue 08:00 - Tue 08:10", "Wed 08:00 - Wed 08:10"]


def test_a_due_date_gone_by_is_planned_and_shown_late() -> None:
    shop = build.shop(
        cured(30),
        [build.order("1", 1, due=build.instant("2027-02-26 17:00"), weight=3)],
        people=[build.person("ana")],
        moulds=[build.moulds(1)],
        hours=build.opening(WEEK),
    )
    plan = made(shop, "2027-03-01 08:00")
    # 60 + 30 + 20: done at 09:50 on Monday. From Friday 17:00: 7 + 24 + 24 h + 9 h 50 min.
    late = (7 + 48) * 60 + 590
    assert finish(plan) == "Mon 09:50"
    assert plan.orders[0].late_min == late
    assert plan.objective.weighted_late_min == 3 * late


def test_due_today_with_a_day_of_cure_left_is_late_by_the_cure() -> None:
    process = build.process(
        build.alone("cure", 1440),
        build.hands("demould", 20),
        holds=[build.hold("cure", "demould")],
    )
    shop = build.shop(
        process,
        [build.order("1", 1, due=build.instant("2027-03-01 17:00"))],
        people=[build.person("ana")],
        moulds=[build.moulds(1)],
        hours=build.opening(WEEK),
    )
    plan = made(shop, "2027-03-01 09:00")
    # Cured Tuesday 09:00, out at 09:20: 16 h 20 min after 17:00.
    assert finish(plan) == "Tue 09:20"
    assert plan.orders[0].late_min == 980
    # What holds it is said.
    assert any("cure" in words for words in plan.orders[0].binds)


def test_a_second_coat_that_would_miss_its_window_puts_off_the_first() -> None:
    # The first could end Friday 15:00; its second must start 4 to 24 h later, from 19:00 to
    # Saturday 15:00, all shut. So: Monday 08:00-08:30, and from 12:30, as lunch ends.
    process = build.process(
        build.hands("first coat", 30, per="part"),
        build.hands("second coat", 30, per="part", wait_min=240, wait_max_min=1440),
    )
    shop = build.shop(
        process,
        [build.order("1", 1)],
        people=[build.person("ana")],
        hours=build.opening(WEEK),
    )
    plan = made(shop, "2027-03-05 14:30")
    first, second = sorted(plan.tasks, key=lambda t: t.start)
    assert 240 <= second.start - first.end <= 1440
    assert told(plan, "second coat") == ["Mon 12:30 - Mon 13:00"]
    assert told(plan, "first coat") == ["Mon 08:00 - Mon 08:30"]


def test_one_step_that_needs_two_waits_until_both_are_in() -> None:
    process = build.process(build.hands("lift", 30, people=2, per="part"))
    shop = build.shop(
        process,
        [build.order("1", 1)],
        people=[
            build.person("ana", weekly=build.week("08:00-12:00")),
            build.person("ben", weekly=build.week("10:00-14:00")),
        ],
        hours=build.opening(WEEK),
    )
    plan = made(shop, "2027-03-01 08:00")
    assert told(plan, "lift") == ["Mon 10:00 - Mon 10:30"]
    assert set(plan.tasks[0].people) == {"ana", "ben"}


def test_own_hours_stand_in_place_of_the_shops_breaks_and_one_off_openings() -> None:
    process = build.process(build.hands("sand", 60, per="part", skill="sand"))

    def sander(weekly: tuple[DayTimes, ...] | None) -> Shop:
        return build.shop(
            process,
            [build.order("1", 1)],
            people=[build.person("ana", ["sand"], weekly)],
            hours=build.opening(WEEK, one_off={date(2027, 3, 6): "09:00-12:00"}),
        )

    through_lunch = build.week("08:00-16:00")
    # From 11:30: with the shop's lunch at 12:30, with hours of their own at once.
    assert told(made(sander(None), "2027-03-01 11:30"), "sand") == ["Mon 12:30 - Mon 13:30"]
    assert told(made(sander(through_lunch), "2027-03-01 11:30"), "sand") == [
        "Mon 11:30 - Mon 12:30"
    ]
    # From Friday 16:30: the Saturday opening is for those who keep the shop's hours.
    assert told(made(sander(None), "2027-03-05 16:30"), "sand") == ["Sat 09:00 - Sat 10:00"]
    assert told(made(sander(through_lunch), "2027-03-05 16:30"), "sand") == [
        "Mon 08:00 - Mon 09:00"
    ]


def test_nothing_of_an_order_starts_before_its_release() -> None:
    shop = build.shop(
        cured(30),
        [build.order("1", 1, release=build.instant("2027-03-01 10:15"))],
        people=[build.person("ana")],
        moulds=[build.moulds(1)],
        hours=build.opening(WEEK),
    )
    plan = made(shop, "2027-03-01 08:00")
    assert told(plan, "lay") == ["Mon 10:15 - Mon 11:15"]
    # Cured by 11:45: 20 min more would run into lunch.
    assert told(plan, "demould") == ["Mon 12:30 - Mon 12:50"]


def test_what_runs_stays_as_it_is_when_an_urgent_order_comes() -> None:
    # Curing since 08:30 in the one mould until 10:30; the urgent order has the mould after
    # the demould, 10:30-10:50: lay until 11:50, cure until 12:20, demould after lunch.
    process = cured(120)
    begun = build.task(
        "cure",
        build.at("2027-03-01 08:30"),
        build.at("2027-03-01 10:30"),
        mould="fin-mould 1",
        pull=1,
    )
    urgent = build.order("2", 1, due=build.instant("2027-03-01 09:00"), weight=100)
    shop = build.shop(
        process,
        [build.order("1", 1), urgent],
        people=[build.person("ana")],
        moulds=[build.moulds(1)],
        hours=build.opening(WEEK),
    )
    plan = made(shop, "2027-03-01 09:00", running=(begun,))
    assert begun in plan.tasks
    assert told(plan, "demould")[0] == "Mon 10:30 - Mon 10:50"
    assert told(plan, "lay") == ["Mon 10:50 - Mon 11:50"]
    # 11:50 + 120 = 13:50.
    assert finish(plan, "2") == "Mon 14:10"


def test_the_same_seed_gives_the_same_plan() -> None:
    def tasks() -> tuple[Task, ...]:
        return made(one_mould(45, pulls=3), "2027-03-01 08:00").tasks

    assert tasks() == tasks()
