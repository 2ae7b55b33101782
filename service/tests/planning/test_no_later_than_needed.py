"""Orders finish as early as the last one allows; moulds are taken when they are wanted."""

from __future__ import annotations

import math
from dataclasses import replace
from random import Random

import builders as build
import pytest
from random_shops import draw

from mouldwright.domain.shop import Shop
from mouldwright.planning.assemble import assemble, objective_of
from mouldwright.planning.attempt import Engine
from mouldwright.planning.check import check_plan
from mouldwright.planning.just_in_time import just_in_time
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")


def planned(shop: Shop, tries: int = 300) -> Plan:
    return make_plan(shop, now=NOW, seconds=math.inf, seed=1, work_limit=tries)


def finishes(plan: Plan) -> dict[str, int]:
    return {outcome.number: outcome.finish - NOW for outcome in plan.orders}


def sanded(weight: int, *, interruptible: bool) -> Shop:
    """Return an hour's order and a two hours' order, for one person who is always in."""
    sand = {"per": "part", "interruptible": interruptible}
    return build.shop(
        [
            build.process(build.hands("sand", 120, **sand), key="long"),
            build.process(build.hands("rub", 60, **sand), key="short"),
        ],
        [
            build.order("1", process="long", weight=weight),
            build.order("2", process="short"),
        ],
        people=[build.person("ana")],
    )


@pytest.mark.parametrize("interruptible", [False, True], ids=["plain flow", "all rules"])
def test_of_two_orders_without_a_date_the_short_one_is_first(interruptible: bool) -> None:
    # By hand: all ends at 180 whichever is first; 60 + 180 is less than 120 + 180.
    assert finishes(planned(sanded(1, interruptible=interruptible))) == {"1": 180, "2": 60}


@pytest.mark.parametrize("interruptible", [False, True], ids=["plain flow", "all rules"])
def test_an_order_that_weighs_more_is_first_though_it_is_long(interruptible: bool) -> None:
    # By hand: 5 x 120 + 180 = 780 is less than 60 + 5 x 180 = 960.
    assert finishes(planned(sanded(5, interruptible=interruptible))) == {"1": 120, "2": 180}


def test_an_order_with_slack_does_not_wait_for_its_date() -> None:
    # By hand: 2 is due in a week, and 1 ends at 180 at the soonest if 2 is first, which is all
    # the same to the last finish and earlier for 2.
    shop = sanded(1, interruptible=False)
    long, short = shop.orders
    due = build.instant("2027-03-08 08:00")
    shop = build.shop(
        list(shop.processes.values()),
        [
            build.order("1", process="long", due=due),
            build.order("2", process="short", due=due),
        ],
        people=[build.person("ana")],
    )
    assert (long.number, short.number) == ("1", "2")
    assert finishes(planned(shop)) == {"1": 180, "2": 60}


def pressed(**more: object) -> Shop:
    """Return one pull: reset 10, load 20 by someone who comes at 13:00, cure, take out."""
    process = build.process(
        build.hands("reset", 10, skill="reset", **more),
        build.hands("load", 20, skill="load"),
        build.alone("cure", 60),
        build.hands("demould", 5, skill="load"),
        holds=[build.hold("reset", "demould")],
    )
    return build.shop(
        process,
        [build.order()],
        people=[
            build.person("ana", ("reset",), build.week("08:00-17:00")),
            build.person("ben", ("load",), build.week("13:00-17:00")),
        ],
        moulds=[build.moulds(1)],
    )


def starts(plan: Plan) -> dict[str, int]:
    return {task.operation: task.start - NOW for task in plan.tasks}


def test_a_mould_is_reset_just_before_it_is_loaded() -> None:
    # By hand: loaded at 13:00, 300 min from 08:00; reset 12:50 to 13:00.
    plan = planned(pressed())
    assert starts(plan) == {"reset": 290, "load": 300, "cure": 320, "demould": 380}
    assert plan.checked


def test_a_mould_is_reset_in_the_last_free_time_of_who_resets_it() -> None:
    # By hand: a second order keeps Ana from 12:00 to 14:00, so the reset ends at 12:00.
    shop = pressed()
    count = build.process(build.hands("count", 120, skill="reset", per="part"), key="count")
    shop = build.shop(
        [*shop.processes.values(), count],
        [
            *shop.orders,
            build.order("2", process="count", release=build.instant("2027-03-01 12:00")),
        ],
        people=list(shop.people.values()),
        moulds=list(shop.moulds.values()),
    )
    assert starts(planned(shop)) == {
        "reset": 230, "count": 240, "load": 300, "cure": 320, "demould": 380,
    }  # fmt: skip


@pytest.mark.parametrize("seed", range(40))
def test_done_just_in_time_a_plan_keeps_every_rule_and_is_worth_the_same(seed: int) -> None:
    drawn = draw(Random(seed))
    engine = Engine.for_shop(drawn.shop, now=drawn.now)
    attempt = engine.attempt(next(engine.portfolio()))
    later = just_in_time(engine.problem, attempt.tasks)
    plan = assemble(engine.problem, later, attempt.progress, engine.unit_names)
    assert check_plan(drawn.shop, plan) == ()
    assert objective_of(engine.problem, later) == objective_of(engine.problem, attempt.tasks)
    for before, after in zip(attempt.tasks, later, strict=True):
        assert after.start >= before.start
        assert after.people == before.people


def test_of_moulds_that_wait_alike_the_one_with_most_pulls_left_is_emptied_first() -> None:
    # By hand, in from 08:00 to 11:00, curing 20 h: mould 1 is filled 08-09 on Monday; mould 2
    # must be waxed first by Ben, who comes 09-10, and is filled 10-11. Both wait for hands on
    # Tuesday at 08:00, mould 1 since 05:00 and mould 2 since 07:00; but mould 2 has three more
    # pulls to do and mould 1 one. From then on mould 2 is emptied 08-09 and filled 09-10 day by
    # day, which leaves 10-11 for mould 1; its fourth is emptied on Friday by 09:00, 4 x 1440 +
    # 60.
    process = build.process(
        build.hands("fill", 60, skill="fill"),
        build.alone("cure", 1200),
        build.hands("empty", 60, skill="fill"),
        holds=[build.hold("fill", "empty")],
        conditioning=build.hands("wax", 60, per="conditioning", skill="wax"),
    )
    moulds = build.moulds(2, life_pulls=14, conditioned_every_pulls=10)
    first, second = moulds.moulds
    first = replace(first, pulls=12, pulls_since_conditioning=2)
    second = replace(second, pulls=10, pulls_since_conditioning=10)
    shop = build.shop(
        process,
        [build.order(quantity=6)],
        people=[
            build.person("ana", ("fill",)),
            build.person("ben", ("wax",), build.week("09:00-10:00")),
        ],
        moulds=[replace(moulds, moulds=(first, second))],
        hours=build.opening(build.week("08:00-11:00")),
    )
    plan = make_plan(shop, now=NOW, seconds=math.inf, seed=1, work_limit=1)
    emptied = [task for task in plan.tasks if task.operation == "empty"]
    assert (emptied[0].mould, emptied[0].start - NOW) == ("fin-mould 2", 1440)
    assert plan.objective.finish_min == plan.bound == 4 * 1440 + 60
