"""Steps that would come too late after what has begun: past a greatest wait, or past a pot life."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from mouldwright.planning.assemble import members_named
from mouldwright.planning.placed import Item, Placed
from mouldwright.planning.plan import Task
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import NEVER, Step
from mouldwright.planning.task_items import TaskItems, covering, index_of

# Index of a lot, index of a step of its routing, and what the step is done to.
Missed = tuple[int, int, Item]


def windows_missed(
    problem: Problem, tasks: Iterable[Placed], pinned: Collection[Task] = ()
) -> dict[Missed, int]:
    """Return what comes too late after what has begun, and the last minute it could have begun at.

    What was placed together keeps its windows; what had begun before is where it is, and the hours
    after it may be too short. A pot life that goes by the warmth is left to the checker.

    Args:
        problem: With what is under way.
        tasks: As placed; their minutes are counted from the problem's now.
        pinned: Of the tasks under way those that are only meant to stay, and have not begun.
    """
    begun = _Begun(problem, pinned)
    found = {}
    for task in tasks:
        for item in task.items:
            latest = begun.latest(task, item)
            if task.start > latest:
                found[item[0], task.step.index, item] = problem.now + latest
    return found


def missed_said(problem: Problem, missed: dict[Missed, int]) -> tuple[str, ...]:
    """Return a sentence for each of them, on what is taken as done though no hours allow it."""
    return tuple(_said(problem, *what, minute) for what, minute in sorted(missed.items()))


def _said(problem: Problem, lot_index: int, place: int, item: Item, minute: int) -> str:
    lot = problem.lots[lot_index]
    step = problem.routings[lot.routing].steps[place]
    last = datetime.fromtimestamp(minute * 60, UTC).astimezone(ZoneInfo(problem.shop.zone))
    return (
        f"{step.name} of {_whose(problem, step, item)} had to begin by {last:%a %d %b %H:%M}, and "
        "no hours allow it. The plan takes it as done in time. Where it is not, note what becomes "
        "of it: scrapped, or to be mended."
    )


def _whose(problem: Problem, step: Step, item: Item) -> str:
    member = next(iter(members_named(problem, step, [item])), None)
    if member is None:
        return "a mould that is made"
    what = f"part {member.parts[0]}" if member.parts else f"pull {member.pulls[0]}"
    return f"{what} of order {member.order}"


class _Begun:
    """When what has begun was over, or will be."""

    def __init__(self, problem: Problem, pinned: Collection[Task]) -> None:
        self.problem = problem
        self.ends: dict[tuple[int, int, int], int] = {}
        items = TaskItems(problem)
        for task in problem.running:
            for lot, step, item in items.of(task):
                if task not in pinned:
                    key = (lot.index, step.index, index_of(lot, step, item))
                    self.ends[key] = task.end - problem.now

    def latest(self, task: Placed, item: Item) -> int:
        """Return the last minute a task may begin at after what has begun."""
        lot = self.problem.lots[item[0]]
        steps = self.problem.routings[lot.routing].steps
        step, latest = task.step, NEVER
        if step.wait_max < NEVER:
            for p in step.preds:
                latest = min([latest, *(e + step.wait_max for e in self._of(lot, steps[p], item))])
        for mix in steps[: step.index]:
            if mix.pot_until == step.index and mix.pot < 0:
                lasts = mix.pot_life_min - (task.end - task.start)
                latest = min([latest, *(e + lasts for e in self._of(lot, mix, item))])
        return latest

    def _of(self, lot: Lot, step: Step, item: Item) -> Iterator[int]:
        for one in covering(lot, step, item):
            end = self.ends.get((lot.index, step.index, index_of(lot, step, one)))
            if end is not None:
                yield end
