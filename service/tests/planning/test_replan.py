"""A plan made anew moves what must move and nothing else, and says why."""

from __future__ import annotations

import math
import time
from dataclasses import replace
from random import Random

import builders as build
import pytest
from random_shops import draw
from written_log import BenchLog

from mouldwright.domain.record.log import Happening, LoggedMember
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import CastStructure
from mouldwright.planning.check import check_plan
from mouldwright.planning.keeping import what_stands
from mouldwright.planning.pinned import identity
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.replan import replan
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")
DAYS = build.opening(build.week("08:00-16:00"))


def sanded(*orders: tuple[str, int], people: tuple[str, ...] = ("ana", "ben")) -> Shop:
    """Return orders of parts of an hour of anyone's hands each."""
    process = build.process(build.hands("sand", 60, per="part"))
    return build.shop(
        process,
        [build.order(number, quantity) for number, quantity in orders],
        people=[build.person(key) for key in people],
        hours=DAYS,
    )


def places(plan: Plan) -> dict[object, Task]:
    return {identity(task): task for task in plan.tasks}


def test_a_new_order_goes_after_what_is_planned_and_moves_nothing() -> None:
    # Two people, four parts of an hour: 08:00 to 10:00. Two more parts: 10:00 to 11:00.
    shop = sanded(("1", 4))
    held = make_plan(shop, now=NOW, seconds=0.1)
    found = replan(sanded(("1", 4), ("2", 2)), held, now=NOW)
    assert (found.kept, found.moved, found.why) == (4, 0, {})
    assert set(held.tasks) <= set(found.plan.tasks)
    new = next(order for order in found.plan.orders if order.number == "2")
    assert new.finish == NOW + 180


def test_only_what_someone_away_would_have_done_moves() -> None:
    # Ana and Ben sand two parts each, 08:00 to 10:00. Ben is away: his two go after Ana's.
    shop = sanded(("1", 4))
    held = make_plan(shop, now=NOW, seconds=0.1)
    away = replace(shop.people["ben"], weekly=((),) * 7)
    without = replace(shop, people={**shop.people, "ben": away})
    found = replan(without, held, now=NOW)
    assert (found.kept, found.moved) == (2, 2)
    assert set(found.why.values()) == {"ben is away then"}
    assert found.plan.orders[0].finish == NOW + 240
    stay = [task for task in held.tasks if task.people == ("ana",)]
    assert set(stay) <= set(found.plan.tasks)


def test_what_has_begun_stays_when_something_urgent_comes() -> None:
    # One person; a part of an hour begun at 08:00, another at 09:00. At 08:30 an order comes that
    # is wanted by 10:00 and counts a hundred times: what has begun goes on, what has not gives way.
    shop = sanded(("1", 2), people=("ana",))
    held = make_plan(shop, now=NOW, seconds=0.1)
    urgent = build.order("2", 1, due=build.instant("2027-03-01 10:00"), weight=100)
    found = replan(replace(shop, orders=(*shop.orders, urgent)), held, now=NOW + 30, seconds=1.0)
    done = {order.number: order.finish - NOW for order in found.plan.orders}
    assert done == {"1": 180, "2": 120}
    assert held.tasks[0] in found.plan.tasks
    assert found.moved == 1


def test_work_that_paused_over_a_night_takes_no_more_than_it_did() -> None:
    # Six minutes are begun at 16:54 on Monday, closing is at 17:00, and at 08:00 on Tuesday nobody
    # has ticked it off: it is over a minute later, and the next part takes six minutes from there.
    trim = build.process(build.hands("trim", 6, per="part", interruptible=True))
    shop = build.shop(
        trim, [build.order(quantity=2)], people=[build.person("ana")],
        hours=build.opening(build.week("08:00-17:00")),
    )  # fmt: skip
    evening, morning = build.at("2027-03-01 16:54"), build.at("2027-03-02 08:00")
    held = make_plan(shop, now=evening, seconds=0.1)
    log = BenchLog(evening)
    log.started(held.tasks[0], 0)
    shop = log.kept_in(shop)
    for now in (morning, morning + 30, morning + 60):
        held = replan(shop, held, now=now, seconds=0.1).plan
        assert held.tasks[0].end == now + 1
        assert held.orders[0].finish == now + 7
    log.finished(held.tasks[0], morning + 60 - evening)
    # Once it is, the next stays where it was planned, a minute later than it could be.
    held = replan(log.kept_in(shop), held, now=morning + 60, seconds=0.1).plan
    assert held.orders[0].finish == morning + 67


def test_a_small_gain_is_not_worth_moving_a_task() -> None:
    # The same, but an hour late counts for one: 60 minutes late, two tasks to move at 30 each would
    # be needed to save them, so nothing moves.
    shop = sanded(("1", 3), people=("ana",))
    held = make_plan(shop, now=NOW, seconds=0.1)
    late = build.order("2", 1, due=build.instant("2027-03-01 11:00"))
    found = replan(replace(shop, orders=(*shop.orders, late)), held, now=NOW, seconds=1.0)
    assert found.moved == 0
    assert found.plan.objective.weighted_late_min == 60


def test_a_mould_that_is_lost_moves_its_pulls_alone() -> None:
    # Two moulds, two pulls: filled on Monday, out on Tuesday. Mould 2 is lost before it begins.
    process = build.process(
        build.hands("fill", 10),
        build.alone("cure", 720),
        build.hands("demould", 5),
        holds=[build.hold("fill", "demould")],
    )
    shop = build.shop(
        process, [build.order(quantity=2)], people=[build.person("ana")],
        moulds=[build.moulds(2)], hours=DAYS,
    )  # fmt: skip
    held = make_plan(shop, now=NOW, seconds=0.1)
    family = shop.moulds["fin-mould"]
    left = replace(shop, moulds={"fin-mould": replace(family, moulds=family.moulds[:1])})
    found = replan(left, held, now=NOW)
    assert "mould fin-mould 2 is no longer there" in found.why.values()
    stay = [task for task in held.tasks if task.mould == "fin-mould 1"]
    assert set(stay) <= set(found.plan.tasks)
    # Tuesday the other is filled after the first is out, and is out on Wednesday 08:05.
    assert found.plan.orders[0].finish == NOW + 2 * 1440 + 5


@pytest.mark.parametrize("seed", range(20))
def test_nothing_moves_where_nothing_has_changed(seed: int) -> None:
    drawn = draw(Random(seed))
    held = make_plan(drawn.shop, now=drawn.now, seconds=math.inf, work_limit=2)
    for now in (drawn.now, drawn.now + held.objective.finish_min // 2):
        stands = what_stands(drawn.shop, held, now=now)
        assert (stands.moves, stands.gone) == ({}, frozenset())
        assert set(replan(drawn.shop, held, now=now).plan.tasks) == set(held.tasks)


@pytest.mark.parametrize("seed", range(20))
def test_a_plan_made_anew_keeps_every_rule_where_a_day_is_closed(seed: int) -> None:
    drawn = draw(Random(seed))
    held = make_plan(drawn.shop, now=drawn.now, seconds=math.inf, work_limit=2)
    closed = drawn.shop.hours.closed | {build.instant("2027-03-03 00:00").date()}
    changed = replace(drawn.shop, hours=replace(drawn.shop.hours, closed=closed))
    found = replan(changed, held, now=drawn.now)
    assert check_plan(changed, found.plan) == ()


def many(pulls: int) -> Shop:
    """Return four orders of a casting in eight moulds."""
    process = build.process(
        build.hands("reset", 5, skill="wet"),
        build.hands(
            "mix", 4, per="batch", material="resin", pot_life_until="load", skill="wet",
            batch_pulls=4,
        ),
        build.hands("load", 10, skill="wet"),
        build.alone("cure", 240),
        build.hands("demould", 6, skill="wet"),
        build.hands("trim", 8, per="part", skill="dry"),
        holds=[build.hold("reset", "demould")],
        structure=CastStructure(matrix="resin"),
    )  # fmt: skip
    return build.shop(
        process,
        [build.order(str(n), pulls // 4, due=build.instant("2027-09-01 08:00")) for n in range(4)],
        people=[build.person("ana", ("wet", "dry")), build.person("ben", ("wet", "dry"))],
        moulds=[build.moulds(8)],
        materials=[build.mixed(pot_life=60)],
        hours=build.opening(build.week("08:00-12:00 12:30-17:00")),
    )


def test_one_more_order_beside_200_pulls_moves_nothing_and_takes_no_longer_than_a_plan() -> None:
    shop = many(200)
    began = time.process_time()
    held = make_plan(shop, now=NOW, seconds=0.0)
    from_nothing = time.process_time() - began
    more = build.order("new", 8, due=build.instant("2027-04-01 08:00"))
    began = time.process_time()
    found = replan(replace(shop, orders=(*shop.orders, more)), held, now=NOW)
    beside = time.process_time() - began
    assert found.moved == 0
    assert found.kept == sum(1 for task in held.tasks if task.members)
    # Beside a plan from nothing in the same run, by the time this process had of the machine.
    assert beside < 4 * from_nothing


def fewer_moulds(shop: Shop) -> Shop:
    """Return the shop with the last mould of each kind lost."""
    families = {
        key: replace(family, moulds=family.moulds[: max(1, len(family.moulds) - 1)])
        for key, family in shop.moulds.items()
    }
    return replace(shop, moulds=families)


def test_a_mix_stays_with_who_is_left_in_it_where_a_mould_of_its_pulls_is_lost() -> None:
    # Four orders of two pulls of 20 x 5 x 100 mm of 1.1 g/cm3, so 11 g each, mixed for two at a
    # time: 22 g. The last mould is lost: its pull leaves its mix, which stays with one and 11 g.
    shop = many(8)
    held = make_plan(shop, now=NOW, seconds=0.0)
    mixes = [task for task in held.tasks if task.operation == "mix"]
    assert [task.mixed_g for task in mixes] == [pytest.approx(22.0)] * 4
    lost = next(task for task in held.tasks if task.mould == "fin-mould 8")
    found = replan(fewer_moulds(shop), held, now=NOW)
    again = [task for task in found.plan.tasks if task.operation == "mix"]
    for mix in mixes:
        same = next(task for task in again if task.start == mix.start)
        leaves = any(
            one.order == lost.members[0].order and set(one.pulls) & set(lost.members[0].pulls)
            for one in mix.members
        )
        assert same.people == mix.people
        assert same.mixed_g == pytest.approx(11.0 if leaves else 22.0)
    # Of the lost pull reset, load, cure, demould and trim: all else stays to the minute.
    assert (found.kept, found.moved) == (len(held.tasks) - 5 - 1, 5)


@pytest.mark.parametrize("seed", range(20))
def test_a_plan_made_anew_keeps_every_rule_where_moulds_are_lost(seed: int) -> None:
    drawn = draw(Random(seed))
    held = make_plan(drawn.shop, now=drawn.now, seconds=math.inf, work_limit=2)
    changed = fewer_moulds(drawn.shop)
    found = replan(changed, held, now=drawn.now)
    assert check_plan(changed, found.plan) == ()


def test_a_print_taken_as_begun_begins_anew_once_its_start_is_noted_later() -> None:
    # By hand: planned 08:00 start, 08:05 print for 445 min. A plan made at 09:00 takes both as
    # begun. The start is then noted from 10:00 to 10:05: the print runs from 10:05 to 17:30.
    process = build.process(
        build.hands("start", 5), build.alone("print", 445), build.hands("remove", 5)
    )
    shop = build.shop(
        process,
        [build.order(quantity=1)],
        people=[build.person("ana")],
        hours=build.opening(build.week("08:00-20:00")),
    )
    held = make_plan(shop, now=NOW, seconds=0.1)
    held = replan(shop, held, now=NOW + 60).plan
    log = BenchLog(NOW)
    log.started(held.tasks[0], 120)
    log.finished(held.tasks[0], 125)
    after = replan(log.kept_in(shop), held, now=NOW + 125).plan
    assert [(t.operation, t.start - NOW, t.end - NOW) for t in after.tasks] == [
        ("start", 120, 125),
        ("print", 125, 570),
        ("remove", 570, 575),
    ]


def test_a_plate_that_lost_a_part_begins_anew_and_the_other_plates_stay() -> None:
    # Three plates of two parts, one after another on one printer: start 5, print 60, remove 5,
    # then 10 minutes of sanding a part. Part 2 of the first plate is scrapped before it began:
    # that plate and the sanding of its part 1 are planned anew, and nothing of the other two is.
    process = build.process(
        build.hands("start", 5, per="batch", batch_parts=2),
        build.alone("print", 60, per="batch"),
        build.hands("remove", 5, per="batch"),
        build.hands("sand", 10, per="part"),
        holds=[build.hold("start", "remove", "printer")],
    )
    shop = build.shop(
        process,
        [build.order(str(number), 2) for number in (1, 2, 3)],
        people=[build.person("ana")],
        stations=[build.station("printer")],
    )
    held = make_plan(shop, now=NOW, seconds=0.0)
    log = BenchLog(NOW)
    first = min(held.tasks, key=lambda task: task.start).members[0].order
    log.note(Happening.SCRAPPED, 1, members=(LoggedMember(order=first, parts=(2,)),))
    found = replan(log.kept_in(shop), held, now=NOW + 1)
    others = {task for task in held.tasks if {m.order for m in task.members} != {first}}
    assert others
    assert others <= set(found.plan.tasks)
