"""The published plan as one person, one mould, one order or one day sees it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from mouldwright.domain.hours.opening import local
from mouldwright.planning.plan import Plan, Task

PlanBy = Literal["order", "person", "mould", "day"]


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
    return tuple(sorted(seen, key=_begins))


def groups_of(plan: Plan, by: PlanBy) -> dict[str, tuple[int, ...]]:
    """Return the places in ``plan.tasks`` that belong together.

    Args:
        plan: A plan.
        by: What for. A task of several orders or people, or of two days, stands under each; one
            that has none of them (a cure has no people) under none.

    Returns:
        By key (number, person, mould, ISO 8601 date), in order of the keys for days and else of
        their first task; in each the first to begin first.
    """
    keys: Callable[[Task], Iterable[str]] = {
        "order": lambda task: dict.fromkeys(m.order for m in task.members),
        "person": lambda task: task.people,
        "mould": lambda task: () if task.mould is None else (task.mould,),
        "day": lambda task: _days(task, plan.zone),
    }[by]
    found: dict[str, list[int]] = {}
    for place, task in sorted(enumerate(plan.tasks), key=lambda at: _begins(at[1])):
        for key in keys(task):
            found.setdefault(key, []).append(place)
    in_order = sorted(found) if by == "day" else found
    return {key: tuple(found[key]) for key in in_order}


def _begins(task: Task) -> tuple[int, int, str]:
    return task.start, task.end, task.operation


def _days(task: Task, zone: str) -> Iterator[str]:
    """Yield each local day that some minute of the task is on."""
    told = None
    for start, end in task.spans:
        day, last = local(start, zone).date(), local(max(start, end - 1), zone).date()
        while day <= last:
            if day != told:
                yield day.isoformat()
            told, day = day, day + timedelta(days=1)


def _lies_in(task: Task, day: date, zone: str) -> bool:
    """Return whether some minute of the task is on that day; spans are half-open."""
    return any(
        local(start, zone).date() <= day <= local(max(start, end - 1), zone).date()
        for start, end in task.spans
    )
