"""A finished plan looked up: which task follows which, who was busy with what, when hours are open.

Tasks are named by their place in ``plan.tasks``.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from mouldwright.domain.costing.material_wait import MaterialWait, day_begins, material_waits
from mouldwright.domain.hours.clock import fit, intersect, spans, union
from mouldwright.domain.hours.opening import Window, minute_of
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop
from mouldwright.planning.logged.standing import as_it_stands
from mouldwright.planning.plan import Plan, Task

# Hours are looked up this far before and after the plan, so that a closing is seen whole.
MARGIN_MIN = 14 * 1440

Key = tuple[str, str, str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class InRoom:
    """Work that a room had to settle after.

    Attributes:
        room: What the room is called.
        task: Place of the task.
        settled: When it had settled.
    """

    room: str
    task: int
    settled: int


class PlanReader:
    """Looks a plan up.

    Attributes:
        first, last: The minutes that hours are known between.
    """

    def __init__(self, shop: Shop, plan: Plan) -> None:
        """Note where everything stands."""
        shop = as_it_stands(shop, now=plan.now)
        self.shop, self.plan, self.tasks = shop, plan, plan.tasks
        starts = [task.start for task in plan.tasks]
        ends = [task.end for task in plan.tasks]
        self.first = min([plan.now, *starts]) - MARGIN_MIN
        self.last = max([plan.now, *ends]) + MARGIN_MIN
        self._operations: dict[tuple[str, str], Operation] = {}
        self._before: dict[tuple[str, str], tuple[str, ...]] = {}
        self._after: dict[tuple[str, str], list[str]] = {}
        for process in shop.processes.values():
            self._learn(process.key, process.operations)
            if process.conditioning is not None:
                self._operations[(process.key, process.conditioning.name)] = process.conditioning
        for kit in shop.sets.values():
            self._learn(kit.key, kit.operations)
        self.by_pull: dict[Key, list[int]] = {}
        self.by_part: dict[Key, list[int]] = {}
        self.by_mould: dict[tuple[str, str, str], list[int]] = {}
        self.of_order: dict[str, list[int]] = {}
        self.in_room: dict[str, list[int]] = {}
        self.of_person: dict[str, list[tuple[int, int]]] = {person: [] for person in shop.people}
        for at, task in enumerate(plan.tasks):
            self._enter(at, task)
        for rows in self.of_person.values():
            rows.sort()
        self._release = {
            order.number: minute_of(order.release)
            for order in shop.orders
            if order.release is not None
        }
        self._materials: dict[str, MaterialWait] = {}
        begun = frozenset(m.order for t in self.tasks if t.start < plan.now for m in t.members)
        for wait in material_waits(shop, shop.orders, now=plan.now, begun=begun):
            there = None if wait.there_on is None else day_begins(shop, wait.there_on)
            if there is not None and there > self._release.get(wait.order, plan.now):
                self._release[wait.order] = there
                self._materials[wait.order] = wait
        self._geared: dict[tuple[str, int], int] = {}
        self._cleaned: dict[tuple[str, int], int] = {}
        for stint in plan.sessions:
            self._geared[(stint.person, stint.start + stint.gear_up_min)] = stint.gear_up_min
            self._cleaned[(stint.person, stint.end - stint.clean_down_min)] = stint.end
        self._windows: dict[str, tuple[Window, ...]] = {}
        self._together: dict[tuple[tuple[str, ...], tuple[str, ...]], tuple[Window, ...]] = {}

    def _learn(self, process: str, operations: Sequence[Operation]) -> None:
        for place, operation in enumerate(operations):
            key = (process, operation.name)
            self._operations[key] = operation
            before = operation.after or ((operations[place - 1].name,) if place else ())
            self._before[key] = tuple(before)
            for name in before:
                self._after.setdefault((process, name), []).append(operation.name)

    def _enter(self, at: int, task: Task) -> None:
        for member in task.members:
            base = (member.order, task.process, task.operation)
            for pull in member.pulls:
                self.by_pull.setdefault((*base, pull), []).append(at)
            for part in member.parts:
                self.by_part.setdefault((*base, part), []).append(at)
            self.of_order.setdefault(member.order, []).append(at)
        if not task.members and task.mould is not None:
            key = (task.mould, task.process, task.operation)
            self.by_mould.setdefault(key, []).append(at)
        for person in task.people:
            self.of_person.setdefault(person, []).append((task.end, at))
        operation = self._operations.get((task.process, task.operation))
        if operation is not None and operation.in_room is not None:
            self.in_room.setdefault(operation.in_room, []).append(at)

    # Steps.

    def operation(self, at: int) -> Operation | None:
        """Return the step a task does; None where the shop no longer has it."""
        task = self.tasks[at]
        return self._operations.get((task.process, task.operation))

    def followed(self, at: int) -> list[int]:
        """Return the tasks that a task follows by its routing."""
        task = self.tasks[at]
        names = self._before.get((task.process, task.operation), ())
        found = [o for name in names for o in self._through(at, name, self._before)]
        if task.process in self.shop.sets and not names:
            found += self._parts_of_set(task)
        return list(dict.fromkeys(found))

    def following(self, at: int) -> list[int]:
        """Return the tasks of its process that follow a task by the routing."""
        task = self.tasks[at]
        names = self._after.get((task.process, task.operation), ())
        found = [o for name in names for o in self._through(at, name, self._after)]
        return list(dict.fromkeys(found))

    def _through(
        self, at: int, name: str, onward: Mapping[tuple[str, str], Sequence[str]]
    ) -> Iterator[int]:
        """Yield the tasks of a step; those beyond it too where some parts pass it by."""
        process = self.tasks[at].process
        left, seen = [name], {name}
        while left:
            step = left.pop()
            yield from self.sharing(at, step)
            operation = self._operations.get((process, step))
            if operation is not None and not operation.is_for_all:
                beyond = [n for n in onward.get((process, step), ()) if n not in seen]
                seen.update(beyond)
                left += beyond

    def sharing(self, at: int, operation: str) -> list[int]:
        """Return the tasks of another step that some pull or part of a task goes through."""
        task = self.tasks[at]
        if not task.members:
            if task.mould is None or not self._is_build(task):
                return []
            return self.by_mould.get((task.mould, task.process, operation), [])
        found: list[int] = []
        for member in task.members:
            base = (member.order, task.process, operation)
            by_part = [p for p in member.parts if (*base, p) in self.by_part]
            one_part = len(member.parts) == 1 and len(member.pulls) <= 1
            if by_part and (one_part or not member.pulls):
                for part in by_part:
                    found += self.by_part[(*base, part)]
                continue
            for pull in member.pulls:
                found += self.by_pull.get((*base, pull), ())
        return list(dict.fromkeys(found))

    def _is_build(self, task: Task) -> bool:
        return (task.process, task.operation) in self._before

    def _parts_of_set(self, task: Task) -> list[int]:
        """Return the last tasks of each part that a set's own work waits for."""
        last: dict[tuple[str, str], int] = {}
        for member in task.members:
            for other in self.of_order.get(member.order, ()):
                made = self.tasks[other]
                if made.process == task.process:
                    continue
                key = (member.order, made.part)
                if key not in last or made.end > self.tasks[last[key]].end:
                    last[key] = other
        return list(last.values())

    def serials(self, at: int) -> list[int]:
        """Return the tasks that gave a task's members their serial, from which age counts."""
        process = self.shop.processes.get(self.tasks[at].process)
        if process is None:
            return []
        place = process.serial_place
        return [] if place is None else self.sharing(at, process.operations[place].name)

    def room_before(self, at: int) -> InRoom | None:
        """Return the work in another state that a task's room had to settle after."""
        operation = self.operation(at)
        if operation is None or operation.in_room is None:
            return None
        room = self.shop.rooms[operation.in_room]
        start, found = self.tasks[at].start, None
        for other in self.in_room[operation.in_room]:
            before = self.operation(other)
            if before is None or before.room_state == operation.room_state:
                continue
            settled = self.tasks[other].end + room.settles_min(before.room_state or "")
            if settled <= start and (found is None or settled > found.settled):
                found = InRoom(room=room.title, task=other, settled=settled)
        return found

    def release(self, at: int) -> int | None:
        """Return the latest release of the orders a task is for; None where none has one."""
        return max(
            (self._release[m.order] for m in self.tasks[at].members if m.order in self._release),
            default=None,
        )

    def materials_of(self, order: str) -> str:
        """Return what material an order waits for, in words; empty where for none."""
        wait = self._materials.get(order)
        return "" if wait is None else wait.words(self.shop)

    def material(self, at: int, minute: int) -> MaterialWait | None:
        """Return the material that an order of a task waits for until a minute."""
        for member in self.tasks[at].members:
            if self._release.get(member.order) == minute and member.order in self._materials:
                return self._materials[member.order]
        return None

    # Hands and hours.

    def busy_before(self, person: str, minute: int) -> int | None:
        """Return the task someone ended last by that minute; None where there is none."""
        rows = self.of_person.get(person, [])
        i = bisect_right(rows, (minute, len(self.tasks))) - 1
        return rows[i][1] if i >= 0 else None

    def gears_up(self, at: int, person: str) -> int:
        """Return the minutes someone gears up directly before a task."""
        return self._geared.get((person, self.tasks[at].start), 0)

    def let_go(self, at: int, person: str) -> int:
        """Return when a task lets go of someone: once they have cleaned down after it."""
        end = self.tasks[at].end
        return self._cleaned.get((person, end), end)

    def hours(self, person: str) -> tuple[Window, ...]:
        """Return when someone's hours are open."""
        if person not in self._windows:
            known = self.shop.people.get(person)
            self._windows[person] = (
                ((self.first, self.last),)
                if known is None
                else self.shop.hours_of(known).windows(self.first, self.last)
            )
        return self._windows[person]

    def station_hours(self, station: str) -> tuple[Window, ...] | None:
        """Return when a station may be used; None at any time."""
        known = self.shop.stations.get(station)
        if known is None or known.weekly is None:
            return None
        key = f"station {station}"
        if key not in self._windows:
            hours = self.shop.hours.with_weekly(known.weekly)
            self._windows[key] = hours.windows(self.first, self.last)
        return self._windows[key]

    def able(self, at: int) -> tuple[str, ...]:
        """Return everyone who could do a task."""
        operation = self.operation(at)
        if operation is None or not operation.attended:
            return self.tasks[at].people
        return tuple(person.key for person in self.shop.with_skill(operation.skill))

    def someone_open(self, people: Iterable[str]) -> tuple[Window, ...]:
        """Return when the hours of at least one of them are open."""
        return union(window for person in people for window in self.hours(person))

    def fits_from(self, at: int, minute: int) -> int:
        """Return the first minute from ``minute`` at which hours alone would let a task begin.

        Its own people and stations are asked, as if nothing else were in the way.
        """
        task = self.tasks[at]
        windows = self._open_for(task)
        if windows is None:
            return minute
        operation = self.operation(at)
        work = sum(end - start for start, end in task.spans)
        if operation is not None and operation.interruptible and len(task.spans) > 1:
            pieces = spans(windows, minute, work) if work else None
            return pieces[0][0] if pieces else minute
        gear = max((self.gears_up(at, person) for person in task.people), default=0)
        start = fit(windows, minute - gear, task.end - task.start + gear)
        return minute if start is None else max(start + gear, minute)

    def _open_for(self, task: Task) -> tuple[Window, ...] | None:
        stations = tuple(dict.fromkeys(unit.rpartition(" ")[0] for unit in task.stations))
        key = (task.people, stations)
        if key not in self._together:
            windows: tuple[Window, ...] = ((self.first, self.last),)
            for person in task.people:
                windows = intersect(windows, self.hours(person))
            for station in stations:
                opening = self.station_hours(station)
                if opening is not None:
                    windows = intersect(windows, opening)
            self._together[key] = windows
        windows = self._together[key]
        return None if windows == ((self.first, self.last),) else windows


def orders_of(task: Task) -> tuple[str, ...]:
    """Return the numbers of the orders a task is for."""
    return tuple(dict.fromkeys(member.order for member in task.members))
