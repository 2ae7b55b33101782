"""What stays with a pinned task: all that must have gone before it, as the plan has it.

A pinned task is kept to the minute, on its mould, with its people. So that it can be, the
steps its pulls and parts go through before it stay as well, and what its mould and the
stations it holds are used for until then. All else is planned anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Member, Task

# What makes two tasks of two plans the same work.
Identity = tuple[str, str, tuple[Member, ...]]


def identity(task: Task) -> Identity:
    """Return what stays the same of a task wherever it is moved; work without members has none."""
    return task.process, task.operation, task.members


def shares(one: Task, other: Task) -> bool:
    """Return whether some pull or part goes through both tasks."""
    orders = {member.order: member for member in other.members}
    return any(_meet(m, orders[m.order]) for m in one.members if m.order in orders)


def _meet(one: Member, other: Member) -> bool:
    if one.parts and other.parts and (not one.pulls or len(one.parts) == 1 == len(other.parts)):
        return bool(set(one.parts) & set(other.parts))
    if one.pulls and other.pulls:
        return bool(set(one.pulls) & set(other.pulls))
    # Work on the order as a whole names neither.
    return True


def with_what_goes_before(
    shop: Shop, tasks: Sequence[Task], pinned: Iterable[Task]
) -> tuple[Task, ...]:
    """Return pinned tasks and what must stay for them to be kept, the first to begin first.

    Args:
        shop: What the tasks are done in.
        tasks: The plan the pinned tasks were taken from.
        pinned: Each in place of the plan's own task of the same identity.
    """
    fixed = {identity(task): task for task in pinned}
    laid_out = [fixed.get(identity(task), task) if task.members else task for task in tasks]
    known = set(laid_out)
    # A pin that the plan does not know any more is still a pin.
    laid_out += [task for task in fixed.values() if task not in known]
    before = _Before(shop, laid_out)
    kept: dict[Task, None] = {}
    left = list(fixed.values())
    while left:
        task = left.pop()
        if task not in kept:
            kept[task] = None
            left.extend(before.of(task))
    return tuple(
        sorted(kept, key=lambda t: (t.start, t.end, t.process, t.operation, t.mould or ""))
    )


class _Before:
    """Looks up what goes before a task."""

    def __init__(self, shop: Shop, tasks: Sequence[Task]) -> None:
        self.shop = shop
        self.by_order: dict[tuple[str, str], list[Task]] = {}
        self.by_place: dict[str, list[Task]] = {}
        held = {hold.resource for process in shop.processes.values() for hold in process.holds}
        rooms = {station.key for station in shop.stations.values() if station.room is not None}
        for task in tasks:
            for member in task.members:
                self.by_order.setdefault((member.order, task.process), []).append(task)
            places = [unit for unit in task.stations if unit.rpartition(" ")[0] in held - rooms]
            for place in (*places, *((task.mould,) if task.mould and self._in_hold(task) else ())):
                self.by_place.setdefault(place, []).append(task)
        self._earlier: dict[tuple[str, str], frozenset[str]] = {}

    def of(self, task: Task) -> Iterator[Task]:
        """Yield what goes straight before a task: its own steps, and its places' earlier work."""
        earlier = self._steps_before(task.process, task.operation)
        for member in task.members:
            for other in self.by_order.get((member.order, task.process), ()):
                if other.operation in earlier and shares(other, task):
                    yield other
            if task.process in self.shop.sets:
                for (order, process), parts in self.by_order.items():
                    if order == member.order and process != task.process:
                        yield from parts
        for place in (task.mould, *task.stations):
            if place is not None:
                yield from self._on(place, task)

    def _on(self, place: str, task: Task) -> Iterator[Task]:
        """Yield the work of a place that is over when this task's own pull comes to it."""
        uses = self.by_place.get(place, ())
        own = [other.start for other in uses if other is task or self._same_use(other, task)]
        until = min(own, default=task.start)
        busy = [other for other in uses if other.start < until < other.end]
        for other in uses:
            is_over = other.end <= until and other.start < until
            # What was begun there and is not over would be in the way: it is planned anew.
            if is_over and not any(self._same_use(late, other) for late in (task, *busy)):
                yield other

    def _same_use(self, one: Task, other: Task) -> bool:
        return bool(one.members) and bool(other.members) and shares(one, other)

    def _in_hold(self, task: Task) -> bool:
        """Return whether a task's mould is kept during it, or is being made or looked after."""
        process = self.shop.processes.get(task.process)
        if process is None or not task.members:
            return True
        names = [operation.name for operation in process.operations]
        if task.operation not in names:
            return True
        at = names.index(task.operation)
        return any(
            hold.resource == "mould" and names.index(hold.first) <= at <= names.index(hold.last)
            for hold in process.holds
        )

    def _steps_before(self, process: str, operation: str) -> frozenset[str]:
        key = (process, operation)
        if key not in self._earlier:
            steps = self._operations(process)
            found: set[str] = set()
            left = straight_before(steps, operation)
            while left:
                name = left.pop()
                if name not in found:
                    found.add(name)
                    left += straight_before(steps, name)
            self._earlier[key] = frozenset(found)
        return self._earlier[key]

    def _operations(self, process: str) -> Sequence[Operation]:
        if process in self.shop.processes:
            return self.shop.processes[process].operations
        if process in self.shop.sets:
            return self.shop.sets[process].operations
        return ()


def straight_before(steps: Sequence[Operation], name: str) -> list[str]:
    """Return the names of what an operation follows."""
    for place, operation in enumerate(steps):
        if operation.name == name:
            return list(operation.after) or ([steps[place - 1].name] if place else [])
    return []
