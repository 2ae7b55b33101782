"""Make a plan: compile, refuse what can never be, build, improve, bound, check."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Collection, Sequence
from dataclasses import replace

from mouldwright.domain.costing.material_wait import lacking_said, materials_lacking
from mouldwright.domain.errors import HardLimit, MouldwrightError
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.assemble import assemble
from mouldwright.planning.attempt import Attempt, Engine, Value
from mouldwright.planning.bound import Bound, bound_of
from mouldwright.planning.check import check_plan
from mouldwright.planning.explain import binds
from mouldwright.planning.flow.instance import FlowInstance, FlowResult
from mouldwright.planning.improve.search import Limits, Report, first_plans, improve
from mouldwright.planning.just_in_time import just_in_time
from mouldwright.planning.logged.missed import Missed, missed_said, windows_missed
from mouldwright.planning.materials import shortages_of
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.reduce import as_flow, from_flow, late_bound

# Share of the time that trying rules may take of a search among them.
RULES_SHARE = 0.35
# A search shorter than this leaves no time to ask a solver how good its plan is.
LEAST_SOLVED_S = 1.0
# A search of any length at all builds so many plans, of so many tasks together, whatever the clock
# says: about a quarter of a second's work. A busy machine answers later, then, and not worse.
LEAST_TRIES, LEAST_PLACED = 100, 5_000
# A pass over plain flow is some five times as fast.
FLOW_TIMES = 5
# Share of what time is left that the solver may take. Where that is too short to count on, it is
# given so much of what it counts as work instead: about as many seconds on a machine that is free.
SOLVED_SHARE, LEAST_SOLVER_S, LEAST_SOLVER_WORK = 0.6, 0.5, 0.5


class PlanRefused(MouldwrightError):
    """A plan was made that breaks a rule of the shop; it is a fault of the planner.

    Attributes:
        complaints: What the checker found.
    """

    def __init__(self, complaints: Sequence[str]) -> None:
        """Keep the complaints and say the first of them."""
        self.complaints = tuple(complaints)
        first = "\n".join(self.complaints[:20])
        super().__init__(f"the planner made a plan that fails its check:\n{first}")


def make_plan(
    shop: Shop,
    *,
    now: int,
    orders: Sequence[Order] | None = None,
    seconds: float = 5.0,
    seed: int = 1,
    work_limit: int | None = None,
    running: Sequence[Task] = (),
    pinned: Sequence[Task] = (),
    progress: Callable[[Report], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Plan:
    """Return the best plan found for a shop's open orders, bounded and checked.

    Args:
        shop: The workshop.
        now: Minutes since the epoch; nothing new starts before.
        orders: The orders to plan; None for all of the shop's.
        seconds: How long to look for better plans, after a little work that is always done;
            infinite where only work counts, 0 for the first plan.
        seed: Of the search; the same seed and work give the same plan.
        work_limit: How many plans to build at most; None for no limit.
        running: Tasks under way besides those the shop's log tells of, which stay exactly as they
            are; where the two differ, the log is right.
        pinned: Tasks still to come that stay so too, with all that goes before them: see
            ``planning.pinned``. They are judged like any other.
        progress: Told where the search stands whenever a plan was built for the portfolio
            or a better one was found.
        cancelled: Asked before every try; True ends the search with the best so far.

    Raises:
        HardLimit: if no plan can exist, or none that keeps what is pinned; with every reason.
        NotFound: if an order names what the shop does not have.
        PlanRefused: if the plan fails its check.
    """
    began = time.monotonic()
    kept = tuple(dict.fromkeys((*running, *pinned)))
    fixed = set(pinned)
    engine, best, missed = _first(shop, now, orders, kept, fixed)
    under_way = tuple(task for task in engine.problem.running if task not in fixed)
    bound = bound_of(engine.problem, engine.untouched(), _running_ends(engine))
    engine.least_finish = bound.order_finish
    limits = Limits(
        until=began + seconds if seconds < math.inf else math.inf,
        tries=work_limit,
        good_enough=(bound.weighted_late_min, bound.finish_min, _finishes_bound(engine, bound)),
        cancelled=cancelled,
        rules_until=began + RULES_SHARE * seconds if seconds < math.inf else math.inf,
        least=_least_tries(len(best.tasks)) if seconds > 0 else 0,
    )

    def report(best: Attempt, trying: str) -> None:
        if progress is not None:
            progress(_report(best.value, bound, trying, engine.count))

    report(best, best.policy.name)
    flow = as_flow(engine.problem, best.value[1])
    if flow is None:
        best = first_plans(engine, best, limits, report)
        best, bound = _improve_small(engine, best, bound, limits, seed, seconds, report)
        best = improve(engine, best, seed=seed, limits=_until(limits, bound), report=report)
    elif not limits.reached(best.value, engine.count):
        best, bound = _improve_flow(engine, flow, best, bound, limits, seed, progress)
    value, name = _bound_for(best.value, bound)
    complaints: Sequence[str] = ()
    # As late as it may be where that passes the check, else as it was found.
    for tasks in (just_in_time(engine.problem, best.tasks), best.tasks):
        plan = assemble(engine.problem, tasks, best.progress, engine.unit_names)
        plan = replace(plan, bound=value, bound_name=name)
        complaints = check_plan(shop, plan, running=under_way)
        if not complaints:
            break
    if complaints and pinned:
        raise HardLimit([f"What is pinned cannot be kept: {c}" for c in complaints[:20]])
    if complaints:
        raise PlanRefused(complaints)
    standing = engine.problem.shop
    causes = binds(standing if orders is None else replace(standing, orders=tuple(orders)), plan)
    outcomes = tuple(
        replace(outcome, binds=why) for outcome, why in zip(plan.orders, causes, strict=True)
    )
    all_begun = (*kept, *engine.problem.running)
    begun = frozenset(member.order for task in all_begun for member in task.members)
    planned = shop.orders if orders is None else orders
    shortages = shortages_of(shop, planned, now, begun)
    lacking = materials_lacking(shop, planned, now=now, begun=begun)
    return replace(
        plan,
        orders=outcomes,
        checked=True,
        shortages=shortages,
        cautions=(*missed_said(engine.problem, missed), *lacking_said(shop, lacking)),
    )


def _first(
    shop: Shop,
    now: int,
    orders: Sequence[Order] | None,
    kept: Sequence[Task],
    pinned: Collection[Task],
) -> tuple[Engine, Attempt, dict[Missed, int]]:
    """Return a problem, a first plan of it, and what of it is taken as done for want of hours.

    Where what has begun cannot go on in time in anyone's hours, what must follow it soon is
    taken as done in time: the log will say otherwise.
    """
    missed: dict[Missed, int] = {}
    try:
        while True:
            engine = Engine.for_shop(shop, now=now, orders=orders, running=kept, missed=missed)
            first = engine.attempt(next(engine.portfolio()))
            more = windows_missed(engine.problem, first.tasks, pinned) if shop.log else {}
            if more.keys() <= missed.keys():
                return engine, first, missed
            missed.update(more)
    except HardLimit:
        if not shop.log:
            raise
        engine = Engine.for_shop(shop, now=now, orders=orders, running=kept, all_that_wait=True)
        return engine, engine.attempt(next(engine.portfolio())), {}


def _improve_small(
    engine: Engine,
    best: Attempt,
    bound: Bound,
    limits: Limits,
    seed: int,
    seconds: float,
    report: Callable[[Attempt, str], None],
) -> tuple[Attempt, Bound]:
    """Return a better plan of a small shop, and what constraint programming proves of it.

    Nothing where only work counts, or there is too little time to ask a solver.
    """
    if not LEAST_SOLVED_S <= seconds < math.inf or limits.proven(best.value):
        return best, bound
    from mouldwright.planning.relaxed import NAME, is_small, relaxed_bound

    if not is_small(engine.problem):
        return best, bound
    half = replace(limits, until=(time.monotonic() + limits.until) / 2)
    best = improve(engine, best, seed=seed, limits=half, report=report)
    unhurried = replace(limits, until=math.inf)
    if limits.proven(best.value) or unhurried.reached(best.value, engine.count):
        return best, bound
    left = (limits.until - time.monotonic()) * SOLVED_SHARE
    hurried = left < LEAST_SOLVER_S
    found = relaxed_bound(
        engine.problem,
        best.value[:2],
        least=bound.order_finish,
        seconds=math.inf if hurried else left,
        seed=seed,
        work=LEAST_SOLVER_WORK if hurried else None,
        cancelled=limits.cancelled,
    )
    if best.value[0] and found > bound.weighted_late_min:
        bound = replace(bound, weighted_late_min=found, late_name=NAME)
    elif not best.value[0] and found > bound.finish_min:
        bound = replace(bound, finish_min=found, finish_name=NAME)
    return best, bound


def _least_tries(tasks: int) -> int:
    """Return how many plans of so many tasks are built whatever the clock says."""
    return min(LEAST_TRIES, LEAST_PLACED // max(tasks, 1))


def _until(limits: Limits, bound: Bound) -> Limits:
    """Return limits that know of a bound what it has come to."""
    reached = (bound.weighted_late_min, bound.finish_min, *limits.good_enough[2:])
    return replace(limits, good_enough=reached)


def _improve_flow(
    engine: Engine,
    flow: FlowInstance,
    best: Attempt,
    bound: Bound,
    limits: Limits,
    seed: int,
    progress: Callable[[Report], None] | None,
) -> tuple[Attempt, Bound]:
    """Return the better of a plan and what the flow's own search finds, with its proof."""
    from mouldwright.planning.flow.solve import solve_flow

    attended = best.value[3]

    def report(found: FlowResult) -> None:
        if progress is not None:
            value = (found.weighted_late_min, found.finish_min, found.finishes, attended)
            bounded = _with_flow(bound, flow, found)
            progress(_report(value, bounded, "search of the flow", engine.count))

    left = limits.until - time.monotonic()
    result = solve_flow(
        flow,
        seconds=left,
        seed=seed,
        work_limit=None if limits.tries is None else max(limits.tries - engine.count, 1),
        least=FLOW_TIMES * limits.least,
        progress=report,
        cancelled=limits.cancelled,
    )
    found = from_flow(engine.problem, result.starts)
    return min(best, found, key=lambda a: a.value), _with_flow(bound, flow, result)


def _finishes_bound(engine: Engine, bound: Bound) -> int:
    """Return a bound on the sum over orders of weight x finish: each order's own."""
    return sum(
        demand.weight * finish
        for demand, finish in zip(engine.problem.demands, bound.order_finish, strict=True)
    )


def _with_flow(bound: Bound, flow: FlowInstance, result: FlowResult) -> Bound:
    """Return the bounds with what a flow's bound adds to them."""
    late = late_bound(flow, result.bound)
    if late > bound.weighted_late_min:
        bound = replace(bound, weighted_late_min=late, late_name=result.bound_name)
    # The finish is asked about only of plans that are nowhere late.
    if result.bound > bound.finish_min and result.bound < flow.lateness_weight:
        bound = replace(bound, finish_min=result.bound, finish_name=result.bound_name)
    return bound


def _running_ends(engine: Engine) -> list[int]:
    """Return, for each order, the last end of its running tasks; 0 where it has none."""
    problem = engine.problem
    ends: dict[str, int] = {}
    for task in problem.running:
        for member in task.members:
            end = task.end - problem.now
            ends[member.order] = max(ends.get(member.order, end), end)
    return [ends.get(demand.number, 0) for demand in problem.demands]


def _bound_for(best: Value, bound: Bound) -> tuple[int, str]:
    """Return the bound on the first part of the objective that is not zero."""
    if best[0]:
        return bound.weighted_late_min, bound.late_name
    return bound.finish_min, bound.finish_name


def _report(best: Value, bound: Bound, trying: str, tries: int) -> Report:
    value, _ = _bound_for(best, bound)
    first = best[0] or best[1]
    return Report(
        best=best,
        bound=value,
        gap=(first - value) / first if first else 0.0,
        trying=trying,
        tries=tries,
    )
