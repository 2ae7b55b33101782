"""A worker works the odds of its plan out, keeps them, and leaves them out when stopped."""

from __future__ import annotations

from datetime import timedelta

from promise_bench import KEY, NOW

from mouldwright.planning.odds.simulate import odds_of
from mouldwright.planning.run import make_plan
from mouldwright.usecases.runs import Tending, ask_for_plan


def tended(bench, *, cancelled=lambda: False, odds=odds_of):
    bench.done(ask_for_plan, why="a test", now=NOW, chance=lambda: "run-1", seconds=0.1)
    run = bench.queue.claim("a worker", NOW, timedelta(minutes=5))
    tending = Tending(
        bench.units, bench.queue, written=bench.written, make_plan=make_plan, clock=lambda: NOW,
        chance=lambda: "r", odds=odds,
    )  # fmt: skip
    ended = tending.tend(run, cancelled=cancelled, lost=lambda: False)
    with bench.units.read(KEY) as unit:
        return ended, unit.plans.newest().plan


def test_the_odds_are_kept_with_the_plan(bench) -> None:
    ended, plan = tended(bench)
    assert ended.state == "done"
    assert plan.odds is not None
    assert plan.odds.runs == 1000
    assert [o.number for o in plan.odds.orders] == [o.number for o in plan.orders]


def test_a_run_that_is_stopped_meanwhile_keeps_its_plan_without_odds(bench) -> None:
    asked = []

    def stop_it() -> bool:
        return bool(asked)

    def odds(*args, cancelled, **more):
        asked.append(True)
        assert cancelled()
        return odds_of(*args, cancelled=cancelled, **more)

    ended, plan = tended(bench, cancelled=stop_it, odds=odds)
    assert ended.state == "cancelled"
    assert plan.odds is None
    assert plan.checked
