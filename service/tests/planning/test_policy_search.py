"""The search: repeatable, cancellable, never worse than where it began."""

from __future__ import annotations

import math
from random import Random

import builders as build
import pytest
from random_shops import draw

from mouldwright.domain.shop import Shop
from mouldwright.planning.attempt import Engine
from mouldwright.planning.improve.moves import Moves
from mouldwright.planning.improve.search import Limits, Report, first_plans, improve
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")


def batch_shop() -> Shop:
    """Return a shop with plates, pausable sanding and two orders: more than plain flow."""
    process = build.process(
        build.hands("start", 5, per="batch", batch_parts=3, skill="print"),
        build.alone("print", 40, each=135, per="batch"),
        build.hands("remove", 3, per="batch", skill="print"),
        build.hands("sand", 12, per="part", skill="finish", interruptible=True),
        holds=[build.hold("start", "remove", "printer")],
    )
    return build.shop(
        process,
        [build.order("1", 7, due=build.instant("2027-03-02 12:00")), build.order("2", 4)],
        people=[build.person("ana", ("print", "finish")), build.person("ben", ("finish",))],
        stations=[build.station("printer", 2)],
        hours=build.opening(build.week("08:00-12:00 13:00-17:00")),
    )


def test_the_same_seed_and_work_give_the_same_plan() -> None:
    plans = [
        make_plan(batch_shop(), now=NOW, seconds=math.inf, seed=7, work_limit=120) for _ in range(2)
    ]
    assert plans[0].tasks == plans[1].tasks
    assert plans[0].checked


@pytest.mark.parametrize("quantity", [1, 6], ids=["single pieces", "several units"])
def test_the_same_seed_and_work_give_the_same_plan_of_plain_flow(quantity: int) -> None:
    due = build.instant("2027-03-01 12:00")
    process = build.process(
        build.hands("fill", 20, station="press"),
        build.alone("cure", 60),
        build.hands("demould", 5),
        build.hands("trim", 15, per="part"),
        holds=[build.hold("fill", "demould")],
    )
    shop = build.shop(
        process,
        [build.order(str(n), quantity, due=due, weight=n) for n in (1, 2, 3)],
        people=[build.person("ana"), build.person("ben")],
        moulds=[build.moulds(2)],
        stations=[build.station("press")],
        hours=build.opening(build.week("08:00-12:00 13:00-17:00")),
    )
    plans = [make_plan(shop, now=NOW, seconds=math.inf, seed=7, work_limit=400) for _ in range(2)]
    assert plans[0].tasks == plans[1].tasks
    assert plans[0].objective == plans[1].objective


def test_more_work_never_gives_a_worse_plan() -> None:
    values = []
    for work in (1, 30, 200):
        plan = make_plan(batch_shop(), now=NOW, seconds=math.inf, seed=3, work_limit=work)
        values.append((plan.objective.weighted_late_min, plan.objective.finish_min))
    assert values == sorted(values, reverse=True)


def test_a_search_that_is_called_off_returns_the_best_so_far() -> None:
    asked = []

    def cancelled() -> bool:
        asked.append(True)
        return len(asked) > 3

    plan = make_plan(batch_shop(), now=NOW, seconds=math.inf, cancelled=cancelled)
    assert plan.checked
    assert len(asked) < 10


def test_progress_only_ever_gets_better() -> None:
    reports: list[Report] = []
    make_plan(
        batch_shop(), now=NOW, seconds=math.inf, seed=1, work_limit=150, progress=reports.append
    )
    bests = [report.best for report in reports]
    assert bests == sorted(bests, reverse=True)
    assert all(report.bound is not None and report.trying for report in reports)
    assert all(report.gap is not None and 0 <= report.gap < 1 for report in reports)


@pytest.mark.parametrize("seed", range(6))
def test_every_changed_policy_still_builds_a_whole_plan(seed: int) -> None:
    drawn = draw(Random(seed))
    engine = Engine.for_shop(drawn.shop, now=drawn.now)
    moves = Moves(engine.problem, engine.queues, engine.most)
    random = Random(seed)
    policy = next(engine.portfolio())
    wanted = len(engine.attempt(policy).progress.ends)
    for _ in range(25):
        policy = moves.change(policy, random, 2000, 50)
        assert sorted(policy.rank) == list(range(len(engine.queues.all)))
        attempt = engine.attempt(policy)
        ends = [end for lot in attempt.progress.ends for step in lot for end in step]
        assert len(attempt.progress.ends) == wanted
        assert min(ends) >= 0


def test_a_plan_that_is_sure_to_be_worse_is_given_up() -> None:
    engine = Engine.for_shop(batch_shop(), now=NOW)
    policy = next(engine.portfolio())
    assert engine.attempt_within(policy, (0, 1, 0)) is None
    assert engine.attempt_within(policy, engine.attempt(policy).value) is not None


def test_a_search_stops_where_no_plan_can_be_better() -> None:
    engine = Engine.for_shop(batch_shop(), now=NOW)
    start = engine.attempt(next(engine.portfolio()))
    limits = Limits(until=math.inf, tries=None, good_enough=start.value[:2])
    best = first_plans(engine, start, limits, lambda *_: None)
    assert best is start
    assert improve(engine, best, seed=1, limits=limits, report=lambda *_: None) is start
