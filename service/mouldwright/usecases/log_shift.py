"""Whether what happened leaves a plan as it was, or moves it."""

from __future__ import annotations

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.record.done import members_of
from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember, LoggedTask
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, Task

# A start or an end so near to its planned time takes the plan nowhere (common practice, no source).
AS_PLANNED_MIN = 15
_NEVER = (Happening.WEIGHED, Happening.RETURNED)
_STOCK = (Happening.STOCK_COUNTED, Happening.RECEIVED, Happening.DELIVERY_LATE)


def moves_plan(shop: Shop, plan: Plan | None, entry: LogEntry) -> bool:
    """Return whether no plan made before an entry fits any more.

    A task that was begun or finished about when it was planned, on its mould and by its people,
    moves nothing; nor does stock where plans take materials as there.
    """
    if entry.what in _NEVER:
        return False
    if entry.what in _STOCK:
        return shop.materials_planned == "from stock"
    if entry.what not in (Happening.STARTED, Happening.FINISHED) or entry.task is None:
        return True
    planned = None if plan is None else planned_task(plan, entry.task)
    if planned is None:
        return True
    at = minute_of(entry.at)
    meant = planned.start if entry.what is Happening.STARTED else planned.end
    same_hands = not entry.people or set(entry.people) == set(planned.people)
    same_mould = entry.task.mould in (None, planned.mould)
    return abs(at - meant) > AS_PLANNED_MIN or not same_hands or not same_mould


def planned_task(plan: Plan, task: LoggedTask) -> Task | None:
    """Return the task of a plan that an entry tells of; None where it is not in it.

    Of upkeep, which comes again and again, the first that the plan has of the mould.
    """
    wanted = members_of(task)
    for other in plan.tasks:
        if (other.operation, other.process) != (task.operation, task.process):
            continue
        if not wanted and not other.members:
            if other.mould == task.mould:
                return other
        elif wanted and members_of(logged_task(other)) == wanted:
            return other
    return None


def logged_task(task: Task) -> LoggedTask:
    """Return a planned task as an entry names it."""
    return LoggedTask(
        operation=task.operation,
        process=task.process,
        part=task.part,
        mould=task.mould,
        stations=task.stations,
        members=tuple(
            LoggedMember(order=m.order, pulls=m.pulls, parts=m.parts) for m in task.members
        ),
    )
