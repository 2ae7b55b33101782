"""Who keeps a mould or a station unit from when to when, read from a plan's tasks.

A hold runs from the start of one step to the end of a later one and is kept between its
tasks too; a station may also be taken by one task alone; a mould is kept while it is made
or conditioned.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from mouldwright.domain.process.process import Hold, Process
from mouldwright.planning.explaining.reading import PlanReader, orders_of
from mouldwright.planning.plan import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """One stretch for which a mould or a unit is kept.

    Attributes:
        resource: Name of the mould or unit.
        first: Place of the task it begins with; -1 where that is over and not in the plan.
        last: Place of the task it ends with.
        orders: Numbers of the orders it is for; none for a mould's own upkeep.
        parts: How many parts are in it.
    """

    resource: str
    start: int
    end: int
    first: int
    last: int
    orders: tuple[str, ...]
    parts: int = 1


class Uses:
    """All uses of a plan."""

    def __init__(self, reader: PlanReader) -> None:
        """Read them from the tasks."""
        self._reader, shop = reader, reader.shop
        found: dict[tuple[str, int, int], Use] = {}
        for at, task in enumerate(reader.tasks):
            for use in self._of_task(at, task):
                # What begins with one task is one use, however many tasks it ends with.
                key = (use.resource, use.first, use.last if use.first < 0 else -1)
                found[key] = _joined(found[key], use) if key in found else use
        self.of: dict[str, list[Use]] = {}
        self.beginning: dict[int, list[Use]] = {}
        for use in sorted(found.values(), key=lambda u: (u.start, u.end, u.last)):
            self.of.setdefault(use.resource, []).append(use)
            if use.first >= 0:
                self.beginning.setdefault(use.first, []).append(use)
        self._rooms = {s.key: s.room for s in shop.stations.values() if s.room is not None}

    def before(self, use: Use) -> Use | None:
        """Return the use that had to end for another to begin; None where nothing had to."""
        earlier = [
            other
            for other in self.of[use.resource]
            if other is not use and other.end <= use.start and other.start <= use.start
        ]
        room = self._rooms.get(use.resource.rpartition(" ")[0])
        if room is not None:
            # A place with room is only waited for where it was full just before.
            earlier = [o for o in earlier if o.end == use.start]
            there = sum(o.parts for o in self.of[use.resource] if o.start < use.start <= o.end)
            if there + use.parts <= room:
                return None
        return max(earlier, key=lambda other: (other.end, other.last), default=None)

    # Reading.

    def _of_task(self, at: int, task: Task) -> Iterator[Use]:
        process = self._reader.shop.processes.get(task.process)
        if not task.members:
            for name in (task.mould, *task.stations):
                if name is not None:
                    yield _alone(name, at, task)
            return
        holds = process.holds if process is not None else ()
        held = {
            hold.resource
            for hold in holds
            if process is not None and _within(process, hold, task.operation)
        }
        for unit in task.stations:
            if unit.rpartition(" ")[0] not in held:
                yield _alone(unit, at, task)
        for hold in holds:
            if process is not None and task.operation == hold.last:
                yield from self._of_hold(process, hold, at, task)

    def _of_hold(self, process: Process, hold: Hold, at: int, task: Task) -> Iterator[Use]:
        """Yield the uses that end with a task."""
        reader = self._reader
        names = [operation.name for operation in process.operations]
        inside = names[names.index(hold.first) : names.index(hold.last)]
        during = [p for name in inside for p in reader.sharing(at, name)] + [at]
        # The last step is the finest that names its unit; a mix names the units of all.
        units = next((n for p in reversed(during) if (n := self._names(hold, reader.tasks[p]))), ())
        firsts = [p for p in during if reader.tasks[p].operation == hold.first]
        first = min(firsts, key=lambda p: reader.tasks[p].start, default=-1)
        for unit in units:
            yield Use(
                resource=unit,
                start=reader.tasks[first].start if first >= 0 else reader.first,
                end=task.end,
                first=first,
                last=at,
                orders=orders_of(task),
                parts=sum(max(len(m.parts), len(m.pulls)) for m in task.members),
            )

    @staticmethod
    def _names(hold: Hold, task: Task) -> tuple[str, ...]:
        if hold.resource == "mould":
            return () if task.mould is None else (task.mould,)
        return tuple(u for u in task.stations if u.rpartition(" ")[0] == hold.resource)


def _joined(one: Use, other: Use) -> Use:
    last = max(one, other, key=lambda use: (use.end, use.last))
    orders = tuple(dict.fromkeys((*one.orders, *other.orders)))
    return replace(last, orders=orders, parts=one.parts + other.parts)


def _alone(name: str, at: int, task: Task) -> Use:
    return Use(
        resource=name,
        start=task.start,
        end=task.end,
        first=at,
        last=at,
        orders=orders_of(task),
        parts=max(sum(max(len(m.parts), len(m.pulls)) for m in task.members), 1),
    )


def _within(process: Process, hold: Hold, operation: str) -> bool:
    names = [each.name for each in process.operations]
    if operation not in names:
        return False
    at = names.index(operation)
    return names.index(hold.first) <= at <= names.index(hold.last)
