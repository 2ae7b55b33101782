"""The odds of a plan: when each order is likely to be finished, from many runs of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from mouldwright.domain.estimate import Estimate, Floats, factor
from mouldwright.domain.promise.finish_odds import LimitPassed, OrderOdds, PlanOdds
from mouldwright.domain.shop import Shop
from mouldwright.planning.compiling import build_problem
from mouldwright.planning.odds.linking import Linker
from mouldwright.planning.odds.lots import facts_of
from mouldwright.planning.odds.network import Node
from mouldwright.planning.odds.outcomes import draw_outcome
from mouldwright.planning.odds.reading import Calendars, read_nodes
from mouldwright.planning.odds.remake import extra_nodes
from mouldwright.planning.odds.times import Times
from mouldwright.planning.odds.walk import Bools, Walk
from mouldwright.planning.plan import Plan
from mouldwright.planning.problem import Problem

RUNS = 1000
# Beyond the plan's own last end, hours are laid out for as long again and this much more.
_FURTHER_MIN = 400 * 1440
# Ends kept at once: 8 bytes each.
_MOST_ENDS = 12_000_000
_FEWEST_TOGETHER = 50


def odds_of(
    shop: Shop,
    plan: Plan,
    *,
    runs: int = RUNS,
    seed: int = 1,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> PlanOdds | None:
    """Return the odds of every order of a plan; None where it was cancelled.

    Args:
        shop: The shop the plan is of, with its open orders.
        plan: Every person, mould and unit takes its tasks in this order.
        runs: How often the plan is gone through, at least 1.
        seed: The same seed, the same answer.
        progress: Told how many runs are done, of how many.
        cancelled: Asked now and then.

    Raises:
        NotOfThisShop: if the plan has a task that the shop does not know.
        NotFound: if an order names what the shop does not have.
    """
    found = runs_of(shop, plan, runs=runs, seed=seed, progress=progress, cancelled=cancelled)
    if found is None:
        return None
    level = float(shop.odds.promise)
    return PlanOdds(
        runs=runs,
        seed=seed,
        level=level,
        limits_passed=found.limits_passed(),
        orders=tuple(
            OrderOdds.of(
                number=outcome.number,
                planned=outcome.finish,
                due=outcome.due,
                finishes=found.finishes[outcome.number] + plan.now,
                level=level,
            )
            for outcome in plan.orders
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Runs:
    """What came of every run.

    Attributes:
        finishes: By order, minutes from the plan's now; infinity beyond all hours laid out.
        passed: Which runs passed a greatest wait or a pot life, by process and operation.
    """

    finishes: dict[str, Floats]
    passed: dict[tuple[str, str], Bools]

    def limits_passed(self) -> tuple[LimitPassed, ...]:
        """Return the share of runs in which each limit was passed, the largest first."""
        found = [
            LimitPassed(process=process, operation=operation, share=round(float(runs.mean()), 4))
            for (process, operation), runs in self.passed.items()
        ]
        return tuple(sorted(found, key=lambda each: (-each.share, each.process, each.operation)))


def runs_of(
    shop: Shop,
    plan: Plan,
    *,
    runs: int,
    seed: int = 1,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Runs | None:
    """Return what comes of a plan in every run; None where it was cancelled.

    Arguments and errors as in :func:`odds_of`.
    """
    open_orders = {outcome.number for outcome in plan.orders}
    orders = [order for order in shop.orders if order.number in open_orders]
    last = max((task.end for task in plan.tasks), default=plan.now) - plan.now
    problem = build_problem(
        replace(shop, orders=tuple(orders)), now=plan.now, horizon=2 * last + _FURTHER_MIN
    )
    calendars = Calendars(problem)
    read_nodes(problem, plan, calendars)  # what does not fit is said before anything is drawn
    together = max(min(runs, _MOST_ENDS // max(len(plan.tasks), 1)), min(runs, _FEWEST_TOGETHER))
    found: list[Runs] = []
    done = 0
    for child in np.random.SeedSequence(seed).spawn(-(-runs // together)):
        count = min(together, runs - done)
        some = _some_runs(problem, plan, calendars, count, child, cancelled)
        if some is None:
            return None
        found.append(some)
        done += count
        if progress is not None:
            progress(done, runs)
    return _joined(found)


def _some_runs(
    problem: Problem,
    plan: Plan,
    calendars: Calendars,
    runs: int,
    seed: np.random.SeedSequence,
    cancelled: Callable[[], bool] | None,
) -> Runs | None:
    """Return what comes of so many runs."""
    of_parts, of_times = (np.random.default_rng(child) for child in seed.spawn(2))
    facts = facts_of(problem)
    outcomes = {
        each.lot.index: outcome
        for each in facts
        if (outcome := draw_outcome(each, runs, of_parts, problem.shop.service_level)) is not None
    }
    nodes = read_nodes(problem, plan, calendars)
    rounds = {lot: outcome.rounds for lot, outcome in outcomes.items() if outcome.rounds}
    nodes += extra_nodes(problem, facts, nodes, rounds)
    order = Linker(problem, facts, nodes).link()
    times = Times(
        estimate=_estimates(problem),
        common=of_times.standard_normal(runs),
        together=float(problem.shop.odds.together),
        rng=of_times,
    )
    walk = Walk(problem, facts, nodes, calendars.all, outcomes, times)
    if not walk.go(order, cancelled):
        return None
    finishes = {
        demand.number: np.maximum(np.max([walk.finish(lot) for lot in demand.lots], axis=0), 0.0)
        for demand in problem.demands
    }
    return Runs(finishes=finishes, passed=walk.passed)


def _joined(some: list[Runs]) -> Runs:
    """Return runs made apart as one."""
    names = dict.fromkeys(place for each in some for place in each.passed)
    counts = [len(next(iter(each.finishes.values()), np.zeros(0))) for each in some]
    return Runs(
        finishes={
            number: np.concatenate([each.finishes[number] for each in some])
            for number in some[0].finishes
        },
        passed={
            place: np.concatenate(
                [
                    each.passed.get(place, np.zeros(count, dtype=np.bool_))
                    for each, count in zip(some, counts, strict=True)
                ]
            )
            for place in names
        },
    )


def _estimates(problem: Problem) -> Callable[[Node], Estimate | None]:
    """Return what gives a node's factor on its planned minutes; None where that is certain."""
    policy = problem.shop.odds

    def estimate(node: Node) -> Estimate | None:
        operation = node.step.operation
        spread = operation.time_range
        if spread is None and operation.attended:
            spread = policy.time_range
        return factor(spread, policy.shape)

    return estimate
