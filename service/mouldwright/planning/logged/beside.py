"""A plan that holds beside what really happened of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.record.log import Happening, LoggedTask
from mouldwright.domain.shop import Shop
from mouldwright.planning.compiling import build_problem
from mouldwright.planning.logged.assumed import whose
from mouldwright.planning.logged.reading import LogRead, parts_of, read_log
from mouldwright.planning.pinned import shares, straight_before
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.problem import Problem
from mouldwright.planning.routing import NEVER

_OF_TASKS = (Happening.STARTED, Happening.FINISHED, Happening.STOPPED)


@dataclass(frozen=True, slots=True, kw_only=True)
class AsItWent:
    """A plan as the bench has kept it.

    Attributes:
        plan: Its tasks in their places, those that have begun at their real times; what was done
            besides comes after them.
        problem: What is open now, with all that has begun.
        read: The log.
        begun: Places of tasks that have begun.
        gone: Places of tasks that will not be, since other work was done in their stead or what
            they were for was lost; with why, in words, where the log tells.
        late: Places of tasks that should have begun by now and have not, with why.
    """

    plan: Plan
    problem: Problem
    read: LogRead
    begun: frozenset[int]
    gone: dict[int, str]
    late: dict[int, str]


def as_it_went(shop: Shop, plan: Plan, *, now: int) -> AsItWent:
    """Return a plan as it went up to now.

    Where nobody keeps a log, what was to begin before now is taken as done as planned. Once
    something is logged for an order, or anything since the plan was made, what is not ticked off
    has not begun; what was taken as done when the plan was made stays so.

    Raises:
        MouldwrightError: if the shop's orders cannot be compiled.
    """
    read = read_log(shop, now=now, planned=plan.tasks)
    trusted, late = _unticked(shop, plan, read, now)
    if trusted:
        read = read_log(shop, now=now, planned=plan.tasks, given=trusted)
    # What is trusted stands in the plan: read with either, the log says the same.
    problem = build_problem(shop, now=now, running=trusted, planned=plan.tasks, read=read)
    if not read.entries:
        begun = frozenset(at for at, task in enumerate(plan.tasks) if task.start < now)
        return AsItWent(plan=plan, problem=problem, read=read, begun=begun, gone={}, late={})
    done = {}
    for task in problem.running:
        for work in whose(task):
            done[task.process, task.operation, work] = task
    tasks = list(plan.tasks)
    places: dict[int, Task] = {}
    gone: dict[int, str] = {}
    for at, task in enumerate(plan.tasks):
        found = {id(d): d for w in whose(task) if (d := done.get((*_step(task), w))) is not None}
        same = next((d for d in found.values() if _named(d) == _named(task)), None)
        if not task.members:
            # Upkeep comes again and again: only one that began at its time is the same.
            same = next((d for d in found.values() if d.start == task.start), None)
            found = {} if same is None else found
        if same is not None:
            tasks[at] = places[at] = same
        elif found:
            gone[at] = "it was done with others than planned"
        elif why := _lost(read, task):
            gone[at] = why
    known = set(places.values())
    more = [task for task in problem.running if task not in known]
    begun = frozenset((*places, *range(len(tasks), len(tasks) + len(more))))
    return AsItWent(
        plan=replace(plan, tasks=(*tasks, *more)),
        problem=problem,
        read=read,
        begun=begun,
        gone=gone,
        late={at: why for at, why in late.items() if at not in begun and at not in gone},
    )


def _step(task: Task) -> tuple[str, str]:
    return task.process, task.operation


def _named(task: Task | LoggedTask) -> object:
    return tuple(
        sorted((m.order, tuple(sorted(m.pulls)), tuple(sorted(m.parts))) for m in task.members)
    )


def _unticked(shop: Shop, plan: Plan, read: LogRead, now: int) -> tuple[list[Task], dict[int, str]]:
    """Return which tasks before now are taken as done unticked, and which are late and why."""
    ticking = any(e.what in _OF_TASKS and minute_of(e.at) >= plan.now for e in read.entries)
    retracted = _ever_ticked(shop)
    trusted, late = [], {}
    for at, task in enumerate(plan.tasks):
        if task.start >= now:
            continue
        keeps = ticking or any(member.order in read.tells_of for member in task.members)
        was_so = task.start < plan.now and (*_step(task), _named(task)) not in retracted
        if not keeps or was_so:
            trusted.append(task)
        else:
            late[at] = f"it was to begin at {local(task.start, plan.zone):%a %H:%M} and has not"
    believed = _not_refuted(shop, trusted, read)
    taken, known = set(trusted), set(believed)
    for at, task in enumerate(plan.tasks):
        if task in taken and task not in known:
            late[at] = "what goes before it was done later than planned"
    return believed, late


def _not_refuted(shop: Shop, trusted: list[Task], read: LogRead) -> list[Task]:
    """Return the tasks taken as done that the log still allows.

    Nothing was done on a pull or part before what goes before it was over, as the log tells that.
    """
    told = [(done.task, done.task.end) for done in read.done if done.state != "stopped"]
    steps = {(*_step(task), work) for task, _ in told for work in whose(task)}
    by_step: dict[tuple[str, str, str], list[tuple[Task, int]]] = {}

    def over_at(task: Task, end: int) -> None:
        for member in task.members:
            by_step.setdefault((*_step(task), member.order), []).append((task, end))

    for task, end in told:
        over_at(task, end)
    believed = []
    for task in sorted(trusted, key=lambda t: (t.start, t.end)):
        process = shop.processes.get(task.process)
        is_told = any((*_step(task), work) in steps for work in whose(task))
        if process is None or not task.members or is_told:
            believed.append(task)
            continue
        before = straight_before(process.operations, task.operation)
        if any(
            task.start < end and shares(task, other)
            for name in before
            for member in task.members
            for other, end in by_step.get((task.process, name, member.order), ())
        ):
            # Nor is what follows it: it is not over before it can begin.
            over_at(task, NEVER)
        else:
            believed.append(task)
    return believed


def _ever_ticked(shop: Shop) -> set[object]:
    """Return what any entry ever told of, taken back or not."""
    found: set[object] = set()
    for entry in shop.log:
        if entry.task is not None and entry.what in _OF_TASKS:
            found.add((entry.task.process, entry.task.operation, _named(entry.task)))
    return found


def _lost(read: LogRead, task: Task) -> str:
    """Return why what a task is for was lost; empty where none of it was."""
    for member in task.members:
        lost = read.lost.get(member.order, {})
        for part in parts_of(read.pieces, task, member.order) if lost else ():
            if part in lost:
                return lost[part].why
    return ""
