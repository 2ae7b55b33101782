"""What fixes an order's finish, in words: the tasks and waits behind its last task.

From the last task back: where a task starts as soon as what it follows has ended, that is
the cause; where it starts later, whatever was not free until then is.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace

from mouldwright.domain.hours.opening import local
from mouldwright.planning.placed import Item, Placed, Progress
from mouldwright.planning.problem import Problem
from mouldwright.planning.routing import ORDER, PART, Step
from mouldwright.planning.shapes import ALL

# Causes told for one order; what lies further back says little.
MOST_CAUSES = 8
# Tasks gone through at most on the way back.
MOST_STEPS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cause:
    """Why a task starts when it does: words where it waited, and the task behind it.

    Waits for busy hands say whose and from when to when, so that a row of them is told
    as one.
    """

    words: str
    task: Placed | None
    hands: str = ""
    since: int = 0
    until: int = 0


def binds(problem: Problem, tasks: Sequence[Placed], progress: Progress) -> list[tuple[str, ...]]:
    """Return, for each order, what fixes its finish, the last cause first."""
    return _Causes(problem, tasks, progress).all()


class _Causes:
    def __init__(self, problem: Problem, tasks: Sequence[Placed], progress: Progress) -> None:
        self.problem, self.progress = problem, progress
        self.done: dict[tuple[int, int, int], Placed] = {}
        self.last: dict[int, Placed] = {}
        self.by_person: dict[int, list[tuple[int, int, Placed]]] = {}
        self.by_tool: dict[int, list[tuple[int, int, Placed]]] = {}
        self.by_unit: dict[int, list[tuple[int, int, Placed]]] = {}
        for n, task in enumerate(tasks):
            for item in task.items:
                for index in self._indices(item, task.step):
                    self.done[(item[0], task.step.index, index)] = task
                order = problem.lots[item[0]].order
                if order >= 0 and (order not in self.last or task.end > self.last[order].end):
                    self.last[order] = task
            for person in task.people:
                self.by_person.setdefault(person, []).append((task.end, n, task))
            for unit in self._units(task, task.step.ends_holds):
                self.by_unit.setdefault(unit, []).append((task.end, n, task))
            if task.tool >= 0 and self._frees_tool(task):
                self.by_tool.setdefault(task.tool, []).append((task.end, n, task))
        for table in (self.by_person, self.by_tool, self.by_unit):
            for rows in table.values():
                rows.sort(key=lambda row: row[:2])

    def all(self) -> list[tuple[str, ...]]:
        return [self._of(order) for order in range(len(self.problem.demands))]

    def _of(self, order: int) -> tuple[str, ...]:
        if order not in self.last:
            return ("everything is under way or done",)
        found: list[str] = []
        task: Placed | None = self.last[order]
        seen: set[int] = set()
        busy: _Cause | None = None
        for _ in range(MOST_STEPS):
            if task is None or id(task) in seen or len(found) >= MOST_CAUSES:
                break
            seen.add(id(task))
            if not task.people and task.end > task.start:
                found.append(f"{task.step.name} of {_length(task.end - task.start)}")
            cause = self._cause(task)
            if cause.hands:
                if busy is not None and busy.hands == cause.hands:
                    found.pop()
                    cause = replace(
                        cause,
                        since=min(busy.since, cause.since),
                        until=max(busy.until, cause.until),
                    )
                busy = cause
                span = f"from {self._at(cause.since)} to {self._at(cause.until)}"
                found.append(f"waits for {cause.hands} {span}")
            elif cause.words or not task.people:
                busy = None
                found += [cause.words] if cause.words else []
            task = cause.task
        return tuple(found) or ("the work itself, from the first minute on",)

    # Why a task starts when it does.

    def _cause(self, task: Placed) -> _Cause:
        if task.lot < 0:
            return self._waits_for(task, self._before(self.by_tool, task.tool, task.start), 0)
        before = self._predecessor(task)
        ready = 0
        if before is not None:
            ready = before.end + task.step.wait_min
        lot = self.problem.lots[task.lot]
        release = lot.release
        aged = self._aged(task)
        if aged is not None and aged.end + task.step.age_min >= max(task.start, ready):
            age = _length(task.step.age_min)
            return _Cause(words=f"{task.step.name} waits for parts {age} old", task=aged)
        if ready >= task.start:
            wait = task.step.wait_min
            words = f"{task.step.name} waits {_length(wait)} at least" if wait else ""
            return _Cause(words=words, task=before)
        if release >= task.start:
            words = "the order's release" if release else ""
            return _Cause(words=f"{words} {self._at(release)}" if words else "", task=None)
        return self._waits_for(task, before, max(ready, release))

    def _waits_for(self, task: Placed, before: Placed | None, ready: int) -> _Cause:
        """Name what was not free between a task's being ready and its start."""
        span = f"from {self._at(ready)} to {self._at(task.start)}"
        if task.step.starts_holds and task.tool >= 0:
            kept = self._before(self.by_tool, task.tool, task.start)
            if kept is not None and kept.end > ready and kept.end == task.start:
                name = self.problem.tools[task.tool].name
                return _Cause(words=f"mould {name} is kept until {self._at(kept.end)}", task=kept)
        for unit in self._units(task, task.step.starts_holds):
            used = self._before(self.by_unit, unit, task.start)
            if used is not None and used.end == task.start and used.end > ready:
                name = self._unit_name(unit)
                return _Cause(words=f"{name} is taken until {self._at(used.end)}", task=used)
        for person in task.people:
            busy = self._before(self.by_person, person, task.start)
            if busy is not None and busy.end == task.start and busy.end > ready:
                return _Cause(
                    words="",
                    task=busy,
                    hands=self._hands(task.step),
                    since=ready,
                    until=task.start,
                )
        for person in task.people:
            if any(opens == task.start for opens, _ in self.problem.windows[person]):
                busy = self._before(self.by_person, person, task.start)
                closed = f"waits for {self._hands(task.step)} {span} (closed)"
                behind = busy if busy is not None and busy.end > ready else before
                return _Cause(words=closed, task=behind)
        kept = self._before(self.by_tool, task.tool, task.start) if task.tool >= 0 else None
        if task.step.starts_holds and kept is not None and kept.end > ready:
            name = self.problem.tools[task.tool].name
            return _Cause(words=f"mould {name} is kept until {self._at(kept.end)}", task=kept)
        return _Cause(words=f"{task.step.name} has to wait {span}", task=before)

    def _predecessor(self, task: Placed) -> Placed | None:
        """Return the task that a task of the routing follows and that ended last."""
        found: list[Placed] = []
        for lot, unit, part in task.items:
            steps = self.problem.routings[self.problem.lots[lot].routing].steps
            for p in task.step.preds:
                found += [
                    self.done[key]
                    for index in self._indices((lot, unit, part), steps[p])
                    if (key := (lot, p, index)) in self.done
                ]
        lot_facts = self.problem.lots[task.lot]
        if not found and lot_facts.after_lots:
            order = lot_facts.order
            mine = [t for t in self.done.values() if t.lot in lot_facts.after_lots]
            found = mine if order >= 0 else []
        return max(found, key=lambda t: t.end, default=None)

    def _aged(self, task: Placed) -> Placed | None:
        """Return the task that gave the youngest of a task's members its serial."""
        found = [
            self.done[key]
            for lot, unit, part in task.items
            if task.step.age_of >= 0
            for index in self._indices(
                (lot, unit, part),
                self.problem.routings[self.problem.lots[lot].routing].steps[task.step.age_of],
            )
            if (key := (lot, task.step.age_of, index)) in self.done
        ]
        return max(found, key=lambda t: t.end, default=None)

    def _indices(self, item: Item, step: Step) -> Sequence[int]:
        """Return the places of a step's tasks that bear on an item."""
        lot, unit, part = item
        facts = self.problem.lots[lot]
        if step.level == ORDER:
            return (0,)
        units = range(facts.units) if unit == ALL else range(unit, unit + 1)
        if step.level != PART:
            return units
        if part != ALL:
            return (unit * facts.cavities + part,)
        return range(units.start * facts.cavities, units.stop * facts.cavities)

    def _frees_tool(self, task: Placed) -> bool:
        if task.lot < 0:
            return True
        keeps = self.problem.routings[self.problem.lots[task.lot].routing].keeps
        return any(keeps[k].station < 0 for k in task.step.ends_holds)

    def _units(self, task: Placed, holds: Sequence[int]) -> list[int]:
        """Return the unit a task is done at, and those of some of its holds."""
        units = [task.unit] if task.unit >= 0 else []
        for lot, unit, part in task.items:
            cavities = self.problem.lots[lot].cavities
            for k in holds:
                for key in (0, unit, unit * cavities + max(part, 0)):
                    if (lot, k, key) in self.progress.kept:
                        units.append(self.progress.kept[(lot, k, key)])
                        break
        return list(dict.fromkeys(units))

    @staticmethod
    def _before(
        table: dict[int, list[tuple[int, int, Placed]]], key: int, minute: int
    ) -> Placed | None:
        """Return what ended last on a resource by that minute."""
        rows = table.get(key, [])
        i = bisect_left(rows, minute + 1, key=lambda row: row[0]) - 1
        return rows[i][2] if i >= 0 else None

    # Words.

    def _hands(self, step: Step) -> str:
        skill = step.operation.skill
        return f"hands with {skill}" if skill else "hands"

    def _unit_name(self, unit: int) -> str:
        for place in self.problem.places:
            if unit < len(place.units):
                return place.units[unit]
            unit -= len(place.units)
        return "a station"

    def _at(self, minute: int) -> str:
        return f"{local(minute + self.problem.now, self.problem.zone):%a %d %b %H:%M}"


def _length(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"
