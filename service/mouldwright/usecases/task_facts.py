"""One task of a plan opened: what it follows, what follows it, what it waits for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.planning.pinned import shares
from mouldwright.planning.plan import Plan, Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """Something a task comes straight after.

    Attributes:
        what: "step", "mould", "station" or "person".
        key: Name of the mould, station or person; empty for a step.
        place: Of the earlier task in the plan's tasks.
        since_min: Minutes from the end of that to this start; 0 where it is waited for.
    """

    what: str
    key: str
    place: int
    since_min: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskFacts:
    """A task and its neighbours.

    Attributes:
        after: What it comes after, the last to end first.
        before: Place of the next step of its pull or part; None where it is the last.
        stands_min: How long its pull then stands until that step.
    """

    place: int
    task: Task
    after: tuple[Cause, ...]
    before: int | None
    stands_min: int


def task_facts(plan: Plan, place: int) -> TaskFacts:
    """Return a task of a plan with its neighbours. Raises InvalidInput where there is none."""
    if not 0 <= place < len(plan.tasks):
        fault = Fault(
            path="task",
            value=str(place),
            problem="the plan has no such task.",
            remedy="Open the board again.",
        )
        raise InvalidInput([fault])
    task = plan.tasks[place]
    found = list(_causes(plan, task))
    later = [
        at
        for at, other in enumerate(plan.tasks)
        if at != place and other.start >= task.end and task.members and shares(other, task)
    ]
    before = min(later, key=lambda at: (plan.tasks[at].start, at), default=None)
    return TaskFacts(
        place=place,
        task=task,
        after=tuple(sorted(found, key=lambda cause: (cause.since_min, cause.what))),
        before=before,
        stands_min=0 if before is None else plan.tasks[before].start - task.end,
    )


def _causes(plan: Plan, task: Task) -> Iterable[Cause]:
    """Yield the last task before this one of its own steps, mould, stations and people."""
    earlier = [(at, other) for at, other in enumerate(plan.tasks) if other.end <= task.start]
    own = [(at, o) for at, o in earlier if o is not task and task.members and shares(o, task)]
    kinds: list[tuple[str, str, list[tuple[int, Task]]]] = [("step", "", own)]
    if task.mould:
        kinds.append(("mould", task.mould, [e for e in earlier if e[1].mould == task.mould]))
    kinds += [("station", u, [e for e in earlier if u in e[1].stations]) for u in task.stations]
    kinds += [("person", p, [e for e in earlier if p in e[1].people]) for p in task.people]
    for what, key, tasks in kinds:
        if tasks:
            at, last = max(tasks, key=lambda pair: (pair[1].end, pair[0]))
            yield Cause(what=what, key=key, place=at, since_min=task.start - last.end)
