"""Whatever the shop, the plan keeps its rules; a tiny shop's plan is the best there is.

Some are drawn plain, some with rooms, sessions and weather. By default a few dozen shops;
``MOULDWRIGHT_RANDOM_SHOPS=500`` draws so many.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_grounds import draw_grounded, draw_tiny_grounded
from random_shops import Drawn, draw, draw_tiny
from small_search import best_plan

from mouldwright.planning.check import check_plan
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.run import make_plan

SHOPS = int(os.environ.get("MOULDWRIGHT_RANDOM_SHOPS", "60"))
# Tiny shops whose best plan the search once missed.
MISSED = {66, 210, 260}
# Plans broken in many ways, and tasks of each broken in each way.
BROKEN_FROM = 12
BROKEN_EACH = 4


@dataclass(frozen=True)
class Draw:
    """How shops of one kind are drawn: of any size, or so tiny that all can be tried."""

    any: Callable[[Random], Drawn]
    tiny: Callable[[Random], Drawn]


DRAWS = {
    "plain": Draw(any=draw, tiny=draw_tiny),
    "rooms and weather": Draw(any=draw_grounded, tiny=draw_tiny_grounded),
}


def seeds(*more: int) -> list[tuple[str, int]]:
    """Return every kind with its seeds: three plain shops to two with rooms and weather."""
    plain = sorted({*range(SHOPS * 3 // 5), *more})
    return [
        *(("plain", seed) for seed in plain),
        *(("rooms and weather", seed) for seed in range(SHOPS - SHOPS * 3 // 5)),
    ]


def plan_of(drawn: Drawn, tries: int) -> Plan:
    """Return the plan of so many tries: however busy the machine, the same one every time."""
    return make_plan(drawn.shop, now=drawn.now, seconds=math.inf, seed=1, work_limit=tries)


def bounded_value(plan: Plan) -> int:
    return plan.objective.weighted_late_min or plan.objective.finish_min


@pytest.mark.parametrize(("ground", "seed"), seeds())
def test_every_plan_of_a_random_shop_keeps_every_rule(ground: str, seed: int) -> None:
    drawn = DRAWS[ground].any(Random(seed))
    plan = plan_of(drawn, 40)
    assert check_plan(drawn.shop, plan) == ()
    assert plan.bound is None or plan.bound <= bounded_value(plan)


# So many examples as are asked for take a busy machine long.
@pytest.mark.timeout(3600)
@pytest.mark.parametrize("ground", DRAWS)
@settings(max_examples=max(20, SHOPS // 2), deadline=None)
@given(rng=st.randoms(use_true_random=False))
def test_every_plan_of_a_shop_drawn_by_search_keeps_every_rule(ground: str, rng: Random) -> None:
    drawn = DRAWS[ground].any(rng)
    plan = plan_of(drawn, 15)
    assert check_plan(drawn.shop, plan) == ()
    assert plan.bound is None or plan.bound <= bounded_value(plan)


# Trying every order of work takes a busy machine long for a few of them.
@pytest.mark.parametrize(("ground", "seed"), seeds(*MISSED))
def test_a_tiny_shop_is_planned_as_well_as_any_order_of_work_allows(ground: str, seed: int) -> None:
    drawn = DRAWS[ground].tiny(Random(seed))
    best = best_plan(drawn.shop, drawn.now)
    least = (best.weighted_late_min, best.finish_min)
    reached = None
    for tries in (60, 600, 6000):
        plan = plan_of(drawn, tries)
        reached = (plan.objective.weighted_late_min, plan.objective.finish_min)
        assert reached >= least, "better than the best: the plan or the search misreads a rule"
        if plan.bound is not None and (reached[0] > 0) == (least[0] > 0):
            assert plan.bound <= (least[0] or least[1])
        if reached == least:
            break
    assert reached == least


@pytest.mark.parametrize(("ground", "seed"), seeds())
def test_a_plan_made_anew_amid_the_work_keeps_every_rule(ground: str, seed: int) -> None:
    drawn = DRAWS[ground].any(Random(seed))
    plan = plan_of(drawn, 8)
    rng = Random(seed + 1)
    now = rng.choice(sorted({task.start for task in plan.tasks})) + rng.choice((1, 5, 30))
    begun = tuple(task for task in plan.tasks if task.start < now)
    again = make_plan(drawn.shop, now=now, seconds=math.inf, seed=1, work_limit=8, running=begun)
    assert check_plan(drawn.shop, again, running=begun) == ()
    assert again.bound is None or again.bound <= bounded_value(again)


def test_the_same_shop_and_seed_give_the_same_plan() -> None:
    drawn = draw(Random(7))
    assert plan_of(drawn, 30).tasks == plan_of(drawn, 30).tasks


# Ways to break a plan that are always wrong, each from one of its tasks; None where the
# task is not of the kind. A plan broken so must never pass.


def left_out(task: Task) -> tuple[Task, ...]:
    return ()


def done_twice(task: Task) -> tuple[Task, ...]:
    return (task, task)


def a_minute_longer(task: Task) -> tuple[Task, ...]:
    *before, (start, end) = task.spans
    return (replace(task, spans=(*before, (start, end + 1))),)


def before_time_began(task: Task) -> tuple[Task, ...]:
    early = tuple((start - 100_000, end - 100_000) for start, end in task.spans)
    return (replace(task, spans=early),)


def short_of_hands(task: Task) -> tuple[Task, ...] | None:
    return (replace(task, people=task.people[1:]),) if task.people else None


def with_a_stranger(task: Task) -> tuple[Task, ...] | None:
    return (replace(task, people=("nobody", *task.people[1:])),) if task.people else None


def with_one_too_many(task: Task) -> tuple[Task, ...]:
    return (replace(task, people=(*task.people, "ana")),)


def on_no_mould(task: Task) -> tuple[Task, ...] | None:
    return (replace(task, mould=None),) if task.mould else None


def on_a_mould_there_is_not(task: Task) -> tuple[Task, ...] | None:
    return (replace(task, mould="fin-mould 99"),) if task.mould else None


def off_its_station(task: Task) -> tuple[Task, ...] | None:
    return (replace(task, stations=()),) if task.stations else None


def at_a_unit_there_is_not(task: Task) -> tuple[Task, ...] | None:
    if not task.stations:
        return None
    key = task.stations[0].rpartition(" ")[0]
    return (replace(task, stations=(f"{key} 99", *task.stations[1:])),)


def at_a_station_it_does_not_need(task: Task) -> tuple[Task, ...]:
    other = next(k for k in ("oven 1", "press 1") if k not in task.stations)
    return (replace(task, stations=(*task.stations, other)),)


def short_of_a_member(task: Task) -> tuple[Task, ...] | None:
    if not task.members:
        return None
    first = task.members[0]
    if len(first.pulls) > 1:
        first = replace(first, pulls=first.pulls[1:])
    elif len(first.parts) > 1:
        first = replace(first, parts=first.parts[1:])
    elif len(task.members) > 1:
        return (replace(task, members=task.members[1:]),)
    else:
        return None
    return (replace(task, members=(first, *task.members[1:])),)


def for_a_stranger(task: Task) -> tuple[Task, ...] | None:
    if not task.members:
        return None
    return (replace(task, members=(replace(task.members[0], order="99"),)),)


def a_cure_a_minute_late(task: Task) -> tuple[Task, ...] | None:
    if task.operation not in ("cure", "print"):
        return None
    return (replace(task, spans=tuple((start + 1, end + 1) for start, end in task.spans)),)


BREAKS: list[Callable[[Task], tuple[Task, ...] | None]] = [
    left_out,
    done_twice,
    a_minute_longer,
    before_time_began,
    short_of_hands,
    with_a_stranger,
    with_one_too_many,
    on_no_mould,
    on_a_mould_there_is_not,
    off_its_station,
    at_a_unit_there_is_not,
    at_a_station_it_does_not_need,
    short_of_a_member,
    for_a_stranger,
    a_cure_a_minute_late,
]


@cache
def right_plans() -> tuple[tuple[Drawn, Plan], ...]:
    """Return plans that pass, of shops of every kind."""
    drawn = [draw(Random(seed)) for seed in range(BROKEN_FROM)]
    return tuple((one, plan_of(one, 2)) for one in drawn)


def passes(drawn: Drawn, plan: Plan) -> bool:
    return check_plan(drawn.shop, plan) == ()


def few(plan: Plan, fit: Callable[[Task], bool]) -> list[Task]:
    """Return some of the tasks that fit, the same ones every time."""
    found = [task for task in plan.tasks if fit(task)]
    return Random(len(found)).sample(found, min(len(found), BROKEN_EACH))


@pytest.mark.parametrize("broken", BREAKS)
def test_a_broken_plan_never_passes(
    broken: Callable[[Task], tuple[Task, ...] | None],
) -> None:
    tried = 0
    for drawn, plan in right_plans():
        for task in few(plan, lambda task: broken(task) is not None):
            place = plan.tasks.index(task)
            instead = broken(task) or ()
            tasks = (*plan.tasks[:place], *instead, *plan.tasks[place + 1 :])
            assert not passes(drawn, replace(plan, tasks=tasks)), (drawn, task)
            tried += 1
    assert tried


def test_a_task_moved_before_what_it_follows_is_caught() -> None:
    """The last work on a part is put where the plan begins: nothing before it is done yet."""
    last = {"trim": "demould", "dry": "demould", "recoat": "coat", "dress": "bake", "cure": "load"}
    tried = 0
    for drawn, plan in right_plans():
        first = min(task.start for task in plan.tasks)
        for task in few(plan, lambda t, first=first: t.operation in last and t.start > first):
            early = replace(task, spans=((first, first + sum(b - a for a, b in task.spans)),))
            tasks = tuple(early if one is task else one for one in plan.tasks)
            assert not passes(drawn, replace(plan, tasks=tasks)), (drawn, task)
            tried += 1
    assert tried


@pytest.mark.parametrize("off", [-1, 1])
def test_figures_that_do_not_add_up_are_caught(off: int) -> None:
    for drawn, plan in right_plans():
        for place, outcome in enumerate(plan.orders):
            for wrong in (
                replace(outcome, finish=outcome.finish + off),
                replace(outcome, starts=outcome.starts + off),
                replace(outcome, due=(outcome.due or 0) + off),
                replace(outcome, number="99"),
            ):
                orders = (*plan.orders[:place], wrong, *plan.orders[place + 1 :])
                assert not passes(drawn, replace(plan, orders=orders))
        for name in ("weighted_late_min", "finish_min", "attended_min"):
            told = replace(plan.objective, **{name: getattr(plan.objective, name) + off})
            assert not passes(drawn, replace(plan, objective=told))
