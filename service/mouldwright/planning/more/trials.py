"""Many shops planned side by side, in processes of their own, no more than there are cores."""

from __future__ import annotations

import math
import multiprocessing
import os
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import dataclass
from fractions import Fraction
from multiprocessing.synchronize import Event
from typing import TypedDict

from mouldwright.domain.costing.labour import hour_cost_of
from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import Window
from mouldwright.domain.promise.finish_odds import PlanOdds
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Shop
from mouldwright.planning.check import check_plan
from mouldwright.planning.odds.simulate import odds_of
from mouldwright.planning.plan import OrderOutcome, Plan, Task
from mouldwright.planning.replan import replan
from mouldwright.planning.run import make_plan

# How often a waiting planner asks whether to stop, seconds.
ASK_EVERY_S = 0.1
# Fewer trials than this are not worth a process of their own.
WORTH_PROCESSES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How hard each trial looks for a better plan.

    Attributes:
        seconds: No longer than this; infinite where only work counts.
        tries: No more plans than this; with it, and time enough, the answer repeats.
        seed: Same seed, same search.
        processes: Most at once; None for as many as there are cores, 0 for this process.
        runs: How often each plan is gone through for its odds; 0 for no odds.
    """

    seconds: float = 3.0
    tries: int | None = 120
    seed: int = 1
    processes: int | None = None
    runs: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One shop to plan.

    Attributes:
        key: Names it.
        running: Tasks under way.
        pinned: Tasks that stay where they are.
        held: The plan that holds, kept to where it can be; None to plan from nothing.
    """

    key: str
    shop: Shop
    now: int
    running: tuple[Task, ...] = ()
    pinned: tuple[Task, ...] = ()
    held: Plan | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What came of one.

    Attributes:
        late_min: Weighted minutes late.
        finish_min: Minutes from now to the last order's finish.
        attended_min: Person-minutes.
        fits_as_is: Whether the plan could be worked in the shop as it is, too.
        outside_min: Minutes each person works in what is closed as things are.
        worked_min: Minutes each person works.
        refused: Why there is no plan; empty where there is one.
        plan: The plan; None where there is none.
        kept: Tasks of the plan that holds, still to come, that stand as they stood.
        moved: Those that stand elsewhere.
        odds: Of the plan; None where no runs were asked for.
    """

    key: str
    late_min: int
    finish_min: int
    attended_min: int
    orders: tuple[OrderOutcome, ...]
    fits_as_is: bool
    outside_min: dict[str, int]
    worked_min: dict[str, int]
    refused: tuple[str, ...] = ()
    plan: Plan | None = None
    kept: int = 0
    moved: int = 0
    odds: PlanOdds | None = None

    def order(self, number: str) -> OrderOutcome:
        """Return what the plan says of one order."""
        return next(order for order in self.orders if order.number == number)

    def chance(self, number: str) -> float | None:
        """Return the share of runs in which an order meets its date; None without runs or date."""
        return None if self.odds is None else self.odds.order(number).chance

    def promise(self, number: str) -> ReadyBy | None:
        """Return when an order may be promised, by the runs of its plan; None without runs."""
        return None if self.odds is None else ReadyBy.by(self.odds.order(number))

    def value(self, weights: dict[str, int]) -> tuple[int, int, int]:
        """Return lateness, last finish and weighted finishes: smaller is better."""
        ends = sum(weights.get(order.number, 1) * order.finish for order in self.orders)
        return self.late_min, self.finish_min, ends


class _How(TypedDict):
    """How a plan is made, from nothing or beside another."""

    now: int
    seconds: float
    seed: int
    work_limit: int | None
    running: tuple[Task, ...]
    pinned: tuple[Task, ...]
    cancelled: Callable[[], bool] | None


_stop: Event | None = None


def _begin(stop: Event) -> None:
    global _stop
    _stop = stop


def _stopped() -> bool:
    return _stop is not None and _stop.is_set()


def _try_there(asked: Asked, as_is: Shop, effort: Effort) -> Trial:
    return try_one(asked, as_is, effort, _stopped)


def try_one(
    asked: Asked, as_is: Shop, effort: Effort, cancelled: Callable[[], bool] | None = None
) -> Trial:
    """Plan one shop and compare it with the shop as it is."""
    kept = moved = 0
    how: _How = {
        "now": asked.now,
        "seconds": effort.seconds,
        "seed": effort.seed,
        "work_limit": effort.tries,
        "running": asked.running,
        "pinned": asked.pinned,
        "cancelled": cancelled,
    }
    try:
        if asked.held is None:
            plan = make_plan(asked.shop, **how)
        else:
            found = replan(asked.shop, asked.held, **how)
            plan, kept, moved = found.plan, found.kept, found.moved
    except HardLimit as limit:
        return Trial(
            key=asked.key, late_min=0, finish_min=0, attended_min=0, orders=(), fits_as_is=False,
            outside_min={}, worked_min={}, refused=limit.reasons,
        )  # fmt: skip
    return trial_of(
        asked,
        as_is,
        plan,
        kept=kept,
        moved=moved,
        odds=odds_of(asked.shop, plan, runs=effort.runs, seed=effort.seed) if effort.runs else None,
    )


def trial_of(
    asked: Asked, as_is: Shop, plan: Plan, *, kept: int, moved: int, odds: PlanOdds | None
) -> Trial:
    """Return a plan of one shop compared with the shop as it is."""
    return Trial(
        key=asked.key,
        late_min=plan.objective.weighted_late_min,
        finish_min=plan.objective.finish_min,
        attended_min=plan.objective.attended_min,
        orders=plan.orders,
        fits_as_is=not check_plan(as_is, plan, running=asked.running),
        outside_min=_outside(as_is, plan),
        worked_min=_worked(plan),
        plan=plan,
        kept=kept,
        moved=moved,
        odds=odds,
    )


def hours_outside(as_is: Shop, trial: Trial) -> tuple[int, Fraction]:
    """Return the minutes worked in what is closed as things are, and what they cost.

    An hour costs what the hour's price is built on: wage, on-costs, the unpaid part of the day
    and overhead.
    """
    outside, overhead = trial.outside_min, exact(as_is.overhead_per_hour)
    cost = sum(
        (
            (hour_cost_of(as_is.people[person], as_is) + overhead) * minutes / 60
            for person, minutes in outside.items()
        ),
        Fraction(0),
    )
    return sum(outside.values()), cost


def try_all(
    asked: Sequence[Asked],
    as_is: Shop,
    effort: Effort,
    *,
    progress: Callable[[int, int, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> dict[str, Trial]:
    """Plan every shop.

    Args:
        asked: The shops.
        as_is: The shop that nothing is changed in.
        effort: How hard each is tried.
        progress: Told how many are done, of how many, and which was done last.
        cancelled: Asked again and again; True ends what is under way with the best so far and
            leaves out what is not.

    Returns:
        What came of those that were planned, by key.
    """
    cores = os.cpu_count() or 1
    processes = cores if effort.processes is None else min(effort.processes, cores)
    if processes <= 1 or len(asked) < WORTH_PROCESSES:
        return _here(asked, as_is, effort, progress, cancelled)
    return _beside(asked, as_is, effort, min(processes, len(asked)), progress, cancelled)


def _here(
    asked: Sequence[Asked],
    as_is: Shop,
    effort: Effort,
    progress: Callable[[int, int, str], None] | None,
    cancelled: Callable[[], bool] | None,
) -> dict[str, Trial]:
    found: dict[str, Trial] = {}
    for one in asked:
        if cancelled is not None and cancelled():
            break
        found[one.key] = try_one(one, as_is, effort, cancelled)
        if progress is not None:
            progress(len(found), len(asked), one.key)
    return found


def _beside(
    asked: Sequence[Asked],
    as_is: Shop,
    effort: Effort,
    processes: int,
    progress: Callable[[int, int, str], None] | None,
    cancelled: Callable[[], bool] | None,
) -> dict[str, Trial]:
    # A fork would take the threads' locks of whoever serves along with it.
    context = multiprocessing.get_context("spawn")
    stop = context.Event()
    found: dict[str, Trial] = {}
    with ProcessPoolExecutor(
        max_workers=processes, mp_context=context, initializer=_begin, initargs=(stop,)
    ) as pool:
        left: set[Future[Trial]] = {pool.submit(_try_there, one, as_is, effort) for one in asked}
        while left:
            done, left = wait(left, timeout=ASK_EVERY_S, return_when=FIRST_COMPLETED)
            for future in done:
                if future.cancelled():
                    continue
                trial = future.result()
                found[trial.key] = trial
                if progress is not None:
                    progress(len(found), len(asked), trial.key)
            if cancelled is not None and not stop.is_set() and cancelled():
                stop.set()
                for future in left:
                    future.cancel()
    # In the order they were asked, whichever came first.
    return {one.key: found[one.key] for one in asked if one.key in found}


def _worked(plan: Plan) -> dict[str, int]:
    found: dict[str, int] = {}
    for task in plan.tasks:
        for person in task.people:
            minutes = sum(end - start for start, end in task.spans)
            found[person] = found.get(person, 0) + minutes
    for stint in plan.sessions:
        minutes = stint.gear_up_min + stint.clean_down_min
        found[stint.person] = found.get(stint.person, 0) + minutes
    return found


def _outside(as_is: Shop, plan: Plan) -> dict[str, int]:
    """Return the minutes each person works outside the hours of a shop."""
    last = max((task.end for task in plan.tasks), default=plan.now)
    found: dict[str, int] = {}
    for person in as_is.people.values():
        windows = as_is.hours_of(person).windows(plan.now, last + 1)
        outside = sum(
            end - start - _inside(windows, start, end)
            for task in plan.tasks
            if person.key in task.people
            for start, end in task.spans
            if end > plan.now
        )
        if outside:
            found[person.key] = outside
    return found


def _inside(windows: Sequence[Window], start: int, end: int) -> int:
    return sum(max(0, min(closes, end) - max(opens, start)) for opens, closes in windows)


def endless(tries: int, *, seed: int = 1, processes: int | None = 0) -> Effort:
    """Return an effort that only counts work, so that the answer repeats however busy it is."""
    return Effort(seconds=math.inf, tries=tries, seed=seed, processes=processes)
