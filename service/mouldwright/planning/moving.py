"""A task put elsewhere, everything else left as it is, and what that breaks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.clock import intersect
from mouldwright.domain.hours.opening import Window
from mouldwright.domain.shop import Shop
from mouldwright.planning.check import check_plan
from mouldwright.planning.clocks import clocks_of, setting_materials
from mouldwright.planning.ground import operation_named
from mouldwright.planning.logged.standing import as_it_stands
from mouldwright.planning.pinned import shares
from mouldwright.planning.plan import Objective, OrderOutcome, Plan, Task
from mouldwright.planning.routing import setting_millionths
from mouldwright.planning.sessions import sessions_of

# A pause is looked over this far; a task that pauses for longer cannot be laid out.
_LONGEST_PAUSE_MIN = 60 * 1440


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Where a task should stand.

    Attributes:
        task: Its place in the plan's tasks.
        start: Minute it should begin.
        mould: Name of the mould it should be done on, None for the one it has.
        people: Who should do it, None for those who do.
        with_rest: Whether all that its pulls and parts go through afterwards moves by as much.
    """

    task: int
    start: int
    mould: str | None = None
    people: tuple[str, ...] | None = None
    with_rest: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What a move does.

    Attributes:
        moved: The tasks as they would stand, the one that was named first.
        breaks: Every rule it breaks, in words.
        orders: Orders whose finish changes, before and after.
    """

    moved: tuple[Task, ...]
    breaks: tuple[str, ...]
    orders: tuple[tuple[OrderOutcome, OrderOutcome], ...]


def judge_move(shop: Shop, plan: Plan, move: Move, *, now: int) -> Verdict:
    """Return what a move does, all other tasks left where they are.

    What is wrong with the plan already is not held against the move.

    Raises:
        InvalidInput: if there is no such task, mould or person.
    """
    shop = as_it_stands(shop, now=plan.now)
    task = _named(shop, plan, move)
    places = _moved_with(shop, plan, move, task)
    laid = {at: _laid(shop, plan, move, at, task) for at in places}
    tasks = [laid.get(at, each) for at, each in enumerate(plan.tasks)]
    otherwise = with_tasks(shop, plan, tasks)
    already = set(_complaints(shop, plan))
    breaks = [words for words in _complaints(shop, otherwise) if words not in already]
    if any(each.start < now for each in laid.values()):
        breaks.insert(0, "It would begin before now.")
    before = {order.number: order for order in plan.orders}
    changed = tuple(
        (before[after.number], after)
        for after in otherwise.orders
        if after.number in before and after.finish != before[after.number].finish
    )
    own = [laid[move.task], *(each for at, each in laid.items() if at != move.task)]
    return Verdict(moved=tuple(own), breaks=tuple(breaks), orders=changed)


def with_tasks(shop: Shop, plan: Plan, tasks: Sequence[Task]) -> Plan:
    """Return a plan of other tasks, its finishes and worth counted anew and nothing proven."""
    ends: dict[str, int] = {}
    for task in tasks:
        for member in task.members:
            ends[member.order] = max(ends.get(member.order, task.end), task.end)
    orders = tuple(
        replace(order, finish=ends.get(order.number, order.finish), binds=())
        for order in plan.orders
    )
    weights = {order.number: order.weight for order in shop.orders}
    sessions = sessions_of(shop, tasks, now=plan.now)
    objective = Objective(
        weighted_late_min=sum(weights.get(o.number, 0) * o.late_min for o in orders),
        finish_min=max([0, *(o.finish - plan.now for o in orders)]),
        attended_min=sum(len(t.people) * sum(b - a for a, b in t.spans) for t in tasks)
        + sum(s.gear_up_min + s.clean_down_min for s in sessions),
    )
    ordered = tuple(sorted(tasks, key=lambda t: (t.start, t.end, t.process, t.operation)))
    return replace(
        plan,
        tasks=ordered,
        orders=orders,
        objective=objective,
        bound=None,
        bound_name=None,
        checked=False,
        sessions=sessions,
        odds=None,
    )


def _complaints(shop: Shop, plan: Plan) -> tuple[str, ...]:
    begun = [task for task in plan.tasks if task.start < plan.now]
    return check_plan(shop, plan, running=begun)


def _named(shop: Shop, plan: Plan, move: Move) -> Task:
    """Return the task a move is of. Raises InvalidInput with every fault of the move."""
    faults = []
    if not 0 <= move.task < len(plan.tasks):
        faults.append(
            _fault("task", str(move.task), "the plan has no such task.", "Open the board again.")
        )
        raise InvalidInput(faults)
    task = plan.tasks[move.task]
    if not task.members:
        problem = "this makes or keeps a mould, and goes where the mould's pulls go."
        faults.append(_fault("task", task.operation, problem, "Move the pull after it."))
    if move.mould is not None and move.mould != task.mould:
        family = next((f for f in shop.moulds.values() if _is_of(f.key, task.mould)), None)
        others = [] if family is None else [family.name(mould) for mould in family.moulds]
        if move.mould not in others:
            remedy = f"Choose one of {', '.join(others)}." if others else "Leave it out."
            faults.append(_fault("mould", move.mould, "it cannot be done there.", remedy))
    for person in move.people or ():
        if person not in shop.people:
            remedy = f"Choose from {', '.join(shop.people)}."
            faults.append(_fault("people", person, "nobody here is called so.", remedy))
    if faults:
        raise InvalidInput(faults)
    return task


def _is_of(family: str, mould: str | None) -> bool:
    return mould is not None and mould.rpartition(" ")[0] == family


def _fault(path: str, value: str, problem: str, remedy: str) -> Fault:
    return Fault(path=path, value=value, problem=problem, remedy=remedy)


def _moved_with(shop: Shop, plan: Plan, move: Move, task: Task) -> list[int]:
    """Return the places of the tasks that move: a cure goes with what it follows at once."""
    found = [move.task]
    tied = [task]
    for at, other in enumerate(plan.tasks):
        if at == move.task or not other.members:
            continue
        if move.with_rest and other.start >= task.end and shares(other, task):
            found.append(at)
        elif not move.with_rest and not other.people and _follows_at_once(other, tied):
            found.append(at)
            tied.append(other)
        elif move.mould not in (None, task.mould) and _is_same_pull(other, task):
            found.append(at)
    return found


def _follows_at_once(task: Task, tied: Iterable[Task]) -> bool:
    return any(task.start == one.end and shares(task, one) for one in tied)


def _is_same_pull(one: Task, other: Task) -> bool:
    return one.mould is not None and one.mould == other.mould and shares(one, other)


def _laid(shop: Shop, plan: Plan, move: Move, at: int, named: Task) -> Task:
    """Return a task as it would stand."""
    task = plan.tasks[at]
    is_named = at == move.task
    rides = is_named or move.with_rest or not task.people
    later = move.start - named.start if rides else 0
    people = move.people if is_named and move.people is not None else task.people
    mould = task.mould
    if move.mould is not None and mould is not None and (is_named or _is_same_pull(task, named)):
        mould = move.mould
    spans = tuple((a + later, b + later) for a, b in task.spans)
    operation = _interruptible(shop, task)
    if later and operation and people:
        spans = _paused(shop, people, task.start + later, sum(b - a for a, b in task.spans))
    if later and not people:
        spans = _set_meanwhile(shop, task, task.start + later) or spans
    return replace(task, spans=spans, people=people, mould=mould)


def _set_meanwhile(shop: Shop, task: Task, start: int) -> tuple[Window, ...]:
    """Return a cure from another start, as the shop's warmth then has it; empty for none."""
    operation = operation_named(shop, task.process, task.operation)
    if operation is None or operation.cures not in setting_materials(shop):
        return ()
    members = 1
    if operation.per != "part":
        families = shop.families(task.part, task.process)
        cavities = families[0].cavities if families else 1
        members = sum(len(m.parts) or len(m.pulls) * cavities for m in task.members)
    clock = clocks_of(shop, start, _LONGEST_PAUSE_MIN)[
        2 * setting_materials(shop).index(operation.cures or "") + 1
    ]
    end = clock.when(0, setting_millionths(operation, members))
    return () if end is None else ((start, start + end),)


def _interruptible(shop: Shop, task: Task) -> bool:
    process = shop.processes.get(task.process)
    operations = process.operations if process else ()
    if task.process in shop.sets:
        operations = shop.sets[task.process].operations
    return any(o.name == task.operation and o.interruptible for o in operations)


def _paused(shop: Shop, people: Sequence[str], start: int, work: int) -> tuple[Window, ...]:
    """Return the spans of work that pauses while any of its people is away."""
    until = start + work + _LONGEST_PAUSE_MIN
    together: tuple[Window, ...] = ((start, until),)
    for person in people:
        hours = shop.hours_of(shop.people[person])
        together = intersect(together, hours.windows(start, until))
    spans: list[Window] = []
    left = work
    for opens, closes in together:
        if left and not spans and opens > start:
            break
        spans.append((opens, min(closes, opens + left)))
        left -= spans[-1][1] - opens
        if not left:
            return tuple(spans)
    # Nobody is there when it should begin: laid out whole, which the check then names.
    return ((start, start + work),)
