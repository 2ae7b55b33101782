"""Random shops, a bench that has mishaps, and a plan made anew each time they are told."""

from __future__ import annotations

import math
from datetime import UTC, datetime
from random import Random

import pytest
from random_log import lived
from random_shops import draw
from written_log import BenchLog

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.record.log import Happening
from mouldwright.domain.record.mould_ledger import mould_ledgers
from mouldwright.domain.shop import Shop
from mouldwright.planning.logged.standing import as_it_stands
from mouldwright.planning.plan import Plan
from mouldwright.planning.replan import replan
from mouldwright.planning.run import make_plan


def begun_in(shop: Shop) -> dict[object, int]:
    """Return when each task was begun that was not stopped; work on a whole order left out.

    That is done once more where parts come after it.
    """
    whole = {
        operation.name
        for kind in (shop.processes, shop.sets)
        for each in kind.values()
        for operation in each.operations
        if operation.per == "order"
    }
    found: dict[object, int] = {}
    for entry in shop.log:
        if entry.task is None or not entry.task.members or entry.task.operation in whole:
            continue
        key = (entry.task.operation, tuple((m.order, m.pulls, m.parts) for m in entry.task.members))
        if entry.what is Happening.STARTED:
            found.setdefault(key, minute_of(entry.at))
        if entry.what is Happening.STOPPED:
            found.pop(key, None)
    return found


def shown(plan: Plan) -> dict[object, int]:
    return {
        (task.operation, tuple((m.order, m.pulls, m.parts) for m in task.members)): task.start
        for task in plan.tasks
    }


def counts_of_moulds(shop: Shop) -> dict[str, tuple[int, int]]:
    """What the planner takes each mould to have been through, and since it was conditioned."""
    return {
        family.name(mould): (mould.pulls, mould.pulls_since_conditioning)
        for family in shop.moulds.values()
        for mould in family.moulds
    }


def counts_in_ledgers(shop: Shop, now: int) -> dict[str, tuple[int, int]]:
    found = mould_ledgers(shop, at=datetime.fromtimestamp(now * 60, UTC))
    return {ledger.name: (ledger.pulls, ledger.since) for ledger in found}


@pytest.mark.parametrize("beside", [False, True])
@pytest.mark.parametrize("seed", range(100, 114))
def test_what_was_begun_stays_as_it_was_and_all_else_is_planned_by_the_rules(
    seed: int, *, beside: bool
) -> None:
    drawn, random = draw(Random(seed)), Random(seed)
    plan = make_plan(drawn.shop, now=drawn.now, seconds=math.inf, work_limit=2)
    log, now = BenchLog(drawn.now), drawn.now
    for _ in range(3):
        now += max(1, int(random.choice([0.2, 0.4, 0.6]) * max(plan.objective.finish_min, 2)))
        lived(drawn.shop, plan, now, random, log)
        shop = log.kept_in(drawn.shop)
        # The checker inside refuses anyone in two places, a lost mould used, starts too few.
        if beside:
            plan = replan(shop, plan, now=now, work_limit=2).plan
        else:
            plan = make_plan(shop, now=now, seconds=math.inf, work_limit=2)
        told = begun_in(shop)
        assert {key: shown(plan).get(key) for key in told} == told
        assert counts_of_moulds(as_it_stands(shop, now=now)) == counts_in_ledgers(shop, now)
