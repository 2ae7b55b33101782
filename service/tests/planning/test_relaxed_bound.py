"""What constraint programming says no plan can beat, never passes what some plan reaches."""

from __future__ import annotations

from random import Random

import builders as build
import pytest
from random_shops import Drawn, draw, draw_tiny
from small_search import best_plan

from mouldwright.planning.attempt import Engine
from mouldwright.planning.relaxed import NAME, is_small, relaxed_bound
from mouldwright.planning.run import make_plan

NOW = build.at("2027-03-01 08:00")


def engine_of(drawn: Drawn) -> Engine:
    return Engine.for_shop(drawn.shop, now=drawn.now)


def bound_under(engine: Engine, value: tuple[int, int]) -> int:
    return relaxed_bound(
        engine.problem,
        value,
        least=[0] * len(engine.problem.demands),
        seconds=1.0,
    )


@pytest.mark.parametrize("seed", range(24))
def test_it_never_passes_the_best_that_any_order_of_work_reaches(seed: int) -> None:
    drawn = draw_tiny(Random(seed))
    engine = engine_of(drawn)
    best = best_plan(drawn.shop, drawn.now)
    least = (best.weighted_late_min, best.finish_min)
    worst = max(engine.attempt(policy).value[:2] for policy in engine.portfolio())
    for known in {least, worst}:
        found = bound_under(engine, known)
        if known[0]:
            assert found <= least[0]
        else:
            assert found <= least[1]


@pytest.mark.parametrize("seed", range(30))
def test_it_never_passes_a_plan_of_a_shop_with_every_rule(seed: int) -> None:
    engine = engine_of(draw(Random(seed)))
    if not is_small(engine.problem):
        engine = engine_of(draw_tiny(Random(seed)))
    plans = sorted({engine.attempt(policy).value[:2] for policy in engine.portfolio()})
    found = bound_under(engine, plans[-1])
    if plans[-1][0]:
        assert found <= plans[0][0]
    elif plans[0][0] == 0:
        assert found <= plans[0][1]


def test_it_sees_that_hands_and_mould_meet_where_neither_alone_would_wait() -> None:
    # By hand. Two moulds, four pulls of filling 20, cure 30, emptying 20; one person all day long.
    # Hands alone: 4 x 40 = 160. Moulds alone: two rounds of 70 each, 140. Together: the first cure
    # ends at 50 at the earliest, when two are filled (at 40): 10 min with nothing to do for anyone,
    # and so again before the last is emptied: filled last at t, it is emptied from t + 30, and
    # what else there is to do in those 30 is one emptying, of 20. 160 + 10 + 10 = 180.
    process = build.process(
        build.hands("fill", 20),
        build.alone("cure", 30),
        build.hands("empty", 20),
        holds=[build.hold("fill", "empty")],
    )
    shop = build.shop(
        process, [build.order(quantity=4)], people=[build.person("ana")], moulds=[build.moulds(2)]
    )
    assert bound_under(Engine.for_shop(shop, now=NOW), (0, 300)) == 180
    plan = make_plan(shop, now=NOW, seconds=0.3)
    assert plan.objective.finish_min == 180


def test_a_plan_says_that_the_solver_gave_its_bound() -> None:
    # Of the first random shops one in which nothing else comes near: each order's own least finish
    # allows 33 weighted minutes late.
    drawn = draw(Random(5))
    plan = make_plan(drawn.shop, now=drawn.now, seconds=1.0)
    assert plan.bound_name == NAME
    assert plan.bound is not None
    assert 33 < plan.bound <= plan.objective.weighted_late_min
