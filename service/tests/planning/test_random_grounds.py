"""Whatever the rooms and sessions, plans keep their rules; tiny ones are the best there are.

By default a few dozen shops; ``MOULDWRIGHT_RANDOM_SHOPS=500`` draws so many.
"""

from __future__ import annotations

import math
import os
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_grounds import draw_grounded, draw_tiny_grounded
from random_shops import Drawn
from small_search import best_plan

from mouldwright.planning.check import check_plan
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan

SHOPS = int(os.environ.get("MOULDWRIGHT_RANDOM_SHOPS", "24"))


def plan_of(drawn: Drawn, tries: int) -> Plan:
    return make_plan(drawn.shop, now=drawn.now, seconds=math.inf, seed=1, work_limit=tries)


def value_of(plan: Plan) -> int:
    return plan.objective.weighted_late_min or plan.objective.finish_min


@pytest.mark.parametrize("seed", range(SHOPS))
def test_a_plan_on_any_ground_keeps_every_rule(seed: int) -> None:
    drawn = draw_grounded(Random(seed))
    plan = plan_of(drawn, 25)
    assert check_plan(drawn.shop, plan) == ()
    assert plan.bound is None or plan.bound <= value_of(plan)


@settings(max_examples=15, deadline=None)
@given(st.randoms(use_true_random=False))
def test_a_plan_on_ground_drawn_by_search_keeps_every_rule(rng: Random) -> None:
    drawn = draw_grounded(rng)
    plan = plan_of(drawn, 10)
    assert check_plan(drawn.shop, plan) == ()
    assert plan.bound is None or plan.bound <= value_of(plan)


# Trying every order of work takes a busy machine long for a few of them.
@pytest.mark.timeout(600)
@pytest.mark.parametrize("seed", range(SHOPS))
def test_a_tiny_shop_on_any_ground_is_planned_as_well_as_can_be(seed: int) -> None:
    drawn = draw_tiny_grounded(Random(seed))
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


@pytest.mark.parametrize("seed", range(SHOPS))
def test_a_plan_made_anew_amid_the_work_keeps_every_rule(seed: int) -> None:
    drawn = draw_grounded(Random(seed))
    plan = plan_of(drawn, 8)
    rng = Random(seed + 1)
    now = rng.choice(sorted({task.start for task in plan.tasks})) + rng.choice((1, 5, 30))
    begun = tuple(task for task in plan.tasks if task.start < now)
    again = make_plan(drawn.shop, now=now, seconds=math.inf, seed=1, work_limit=8, running=begun)
    assert check_plan(drawn.shop, again, running=begun) == ()
    assert again.bound is None or again.bound <= value_of(again)
