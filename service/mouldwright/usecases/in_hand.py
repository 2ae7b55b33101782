"""What is in hand at a moment of a plan: what runs, what stands and waits, and what comes next."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, Task

# What a task is done on: an order's pull, else its part, else the order as a whole.
_Work = tuple[str, str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class InHand:
    """A task under way, or over while its pull stands and waits for the next step.

    Attributes:
        place: Its place in the plan's tasks.
        is_over: Whether it is over, and the pull stands.
        next_place: Of the next step of its pull or part; None where it is the last.
        next_by: The last minute that step may begin at, by its greatest wait or the pot
            life of the mix; None where nothing limits it.
    """

    place: int
    task: Task
    is_over: bool
    next_place: int | None
    next_by: int | None

    @property
    def is_attended(self) -> bool:
        """Return whether someone's hands are in it."""
        return bool(self.task.people) and not self.is_over


def in_hand(shop: Shop, plan: Plan, at: int) -> tuple[InHand, ...]:
    """Return what is in hand at a minute by the plan, the first to end first.

    A pull that stands is named only while it keeps a mould or a unit from other work, or its
    next step must begin by a certain minute.

    Args:
        shop: Whose processes say how long a step may wait.
        plan: Taken as kept to the minute.
        at: The minute.
    """
    running: dict[int, InHand] = {}
    standing: dict[int, InHand] = {}
    for places in _by_work(plan).values():
        starts = [plan.tasks[place].start for place in places]
        last = bisect_right(starts, at) - 1
        if last < 0:
            continue
        place = places[last]
        following = places[last + 1] if last + 1 < len(places) else None
        task = plan.tasks[place]
        found = InHand(
            place=place,
            task=task,
            is_over=task.end <= at,
            next_place=following,
            next_by=None if following is None else _latest(shop, task, plan.tasks[following]),
        )
        if not found.is_over:
            known = running.get(place)
            running[place] = found if known is None else _sooner(plan, known, found)
        elif following is not None and _waits(task, plan.tasks[following], found.next_by):
            standing.setdefault(following, found)
    for place, task in enumerate(plan.tasks):
        # Upkeep of moulds is of no pull.
        if not task.members and task.start <= at < task.end:
            running[place] = InHand(
                place=place, task=task, is_over=False, next_place=None, next_by=None
            )
    every = (*running.values(), *standing.values())
    return tuple(sorted(every, key=lambda each: (each.task.end, each.place)))


def units_of(shop: Shop, plan: Plan, each: InHand) -> tuple[str, ...]:
    """Return the units of stations that a task in hand is on.

    Where nobody noted on which it was begun, it is on those that what follows takes it off.

    Args:
        shop: Whose processes say what is held from which step to which.
        plan: As ``in_hand`` had it.
        each: One of what that found.
    """
    process = shop.processes.get(each.task.process)
    if each.task.stations or each.next_place is None or process is None:
        return each.task.stations
    following = plan.tasks[each.next_place]
    names = [operation.name for operation in process.operations]
    if each.task.operation not in names or following.operation not in names:
        return ()
    here, there = names.index(each.task.operation), names.index(following.operation)
    kept = {
        hold.resource
        for hold in process.holds
        if names.index(hold.first) <= here < there <= names.index(hold.last)
    }
    return tuple(unit for unit in following.stations if unit.rpartition(" ")[0] in kept)


def latest_starts(shop: Shop, plan: Plan) -> dict[int, int]:
    """Return the last minute each task may begin at, for tasks that a wait or a mix limits.

    Args:
        shop: As ``in_hand`` has it.
        plan: As ``in_hand`` has it.

    Returns:
        By place in the plan's tasks.
    """
    found: dict[int, int] = {}
    for places in _by_work(plan).values():
        for before, after in pairwise(places):
            latest = _latest(shop, plan.tasks[before], plan.tasks[after])
            if latest is not None:
                found[after] = min(latest, found.get(after, latest))
    return found


def _by_work(plan: Plan) -> dict[_Work, list[int]]:
    """Return the places of the tasks that each pull or part goes through, in order of time."""
    found: dict[_Work, list[int]] = {}
    order = sorted(range(len(plan.tasks)), key=lambda at: (plan.tasks[at].start, at))
    for place in order:
        for work in _works(plan.tasks[place]):
            found.setdefault(work, []).append(place)
    return found


def _works(task: Task) -> Iterator[_Work]:
    for member in task.members:
        if member.pulls:
            yield from ((member.order, "pull", each) for each in member.pulls)
        elif member.parts:
            yield from ((member.order, "part", each) for each in member.parts)
        else:
            yield member.order, "order", 0


def _sooner(plan: Plan, one: InHand, other: InHand) -> InHand:
    """Return which of two pulls of one task goes on first."""

    def goes_on(each: InHand) -> int:
        return plan.tasks[each.next_place].start if each.next_place is not None else 2**62

    return other if goes_on(other) < goes_on(one) else one


def _waits(task: Task, following: Task, by: int | None) -> bool:
    kept = {task.mould, *task.stations} & {following.mould, *following.stations} - {None}
    return bool(kept) or by is not None


def _latest(shop: Shop, task: Task, following: Task) -> int | None:
    """Return the last minute at which what follows a task may begin."""
    process = shop.processes.get(task.process)
    if process is None or following.process != task.process:
        return None
    names = [each.name for each in process.operations]
    if task.operation not in names or following.operation not in names:
        return None
    step = process.operations[names.index(following.operation)]
    limits = []
    if step.wait_max_min is not None and task.operation in _before(step, names):
        limits.append(task.end + step.wait_max_min)
    mixing = process.operations[names.index(task.operation)]
    mixed = shop.materials.get(mixing.material or "")
    if mixing.pot_life_until == step.name and mixed is not None and mixed.mix is not None:
        limits.append(task.end + mixed.mix.pot_life_min - (following.end - following.start))
    return min(limits, default=None)


def _before(step: Operation, names: list[str]) -> tuple[str, ...]:
    """Return the names of the operations that a step follows."""
    if step.after:
        return step.after
    at = names.index(step.name)
    return (names[at - 1],) if at else ()
