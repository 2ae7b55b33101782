"""Runs: asked for, watched, stopped; and taken up by a worker, which makes and keeps the plan."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from mouldwright.domain.errors import Conflict, Fault, HardLimit, InvalidInput, NotFound
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.promise.finish_odds import PlanOdds
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.booked_shop import basis_of, read_booked
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_run import FROM_NOTHING, KeptPlan, Run, RunProgress
from mouldwright.usecases.pinned_plan import kept_by_pins, plan_that_holds
from mouldwright.usecases.ports import Chance, Clock, Written
from mouldwright.usecases.promise_ports import PromiseUnits, PromiseWriting, RunQueue
from mouldwright.usecases.search_trail import Trail

if TYPE_CHECKING:  # the search itself is slow to import, and only a worker needs it
    from mouldwright.planning.improve.search import Report

LONGEST_SECONDS = 600.0
REPORT_EVERY = timedelta(seconds=0.25)

# Makes a plan: shop, now, seconds, seed, progress, cancelled.
MakePlan = Callable[..., Plan]
# Answers a question at length: run, shop, now, what is kept, progress, cancelled; as JSON.
Answer = Callable[..., str]
# Works out the odds of a plan: shop, plan, runs, progress, cancelled.
WorkOutOdds = Callable[..., PlanOdds | None]
# How often a plan is gone through for its odds: less often where it is long.
USUAL_RUNS, FEWER_RUNS, MANY_TASKS = 1000, 200, 20_000


def ask_for_plan(
    unit: PromiseWriting,
    *,
    why: str,
    now: datetime,
    chance: Chance,
    seconds: float = 10.0,
    seed: int = 1,
    publishes: bool = True,
    keeps: bool = True,
) -> Run:
    """Queue a plan of all that is booked; one that waits already will do.

    A run reads what is booked when it is taken up, not when it is asked for.

    Raises:
        InvalidInput: if it should take longer than ``LONGEST_SECONDS`` or no time at all.
    """
    if not 0 < seconds <= LONGEST_SECONDS:
        raise InvalidInput(
            [
                Fault(
                    path="seconds",
                    value=str(seconds),
                    problem="that is no time to plan for.",
                    remedy=f"Give more than 0 and at most {LONGEST_SECONDS:.0f}.",
                )
            ]
        )
    return unit.runs.ask(
        Run(
            id=chance(),
            shop=unit.shop,
            state="waiting",
            why=why,
            seconds=seconds,
            seed=seed,
            asked_at=now,
            publishes=publishes,
            ask="" if keeps else FROM_NOTHING,
        )
    )


def publish(unit: PromiseWriting, run_id: str, *, now: datetime) -> KeptPlan:
    """Let the best plan of a run hold, whether the run has ended or not.

    Where that plan holds already it is returned as it is.

    Args:
        unit: Keeps it; commits nothing.
        run_id: Which run.
        now: Zone-aware.

    Raises:
        Unknown: if there is no such run.
        Conflict: if it has no plan yet, or left none; or if the shop or its orders have
            changed since it began.
    """
    run = unit.runs.by_id(run_id)
    best = unit.runs.best(run_id)
    if best is None or run.basis is None:
        raise Conflict(
            "This run has no plan.",
            remedy="Ask for another." if run.ended else "Wait until it has a first one.",
            stands=run.state,
        )
    if run.basis != basis_of(unit):
        raise Conflict(
            "The shop or its orders have changed since this run began, so its plan no longer fits.",
            remedy="Ask for a new plan.",
            stands="stale",
        )
    with suppress(Unknown):
        holds = unit.plans.newest()
        if holds.run == run.id and holds.plan == best:
            return holds
    return unit.plans.keep(best, basis=run.basis, run=run.id, at=now)


class Tending:
    """What a worker does with one run: plan quickly, keep that, then look for better.

    A first plan is kept at once, so that there is one whenever the run is stopped or its
    worker is lost.
    """

    def __init__(
        self,
        units: PromiseUnits,
        queue: RunQueue,
        *,
        written: Written,
        make_plan: MakePlan,
        clock: Clock,
        chance: Chance,
        answer: Answer | None = None,
        odds: WorkOutOdds | None = None,
    ) -> None:
        """Keep what it works with.

        Without ``answer`` it takes up no question; without ``odds`` plans are kept without any.
        """
        self._units, self._queue, self._chance = units, queue, chance
        self._answer = answer
        self._written, self._make_plan, self._clock = written, make_plan, clock
        self._odds = odds

    def tend(self, run: Run, *, cancelled: Callable[[], bool], lost: Callable[[], bool]) -> Run:
        """Carry a claimed run to its end, and publish its plan if that still fits and is wanted.

        Args:
            run: As claimed.
            cancelled: Whether to stop with the best so far.
            lost: Whether another worker has it meanwhile; then nothing is kept.

        Raises:
            Exception: whatever planning raises beyond a hard limit; the run is then given
                back by the one who called.
        """
        try:
            read = read_booked(self._units, run.shop, self._written)
            run = replace(run, basis=read.basis)
            self._queue.began(run, read.basis)
            if not run.is_plan:
                return self._answered(run, read.without(), cancelled, lost)
            plan = self._search(run, read.without(), cancelled)
        except (HardLimit, InvalidInput) as limit:
            return self._end(replace(run, state="impossible", problems=_reasons(limit)))
        except NotFound as gone:
            return self._end(replace(run, state="impossible", problems=(str(gone),)))
        if lost():
            return run
        return self._publish(run, plan, cancelled=cancelled())

    def _answered(
        self, run: Run, shop: Shop, cancelled: Callable[[], bool], lost: Callable[[], bool]
    ) -> Run:
        """Answer a question at length and keep the answer, whatever has changed meanwhile."""
        if self._answer is None:
            raise ValueError(f"nobody answers {run.subject}")
        now = minute_of(self._clock())

        def told(done: int, total: int, what: str) -> None:
            self._queue.report(
                run,
                RunProgress(
                    weighted_late_min=0,
                    finish_min=0,
                    attended_min=0,
                    bound=None,
                    gap=None,
                    trying=what,
                    tries=done,
                    done=done,
                    total=total,
                ),
            )

        kept = kept_by_pins(self._units, run.shop, shop, now=now)
        answer = self._answer(
            run,
            shop,
            now=now,
            kept=kept,
            held=lambda: plan_that_holds(self._units, run.shop),
            progress=told,
            cancelled=cancelled,
        )
        if lost():
            return run
        self._queue.keep_answer(run, answer)
        return self._end(replace(run, state="cancelled" if cancelled() else "done"))

    def _search(self, run: Run, shop: Shop, cancelled: Callable[[], bool]) -> Plan:
        now = minute_of(self._clock())
        kept = kept_by_pins(self._units, run.shop, shop, now=now)
        held = self._held(run)
        trail = Trail(self._clock)
        first = self._plan(shop, held, now=now, seconds=0.0, seed=run.seed, **kept)
        self._queue.keep_best(run, first)
        trail.first(first)
        if cancelled():
            return first
        told = self._clock() - REPORT_EVERY
        last: Report | None = None

        def report(progress: Report) -> None:
            # Each report is a write to the disk, and a search may improve a thousand times.
            nonlocal told, last
            last = progress
            trail.note(progress)
            if self._clock() - told >= REPORT_EVERY:
                told = self._clock()
                self._queue.report(run, progress_of(progress, trail))

        better = self._plan(
            shop,
            held,
            now=now,
            seconds=run.seconds,
            seed=run.seed,
            progress=report,
            cancelled=cancelled,
            **kept,
        )
        if last is not None:
            self._queue.report(run, progress_of(last, trail))
        # Where a plan is kept to, the later one has weighed already what moving is worth.
        plan = min(first, better, key=_value) if held is None else better
        if plan is not first:
            self._queue.keep_best(run, plan)
        progress = progress_of(last, trail) if last is not None else None
        odds = self._odds_of(run, shop, plan, progress, cancelled)
        if odds is not None:
            plan = replace(plan, odds=odds)
            self._queue.keep_best(run, plan)
        return plan

    def _held(self, run: Run) -> Plan | None:
        """Return the plan that holds, where what stands of it is to be kept."""
        return plan_that_holds(self._units, run.shop) if run.keeps else None

    def _plan(self, shop: Shop, held: Plan | None, **how: Any) -> Plan:
        if held is None:
            return self._make_plan(shop, **how)
        # The planner is slow to import, and only a worker needs it.
        from mouldwright.planning.replan import replan

        return replan(shop, held, make=self._make_plan, **how).plan

    def _odds_of(
        self,
        run: Run,
        shop: Shop,
        plan: Plan,
        progress: RunProgress | None,
        cancelled: Callable[[], bool],
    ) -> PlanOdds | None:
        """Return the odds of a plan; None where the run is stopped meanwhile."""
        if self._odds is None or not plan.orders:
            return None
        told = self._clock()

        def report(done: int, of: int) -> None:
            nonlocal told
            if progress is not None and self._clock() - told >= REPORT_EVERY:
                told = self._clock()
                trying = f"going through the plan, {done} of {of} times"
                self._queue.report(run, replace(progress, trying=trying))

        many = len(plan.tasks) > MANY_TASKS
        return self._odds(
            shop,
            plan,
            runs=FEWER_RUNS if many else USUAL_RUNS,
            progress=report,
            cancelled=cancelled,
        )

    def _publish(self, run: Run, plan: Plan, *, cancelled: bool) -> Run:
        """Keep the plan as the newest, unless what it was made from has changed since."""
        now = self._clock()
        with self._units.write(run.shop) as unit:
            basis = basis_of(unit)
            if basis != run.basis:
                ended = replace(run, state="stale", problems=(_STALE,))
                if unit.runs.end(ended, now):
                    ask_for_plan(
                        unit,
                        why=run.why,
                        now=now,
                        chance=self._chance,
                        seconds=run.seconds,
                        seed=run.seed,
                        publishes=run.publishes,
                        keeps=run.keeps,
                    )
                    unit.commit()
                return ended
            kept = None
            if run.publishes:
                kept = unit.plans.keep(plan, basis=basis, run=run.id, at=now)
            ended = replace(
                run,
                state="cancelled" if cancelled else "done",
                plan_version=None if kept is None else kept.version,
            )
            if unit.runs.end(ended, now):
                unit.commit()
        return ended

    def _end(self, run: Run) -> Run:
        with self._units.write(run.shop) as unit:
            if unit.runs.end(run, self._clock()):
                unit.commit()
        return run


_STALE = (
    "The shop or its orders changed while this was planned, so the plan is not used; "
    "another run was queued."
)


def progress_of(report: Report, trail: Trail) -> RunProgress:
    """Return what the search says of itself as it is kept."""
    late, finish, _, attended = report.best
    return RunProgress(
        weighted_late_min=late,
        finish_min=finish,
        attended_min=attended,
        bound=report.bound,
        gap=report.gap,
        trying=report.trying,
        tries=report.tries,
        trail=trail.steps,
    )


def _value(plan: Plan) -> tuple[int, int, int]:
    objective = plan.objective
    return objective.weighted_late_min, objective.finish_min, objective.attended_min


def _reasons(error: HardLimit | InvalidInput) -> tuple[str, ...]:
    if isinstance(error, HardLimit):
        return error.reasons
    return tuple(str(fault) for fault in error.faults)
