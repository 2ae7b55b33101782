"""A plan as entries of a calendar: named by the work, whose they are, closed days and dates."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest
from builders import (
    alone,
    at,
    hands,
    hold,
    moulds,
    opening,
    order,
    person,
    process,
    shop,
    station,
    task,
)
from builders import plan as planned
from promise_bench import DEMO

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.hours.opening import minute_of
from mouldwright.planning.plan import Member
from mouldwright.planning.run import make_plan
from mouldwright.usecases.calendar import events_of, identities, runs_of
from mouldwright.usecases.feeds import check_about, concerns

WORK = process(
    hands("load", 30), alone("cure", 600), hands("demould", 20), holds=[hold("load", "demould")]
)
SHOP = shop(WORK, [order(quantity=2)], people=[person("ada")], moulds=[moulds(2)])
NOW = at("2027-03-01 08:00")


def pulled(number, day, mould="fin-mould 1", operation="load", who="ada"):
    start = at(f"{day} 09:00")
    return task(operation, start, start + 30, who, mould=mould, pull=number)


def plan_of(*tasks):
    return planned(SHOP, NOW, tasks, starts={"1": 2})


def test_work_keeps_its_name_when_moved_given_to_another_or_put_on_another_mould():
    before = plan_of(pulled(1, "2027-03-01"), pulled(2, "2027-03-02", "fin-mould 2"))
    after = plan_of(pulled(2, "2027-03-05"), pulled(1, "2027-03-04", "fin-mould 2", who="jon"))
    assert identities(before) == identities(after)[::-1]


def test_a_mix_keeps_its_name_when_another_pull_joins_it():
    one = task("mix", NOW, NOW + 5, "ada", members=[Member(order="1", pulls=(1,))])
    both = task("mix", NOW, NOW + 5, "ada", members=[Member(order="1", pulls=(2, 1))])
    assert identities(plan_of(one)) == identities(plan_of(both))


def test_each_part_of_one_pull_has_a_name_of_its_own():
    trims = [
        task("trim", NOW, NOW + 5, "ada", members=[Member(order="1", pulls=(1,), parts=(part,))])
        for part in (1, 2)
    ]
    assert len(set(identities(plan_of(*trims)))) == 2


def test_waxing_is_known_by_the_pull_it_is_done_before():
    def wax(day, mould="fin-mould 1"):
        start = at(f"{day} 08:00")
        return task("wax", start, start + 30, "ada", mould=mould, members=())

    before = plan_of(wax("2027-03-01"), wax("2027-03-02"), pulled(1, "2027-03-03"))
    # The first coat is done: what is left of the plan is the second, moved by a day.
    after = plan_of(wax("2027-03-03"), pulled(1, "2027-03-04"))
    assert identities(before)[1] == identities(after)[0]
    assert identities(before)[0] != identities(before)[1]


def test_no_two_entries_of_the_demo_have_one_name_and_a_later_plan_names_the_same_work():
    bare = replace(DEMO, log=())
    first = make_plan(bare, now=minute_of(DEMO.start), seconds=0.0, seed=1)
    later = make_plan(bare, now=minute_of(DEMO.start) + 1440, seconds=0.0, seed=2)
    names = [{e.uid for e in events_of("foils", bare, each)} for each in (first, later)]
    assert len(names[0]) == len(events_of("foils", bare, first))
    # The orders are the same and none was begun, so all the work on their pulls is too.
    works = [
        {name for task, name in zip(plan.tasks, identities(plan), strict=True) if task.mould}
        for plan in (first, later)
    ]
    works = [{each for each in work if each[0] == "task"} for work in works]
    assert works[0] == works[1]
    assert len(works[0]) > 100


def test_a_task_that_pauses_over_lunch_is_two_entries():
    spans = [(at("2027-03-01 11:00"), at("2027-03-01 12:00"))]
    spans.append((at("2027-03-01 12:30"), at("2027-03-01 13:00")))
    sand = task("sand", 0, 0, "ada", pull=1, spans=spans)
    found = [e for e in events_of("key", SHOP, plan_of(sand)) if e.span]
    assert [(e.title, e.span) for e in found] == [
        ("Sand: fin", spans[0]),
        ("Sand: fin (goes on)", spans[1]),
    ]
    assert found[0].uid != found[1].uid


def test_closed_days_that_follow_each_other_are_one_entry_that_ends_the_day_after():
    days = [date(2027, 12, day) for day in (24, 26, 25, 31)]
    # RFC 5545, 3.6.1: the end of an entry of days is the day after its last.
    assert runs_of(days) == (
        (date(2027, 12, 24), date(2027, 12, 27)),
        (date(2027, 12, 31), date(2028, 1, 1)),
    )


@pytest.mark.parametrize("zone", ["Pacific/Auckland", "America/Los_Angeles", "Europe/Berlin"])
def test_a_customers_date_is_the_shops_own_day_in_every_zone(zone):
    due = datetime(2027, 3, 19, 17, tzinfo=ZoneInfo(zone))
    there = shop(WORK, [order(due=due)], hours=opening(zone=zone), moulds=[moulds()])
    (entry,) = events_of("key", there, None)
    assert entry.days == (date(2027, 3, 19), date(2027, 3, 20))
    assert not entry.is_busy


def test_everyone_sees_closed_days_and_each_else_what_is_theirs():
    there = replace(
        SHOP,
        hours=opening(closed=[date(2027, 3, 26)]),
        stations={"clamps": station("clamps", 2)},
    )
    load = replace(pulled(1, "2027-03-01"), stations=("clamps 2",))
    events = events_of("key", there, plan_of(load, pulled(2, "2027-03-02", "fin-mould 2", who="")))

    def seen(about, key):
        return [event.title for event in events if concerns(event, about, key)]

    assert seen("person", "ada") == ["Load: fin", "Closed"]
    assert seen("mould", "fin-mould 2") == ["Load: fin", "Closed"]
    assert seen("station", "clamps") == seen("station", "clamps 2") == ["Load: fin", "Closed"]
    assert seen("station", "clamps 1") == ["Closed"]
    assert len(seen("shop", "")) == 3


def test_no_entry_names_a_customer():
    plan = make_plan(DEMO, now=minute_of(DEMO.start), seconds=0.0, seed=1)
    said = repr(events_of("foils", DEMO, plan))
    assert not [o.customer for o in DEMO.orders if o.customer and o.customer in said]


@pytest.mark.parametrize(
    ("kind", "about", "key", "path"),
    [
        ("calendar", "person", "nobody", "key"),
        ("calendar", "mould", "fin-mould", "key"),
        ("calendar", "station", "oven", "key"),
        ("calendar", "shop", "ada", "key"),
        ("notices", "person", "ada", "about"),
    ],
)
def test_a_feed_of_what_the_shop_has_not_is_refused(kind, about, key, path):
    with pytest.raises(InvalidInput) as refused:
        check_about(SHOP, kind, about, key)
    assert [fault.path for fault in refused.value.faults] == [path]
