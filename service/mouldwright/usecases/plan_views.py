"""The published plan as one person, one mould, one order or one day sees it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from mouldwright.domain.hours.opening import local
from mouldwright.planning.plan import Plan, Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """What of a plan is wanted; everything that is named must fit.

    Attributes:
        order: Number of an order.
        person: Key of a person.
        mould: Name of a mould.
        day: A local day that some of the task lies in.
    """

    order: str | None = None
    person: str | None = None
    mould: str | None = None
    day: date | None = None


def tasks_seen(plan: Plan, sight: Sight) -> tuple[Task, ...]:
    """Return the tasks that fit, the first to begin first."""
    tests: list[Callable[[Task], bool]] = []
    if sight.order is not None:
        tests.append(lambda task: any(m.order == sight.order for m in task.members))
    if sight.person is not None:
        tests.append(lambda task: sight.person in task.people)
    if sight.mould is not None:
        tests.append(lambda task: sight.mould == task.mould)
    if sight.day is not None:
        day = sight.day
        tests.append(lambda task: _lies_in(task, day, plan.zone))
    seen = [task for task in plan.tasks if all(test(task) for test in tests)]
    return tuple(sorted(seen, key=lambda task: (task.start, task.end, task.operation)))


def _lies_in(task: Task, day: date, zone: str) -> bool:
    """Return whether some minute of the task is on that day; spans are half-open."""
    return any(
        local(start, zone).date() <= day <= local(max(start, end - 1), zone).date()
        for start, end in task.spans
    )
