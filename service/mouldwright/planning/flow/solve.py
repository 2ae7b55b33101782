"""Plan one instance: a plan at once, a better one while one waits, with its proof."""

from __future__ import annotations

import math
import random
from collections.abc import Callable

from mouldwright.planning.flow.anneal import Lead
from mouldwright.planning.flow.dispatch import Dispatcher
from mouldwright.planning.flow.instance import FlowInstance, FlowResult
from mouldwright.planning.flow.lateness import LatenessBound
from mouldwright.planning.flow.running import Bound, Run
from mouldwright.planning.flow.urgency import Keys

# A compiler's loading costs about half a second; smaller problems do as well without.
COMPILE_FROM_TASKS = 600
COMPILE_FROM_SECONDS = 2.5
# The prover gets nowhere on more tasks than this.
PROVE_UP_TO_TASKS = 500
# The easy ones are proven at once; the rest are annealed before they are tried again.
PROVE_FIRST_SHARE = 0.1
# The rest of a search of several orders, and so many passes where it ended early, go to
# letting orders finish earlier than their dates ask.
SETTLE_FROM = 0.9
SETTLE_PASSES = 300
# What the solver gets for that, of the time left, where it found the plan.
SETTLE_SHARE = 0.3
# A bound is worked on for so many askings for each pass of the least that is always made.
ASKED_SHARE = 0.1
# How many leads of the portfolio are annealed, and the share of the search they may use.
TRY_LEADS = 4
TRY_SHARE = 0.4


def solve_flow(
    instance: FlowInstance,
    *,
    seconds: float,
    seed: int,
    work_limit: int | None = None,
    least: int = 0,
    progress: Callable[[FlowResult], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> FlowResult:
    """Return the best plan found in the time allowed, and a bound on every plan.

    Args:
        instance: The problem.
        seconds: Most time to take, elapsed.
        seed: The same seed and work limit give the same plan, if time does not run out.
        work_limit: Most passes of the list scheduler; None leaves it to the time.
        least: Passes that are made whatever the clock says.
        progress: Told of the first plan and then of better ones.
        cancelled: Asked often; once it says True the best plan so far is returned.

    Raises:
        ValueError: if the openings given are too few or too short for all the work.
    """
    run = Run(
        instance,
        seconds=seconds,
        seed=seed,
        work_limit=work_limit,
        least=least,
        progress=progress,
        cancelled=cancelled,
    )
    lead = _first_plan(run)
    if seconds >= COMPILE_FROM_SECONDS and run.stages.tasks >= COMPILE_FROM_TASKS:
        _compile(run)
    targets = _find_bound(run)
    if not run.met or run.stages.orders > 1:
        _search(run, targets, [lead])
    run.report(now=True)
    return run.result()


def _first_plan(run: Run) -> Lead:
    """Make some plan with the simplest rule: dates first, moulds kept turning."""
    dates = {
        place: order.due if order.due is not None else run.instance.windows[-1][1]
        for place, order in enumerate(run.instance.orders)
    }
    keys = Keys(run.finish.units, dates)
    lead = run.search.lead(keys, keys.moulds_first())
    if lead is None:
        raise ValueError("the openings given are too few or too short for all the work")
    run.report(now=True)
    return lead


def _compile(run: Run) -> None:
    """Put the compiled loops in place of the plain ones, where a compiler is installed."""
    from mouldwright.planning.flow.compiled import compiled_deadlines, compiled_pass

    compiled = compiled_pass()
    if compiled is not None:
        run.search.use(Dispatcher(run.stages, compiled=compiled), arrays=True)
        run.finish.energy.compiled = compiled_deadlines()


def _find_bound(run: Run) -> dict[int, int]:
    """Prove a bound and return the ends it allows each order, as targets."""
    instance = run.instance
    finish, name = run.finish.finish(frozenset(range(run.stages.orders)))
    run.bound = _bound(instance, 0, finish, name)
    targets = dict.fromkeys(range(run.stages.orders), finish)
    if instance.lateness_weight > 0:
        lateness = LatenessBound(instance, run.finish)
        lateness.refine(_patience(run, until=0.2, work_share=1.0))
        run.bound = _bound(instance, lateness.value, finish, name)
        targets |= lateness.targets
    return targets


def _raise_bound(run: Run) -> dict[int, int] | None:
    """Choose all orders' ends at once, for a higher bound and better targets.

    Returns:
        By order, the end that the cheapest choice allows; None where nothing is gained.
    """
    best = run.search.best
    assert best is not None
    late = run.result().weighted_late_min
    if run.over or run.instance.lateness_weight == 0 or late <= run.bound.late:
        return None
    from mouldwright.planning.flow.dates import DatesBound

    dates = DatesBound(run.instance, run.finish, value=run.bound.late, most_late=late)
    stop = _patience(run, until=0.4, work_share=0.01)
    dates.refine(stop, seed=run.seed, work=min(4.0, max(0.2, 0.1 * run.seconds)))
    if dates.value > run.bound.late:
        run.bound = _bound(
            run.instance,
            dates.value,
            run.bound.finish,
            run.bound.name,
            "ends of all orders chosen together",
        )
    return {
        place: min(end, max(run.bound.finish, run.instance.orders[place].due or 0))
        for place, end in dates.targets.items()
    } or None


def _patience(run: Run, *, until: float, work_share: float) -> Callable[[], bool]:
    """Return what says stop: time for most runs, a count of askings for runs that repeat."""
    asked = 0

    def stop() -> bool:
        nonlocal asked
        asked += 1
        if run.work_limit is not None:
            return asked > run.work_limit * work_share or run.used() >= 1.0
        if run.least:
            # No pass is made meanwhile, by which the least of work would count.
            done = asked > ASKED_SHARE * run.least and run.elapsed >= run.seconds * until
            return done or run.told_to_stop
        return run.used(until) >= 1.0

    return stop


def _bound(
    instance: FlowInstance,
    late: int,
    finish: int,
    name: str,
    late_name: str = "sequences of orders, each set by hands and moulds",
) -> Bound:
    """Put the two parts of the objective together."""
    value = instance.lateness_weight * late + instance.finish_weight * (finish - instance.origin)
    if instance.lateness_weight * late > 0:
        name = late_name
    return Bound(value=value, late=late, finish=finish, name=name)


def _search(run: Run, targets: dict[int, int], leads: list[Lead]) -> None:
    """Look for the least value, then let the orders finish earlier where that costs nothing."""
    _seek(run, targets, leads)
    best = run.search.best
    assert best is not None
    if run.stages.orders == 1 or run.used() >= 1.0:
        return
    alike = [lead for lead in leads if lead.made.value <= best.value]
    if not alike:
        _prove(run, share=SETTLE_SHARE, settle=True)
        return
    last = run.search.passes + SETTLE_PASSES
    until = run.elapsed * (1.0 + SETTLE_SHARE) if run.work_limit is None else math.inf

    def stop() -> bool:
        over = run.search.passes >= last or run.elapsed >= until
        return run.used() >= 1.0 or (run.met and over)

    lead = min(alike, key=lambda lead: lead.made.spread)
    run.search.settle(lead, rng=random.Random(run.seed), stop=stop)


def _seek(run: Run, targets: dict[int, int], leads: list[Lead]) -> None:
    """Run the portfolio, anneal its best few briefly and the best of those for longer.

    What was met on the way is added to the leads.
    """
    for aims in _aims(run, targets):
        _try_rules(run, aims, leads)
    better = None if run.met or run.used() >= 1.0 else _raise_bound(run)
    if better is not None:
        _try_rules(run, better, leads)
    small = run.stages.tasks <= PROVE_UP_TO_TASKS
    # Of single pieces there are no units to pace and turn: all of it is the solver's.
    single = all(order.quantity == 1 for order in run.instance.orders)
    if small and not run.met and run.used() < 1.0:
        _prove(run, share=SETTLE_FROM if single else PROVE_FIRST_SHARE)
    if run.met or (small and single and not run.over):
        return
    leads.sort(key=lambda lead: (lead.made.value, lead.made.spread))
    first = leads[:TRY_LEADS]
    end = 0.15 if small else SETTLE_FROM if run.stages.orders > 1 else 1.0
    rng = random.Random(run.seed)
    tried = [
        _anneal(run, lead, rng, until=end * TRY_SHARE * (place + 1) / len(first), heat=0.05)
        for place, lead in enumerate(first)
    ]
    leads += tried
    if tried:
        best = min(tried, key=lambda lead: (lead.made.value, lead.made.spread))
        leads.append(_anneal(run, best, rng, until=end, heat=0.1))
    if small and not run.met and run.used() < 1.0:
        _prove(run, share=1.0 if run.stages.orders == 1 else SETTLE_FROM)


def _try_rules(run: Run, aims: dict[int, int], leads: list[Lead]) -> None:
    """Add a lead for every rule of the portfolio."""
    keys = Keys(run.finish.units, aims)
    for urgency in keys.portfolio():
        if run.used() >= 1.0 or run.met:
            return
        lead = run.search.lead(keys, urgency)
        if lead is not None:
            leads.append(lead)


def _aims(run: Run, targets: dict[int, int]) -> list[dict[int, int]]:
    """Return sets of ends to aim at: what is possible, what is asked, and between.

    Aiming an order at an end long before its date wastes hands that others need; aiming
    at the date itself leaves no room for what is not foreseen.
    """
    asked = {}
    for place, order in enumerate(run.instance.orders):
        date = run.bound.finish if order.due is None else order.due
        asked[place] = max(targets[place], min(run.bound.finish, date))
    between = {place: (targets[place] + asked[place]) // 2 for place in targets}
    return [targets] if asked == targets else [targets, asked, between]


def _anneal(run: Run, lead: Lead, rng: random.Random, *, until: float, heat: float) -> Lead:
    """Anneal until so much of the run's budget is used."""
    begin = run.search_share()
    if begin >= until:
        return lead

    def used() -> float:
        return (run.search_share() - begin) / (until - begin)

    return run.search.anneal(lead, rng=rng, used=used, bound=run.bound.value, heat=heat)


def _prove(run: Run, *, share: float, settle: bool = False) -> None:
    """Let constraint programming improve the plan or close the gap, in a share of what is left.

    Told to settle, it makes the orders finish earlier and the value no worse.
    """
    from mouldwright.planning.flow.prover import Prover

    if run.over:
        return
    best = run.search.best
    assert best is not None
    assert best.starts is not None
    prover = Prover(
        run.instance,
        run.finish.units,
        starts=best.starts,
        value=best.value,
        bound=run.bound.value,
        late_bound=run.bound.late,
        settle=settle,
    )
    seconds = share * (run.seconds - run.elapsed)
    if settle and run.met and run.work_limit is None:
        # What is proven in a moment is not waited for much longer.
        seconds = min(seconds, share * run.elapsed)
    proof = prover.solve(
        seconds=seconds,
        seed=run.seed,
        work=None if run.work_limit is None else share * run.work_limit / 1000,
        cancelled=run.cancelled,
    )
    if proof.starts is not None and (settle or proof.value < best.value):
        run.search.take(list(proof.starts), run.stages)
    if not settle and proof.bound > run.bound.value:
        run.bound = Bound(
            value=proof.bound,
            late=run.bound.late,
            finish=run.bound.finish,
            name="constraint solver",
        )
