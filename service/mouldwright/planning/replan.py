"""A plan made anew beside the one that holds: what can stay stays, and what moves says why.

What has begun is kept as it is, and so is all that still stands; the rest is planned around
it. Where that cannot be, less is kept: first what begins before the first task that must
move, then only what has begun and what is pinned. A plan made from nothing takes its place
only where it saves more weighted minutes of lateness than moving so many tasks is worth.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.shop import Shop
from mouldwright.planning.improve.search import Report
from mouldwright.planning.keeping import Stands, what_stands, why_of
from mouldwright.planning.pinned import Identity, identity
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.run import make_plan

# Weighted minutes of lateness that moving one published task is worth; common sense, no source.
MOVE_PRICE_MIN = 30
# What is left of any search, seconds: with it a plan is made from nothing too.
LEAST_S = 0.001


@dataclass(frozen=True, slots=True, kw_only=True)
class Replanned:
    """A plan beside the one that held.

    Attributes:
        kept: Tasks still to come that stand as they stood.
        moved: Tasks still to come that stand elsewhere.
        why: Why a task had to move, in words, by what makes it the same work; those that only
            gave way are not among them.
    """

    plan: Plan
    kept: int
    moved: int
    why: dict[Identity, str]


def replan(
    shop: Shop,
    held: Plan,
    *,
    now: int,
    seconds: float = 0.0,
    seed: int = 1,
    work_limit: int | None = None,
    running: Sequence[Task] = (),
    pinned: Sequence[Task] = (),
    only_begun: bool = False,
    progress: Callable[[Report], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    make: Callable[..., Plan] = make_plan,
) -> Replanned:
    """Plan a shop's open orders anew, with as little moved as there needs to be.

    Args:
        shop: As it is now.
        held: The plan that holds.
        now: Minutes since the epoch.
        seconds: How long to look for better ones, after a little work that is always done; 0 for
            the first answer.
        seed: Of the search.
        work_limit: How many plans to build at most.
        running: Tasks under way besides those of the plan that have begun.
        pinned: Tasks that stay whatever else does.
        only_begun: Whether nothing is kept but what has begun.
        progress: Told where the search stands.
        cancelled: True ends with the best so far.
        make: Makes a plan.

    Raises:
        HardLimit: if no plan can exist.
    """
    began = time.monotonic()
    stands = what_stands(shop, held, now=now)
    best: Plan | None = None
    for begun, kept in _less_and_less(shop, held, stands, now, only_begun=only_begun):
        try:
            best = make(
                shop,
                now=now,
                seconds=seconds / 2,
                seed=seed,
                work_limit=work_limit,
                running=_once(running, begun),
                pinned=_once(pinned, kept),
                progress=progress,
                cancelled=cancelled,
            )
        except HardLimit:
            if not begun and not kept:
                raise
            continue
        break
    if best is None:
        raise HardLimit(["no plan could be made"])
    stopped = cancelled is not None and cancelled()
    if seconds > 0 and best.objective.weighted_late_min and not stopped:
        # Though the first half has used up all the time, a little work is always done.
        left = max(seconds - (time.monotonic() - began), LEAST_S)
        free = make(
            shop,
            now=now,
            seconds=left,
            seed=seed,
            work_limit=work_limit,
            running=_once(running, stands.begun),
            pinned=tuple(pinned),
            progress=progress,
            cancelled=cancelled,
        )
        best = min(best, free, key=lambda plan: _worth(held, plan, now, stands.late))
    kept_count, moved_count = _counts(held, best, now, stands.late)
    return Replanned(plan=best, kept=kept_count, moved=moved_count, why=why_of(held, stands))


def _less_and_less(
    shop: Shop, held: Plan, stands: Stands, now: int, *, only_begun: bool
) -> Iterator[tuple[Sequence[Task], Sequence[Task]]]:
    """Yield what to keep: everything that stands, then less, then nothing."""
    if not only_begun:
        yield stands.begun, stands.kept
    if stands.moves and not only_begun:
        warily = what_stands(shop, held, now=now, wary=True).kept
        if len(warily) < len(stands.kept):
            yield stands.begun, warily
        first = min(held.tasks[at].start for at in stands.moves if at < len(held.tasks))
        early = tuple(task for task in warily if task.start < first)
        if early and len(early) < len(warily):
            yield stands.begun, early
    if stands.kept or only_begun:
        yield stands.begun, ()
    if stands.begun:
        yield (), ()


def _once(given: Sequence[Task], more: Sequence[Task]) -> tuple[Task, ...]:
    """Return both, each piece of work once; what is given goes before."""
    known = {identity(task) for task in given if task.members}
    exact = set(given)
    rest = (t for t in more if t not in exact and (not t.members or identity(t) not in known))
    return (*given, *rest)


def _counts(held: Plan, plan: Plan, now: int, late: frozenset[int]) -> tuple[int, int]:
    """Return how many tasks still to come stand as they stood, and how many elsewhere."""
    before = {
        identity(t): t
        for at, t in enumerate(held.tasks)
        if t.members and (t.start >= now or at in late)
    }
    after = {identity(t): t for t in plan.tasks if t.members}
    both = [key for key in before if key in after]
    same = sum(1 for key in both if before[key] == after[key])
    return same, len(both) - same


def _worth(held: Plan, plan: Plan, now: int, late: frozenset[int]) -> tuple[int, int]:
    _, moved = _counts(held, plan, now, late)
    objective = plan.objective
    return objective.weighted_late_min + MOVE_PRICE_MIN * moved, objective.finish_min
