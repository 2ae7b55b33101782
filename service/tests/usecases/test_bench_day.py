"""Tomorrow in the order of the hands, handing over, and how far an order is."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from builders import (
    alone,
    at,
    hands,
    hold,
    instant,
    mixed,
    moulds,
    opening,
    order,
    person,
    process,
    shop,
    station,
    task,
    week,
)
from builders import plan as planned
from promise_bench import DEMO

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.process.heat import Heat
from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember, LoggedTask
from mouldwright.planning.run import make_plan
from mouldwright.usecases.handover import handover_of
from mouldwright.usecases.stage import OrderStage, ready_by_log, stage_of
from mouldwright.usecases.today import today_of
from mouldwright.usecases.tomorrow import IN_ORDER, bench_day, next_day
from mouldwright.usecases.tomorrow_told import bench_day_told

WORK = process(
    hands("mix", 5, per="batch", material="resin", pot_life_until="load"),
    hands("load", 30),
    alone("cure", 900),
    hands("demould", 20),
    hands("trim", 10, per="part"),
    holds=[hold("load", "demould")],
    conditioning=hands("wax", 15, per="conditioning"),
)
HOURS = opening(week("08:00-17:00"))
ADA = person("ada")
SHOP = shop(
    WORK, [order(quantity=2, due=instant("2027-03-05 17:00"))], people=[ADA], hours=HOURS,
    moulds=[moulds(2)], materials=[mixed()],
)  # fmt: skip
NOW = at("2027-03-01 08:00")
TUESDAY = date(2027, 3, 2)


def when(clock, day="02"):
    return at(f"2027-03-{day} {clock}")


# Monday: one pull is loaded and cures through the night. Tuesday: it is demoulded, its mould
# waxed, the next mixed and loaded, and the first part trimmed.
FIRST = [
    task("mix", when("15:00", "01"), when("15:05", "01"), "ada", pull=1, mixed_g=50.0),
    task("load", when("15:05", "01"), when("15:35", "01"), "ada", mould="fin-mould 1", pull=1),
    task("cure", when("15:35", "01"), when("06:35"), mould="fin-mould 1", pull=1),
    task("demould", when("08:30"), when("08:50"), "ada", mould="fin-mould 1", pull=1),
    task("wax", when("08:50"), when("09:05"), "ada", mould="fin-mould 1", members=()),
    task("mix", when("15:20"), when("15:25"), "ada", pull=2, mixed_g=50.0),
    task("load", when("15:25"), when("15:55"), "ada", mould="fin-mould 1", pull=2),
    task("cure", when("15:55"), when("06:55", "03"), mould="fin-mould 1", pull=2),
    task("demould", when("08:00", "03"), when("08:20", "03"), "ada", mould="fin-mould 1", pull=2),
    task("trim", when("10:00"), when("10:10"), "ada", pull=1, part_id=1),
    task("trim", when("08:30", "03"), when("08:40", "03"), "ada", pull=2, part_id=2),
]
PLAN = planned(SHOP, NOW, FIRST, starts={"1": 2})


def parts_of(found):
    return [(part.hand, [each.seen.task.operation for each in part.tasks]) for part in found.parts]


def test_tomorrow_is_told_in_the_order_of_the_hands():
    assert next_day(PLAN, NOW) == TUESDAY
    found = bench_day(SHOP, PLAN, TUESDAY)
    assert parts_of(found) == [
        ("demould", ["demould"]),
        ("condition", ["wax"]),
        ("mix", ["mix"]),
        ("load", ["load"]),
        ("other", ["trim"]),
    ]
    assert (found.opens, found.closes) == (when("08:00"), when("17:00"))
    # The pull of Monday cures until 06:35 and stands in its mould as the first comes.
    (stands,) = found.overnight
    assert (stands.task.operation, stands.is_over) == ("cure", True)


def test_a_mix_is_told_with_grams_that_add_up_and_its_last_minute():
    told = bench_day_told(SHOP, PLAN, bench_day(SHOP, PLAN, TUESDAY))
    (mix,) = [each.mix for part in told.parts for each in part.tasks if each.mix is not None]
    assert sum(each.grams for each in mix.components) == mix.total_g == Decimal("50.0")
    assert mix.moulds == ("fin 1",)
    # A pot life of 30 min from the end of mixing at 15:25.
    assert f"{mix.use_by:%H:%M}" == "15:55"


def test_what_is_started_before_going_home_stands_last_and_says_until_when():
    printed = process(hands("start", 5, per="part"), alone("print", 600, per="part"))
    there = shop(
        printed, [order(quantity=2)], people=[ADA], hours=HOURS, stations=[station("printer")]
    )
    plates = [
        task("start", when("09:00"), when("09:05"), "ada", part_id=1, stations=["printer"]),
        task("print", when("09:05"), when("14:05"), part_id=1, stations=["printer"]),
        task("start", when("16:50"), when("16:55"), "ada", part_id=2, stations=["printer"]),
        task("print", when("16:55"), when("02:55", "03"), part_id=2, stations=["printer"]),
    ]
    plan = planned(there, NOW, plates, starts={"1": 2})
    found = bench_day(there, plan, TUESDAY)
    assert parts_of(found) == [("other", ["start"]), ("before going home", ["start"])]
    assert found.parts[1].tasks[0].until == when("02:55", "03")


@pytest.mark.parametrize("is_loaded", [True, False])
def test_an_oven_is_loaded_by_someone_whether_or_not_that_is_planned(is_loaded):
    heat = Heat(hold_c=Decimal(60), hold_min=Decimal(300), ramp_c_per_h=Decimal(20))
    load, hot = hands("stack", 10, per="batch"), alone("post-cure", 300, per="batch", heat=heat)
    there = shop(process(load, hot), [order()], people=[ADA], hours=HOURS)
    tasks = [task("post-cure", when("09:10"), when("14:10"), part_id=1)]
    if is_loaded:
        tasks.append(task("stack", when("09:00"), when("09:10"), "ada", part_id=1))
    plan = planned(there, NOW, tasks, starts={"1": 1})
    told = ["stack" if is_loaded else "post-cure"]
    assert parts_of(bench_day(there, plan, TUESDAY)) == [("oven", told)]


def test_every_attended_task_that_begins_in_the_day_is_told_once():
    plan = make_plan(DEMO, now=minute_of(DEMO.start), seconds=0.0, seed=1)
    for day in (date(2027, 3, 1), date(2027, 3, 2), date(2027, 3, 8)):
        found = bench_day(DEMO, plan, day)
        told = [each.seen.place for part in found.parts for each in part.tasks]
        mine = [
            place
            for place, each in enumerate(plan.tasks)
            if each.people and local(each.start, plan.zone).date() == day
        ]
        told = [place for place in told if plan.tasks[place].people]
        assert sorted(told) == mine
        order = [IN_ORDER.index(part.hand) for part in found.parts]
        assert order == sorted(order)


def test_a_day_without_work_has_no_parts_and_the_next_day_is_tomorrow_without_any():
    assert bench_day(SHOP, PLAN, date(2027, 3, 6)).parts == ()
    assert next_day(PLAN, when("12:00", "03")) == date(2027, 3, 4)


def handed_over(now, plan=PLAN, there=SHOP):
    return handover_of(there, today_of(there, plan, now=now))


def test_handing_over_says_what_cures_and_what_is_taken_up_by_when():
    found = handed_over(when("17:00", "01"))
    assert [(each.operation, each.stands) for each in found.curing] == [("cure", False)]
    (next_up,) = found.take_up
    assert (next_up.then.operation, f"{next_up.then.start:%a %H:%M}") == ("demould", "Tue 08:30")
    assert [(each.name, f"{each.at:%a %H:%M}") for each in found.coming] == [("ada", "Tue 08:00")]
    morning = handed_over(when("08:40"))
    assert [each.operation for each in morning.attended] == ["demould"]


def test_what_is_in_hand_says_its_next_step_and_is_not_told_twice():
    # The mix is in hand from 15:20 to 15:25, and is loaded by the same hands after it.
    mixing = handed_over(when("15:22"))
    (in_hand,) = mixing.attended
    assert (in_hand.operation, in_hand.then.operation) == ("mix", "load")
    assert mixing.take_up == ()


def test_what_has_a_limit_is_taken_up_before_what_has_none():
    limited = process(
        *WORK.operations[:3],
        replace(WORK.operations[3], wait_max_min=180),
        holds=WORK.holds,
    )  # fmt: skip
    there = replace(SHOP, processes={"pressed": limited})
    other = [
        task("load", when("14:00", "01"), when("14:30", "01"), "ada", mould="fin-mould 2", pull=3),
        task("cure", when("14:30", "01"), when("05:30"), mould="fin-mould 2", pull=3),
    ]
    plan = planned(there, NOW, [*FIRST, *other], starts={"1": 3})
    (first, *_) = handed_over(when("17:00", "01"), plan, there).take_up
    # Its cure ends at 06:35 and the greatest wait is 180 min.
    assert f"{first.then.by:%a %H:%M}" == "Tue 09:35"


def test_without_a_plan_handing_over_says_who_comes_and_what_is_missing():
    found = handed_over(NOW, plan=None)
    assert not found.has_plan
    assert (found.curing, found.take_up) == ((), ())
    assert [each.kind for each in found.at_risk] == ["no-plan"]


def stage(now, there=SHOP, plan=PLAN, booking=None):
    return stage_of(there, "1", plan, now, booking)


def test_the_stage_of_an_order_goes_with_its_work():
    assert stage(when("09:00", "01")) == OrderStage(stage="waiting", next_day=date(2027, 3, 1))
    assert stage(when("12:00")) == OrderStage(stage="being made", next_day=date(2027, 3, 3))
    finishing = stage(when("08:25", "03"))
    assert finishing == OrderStage(stage="being finished", next_day=date(2027, 3, 3))
    assert stage(when("09:00", "03")) == OrderStage(stage="ready", next_day=None)


def entry(number, what, operation, clock, **member):
    return LogEntry(
        number=number,
        what=what,
        at=clock,
        noted_at=clock,
        task=LoggedTask(
            operation=operation,
            process="pressed",
            part="fin",
            mould="fin-mould 1",
            members=(LoggedMember(order="1", **member),),
        ),
    )


def test_where_a_log_is_kept_nothing_is_told_that_was_not_done():
    monday = datetime(2027, 3, 1, 15, tzinfo=UTC)
    other = replace(entry(1, Happening.STARTED, "load", monday, pulls=(1,)))
    elsewhere = replace(other, task=replace(other.task, members=(LoggedMember(order="9"),)))
    behind = replace(SHOP, log=(elsewhere,))
    # By the plan it was ready on Wednesday; by the log nobody has begun it.
    late = stage(when("09:00", "04"), behind)
    assert late == OrderStage(stage="waiting", next_day=None)
    begun = replace(SHOP, log=(other,))
    assert stage(when("12:00"), begun).stage == "being made"
    # Whatever the plan says, it is not ready while its last step is done on one part of two.
    one = replace(
        SHOP, log=(other, entry(2, Happening.FINISHED, "trim", monday, pulls=(1,), parts=(1,)))
    )
    assert stage(when("09:00", "04"), one) == OrderStage(stage="being finished", next_day=None)
    both = replace(
        one, log=(*one.log, entry(3, Happening.FINISHED, "trim", monday, pulls=(2,), parts=(2,)))
    )
    assert stage(when("09:00", "04"), both).stage == "ready"
    assert ready_by_log(both) == {"1"}
    # What was scrapped, or is a second, is not what was asked for, however far it came.
    for bad in (Happening.SCRAPPED, Happening.SECOND):
        spoilt = replace(both, log=(*both.log, entry(4, bad, "trim", monday, parts=(2,))))
        assert stage(when("09:00", "04"), spoilt).stage == "being finished"
        assert ready_by_log(spoilt) == frozenset()
        again = entry(5, Happening.FINISHED, "trim", monday, pulls=(3,), parts=(3,))
        made_good = replace(spoilt, log=(*spoilt.log, again))
        assert stage(when("09:00", "04"), made_good).stage == "ready"


def test_a_day_later_than_was_promised_is_said_and_one_called_off_has_none():
    booking = Booking(
        order=SHOP.orders[0], state="open", quote=1, revision=1, version=1,
        booked_at=datetime(2027, 2, 20, tzinfo=UTC), promised=when("17:00"),
    )  # fmt: skip
    assert stage(when("12:00"), booking=booking).is_later
    kept = replace(booking, promised=when("08:00", "03"))
    # Ready at 08:40 of the day that was promised: the same day.
    assert not stage(when("12:00"), booking=kept).is_later
    gone = stage(when("12:00"), booking=replace(booking, state="cancelled"))
    assert gone == OrderStage(stage="called off", next_day=None)


@pytest.mark.parametrize("plan", [None, replace(PLAN, tasks=(), orders=())])
def test_an_order_that_no_plan_has_waits_without_a_day(plan):
    assert stage(NOW, plan=plan) == OrderStage(stage="waiting", next_day=None)
