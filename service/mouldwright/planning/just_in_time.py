"""Moving the first steps of a hold later, up to what they are done for.

A search starts work as soon as it can, so a mould may be reset on Friday for a pull that is
loaded on Tuesday. No order gains by that; the mould stands taken, a reset dries out, and
whatever changes meanwhile finds it taken. What leads up to a hold is therefore done as late
as its people can do it without anything after it moving.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import replace

from mouldwright.planning.placed import Placed
from mouldwright.planning.problem import Problem
from mouldwright.planning.routing import NEVER, ORDER, PART, UNIT
from mouldwright.planning.shapes import ALL
from mouldwright.planning.timelines import LONG_AGO, FreeTime


def just_in_time(problem: Problem, tasks: Sequence[Placed]) -> list[Placed]:
    """Return the tasks with those that lead up to a hold's work done as late as can be.

    No hold or order ends later than before, and everyone keeps their tasks. Where going in and
    coming out of work costs time everything stays: a task moved might cost one more of either.
    """
    if problem.ground.has_sessions:
        return list(tasks)
    return _Mover(problem, tasks).moved()


# No least wait of a step is longer; only how far to look ahead depends on it.
LONGEST_WAIT = 60 * 1440


class _Mover:
    """Moves tasks one by one, the latest first."""

    def __init__(self, problem: Problem, tasks: Sequence[Placed]) -> None:
        self.problem, self.tasks = problem, list(tasks)
        self.people = [FreeTime(windows) for windows in problem.windows]
        named = {name: i for i, name in enumerate(problem.people)}
        for running in problem.running:
            for key in running.people:
                self._busy(named[key], running.start - problem.now, running.end - problem.now)
        for task in tasks:
            for person in task.people:
                self._busy(person, task.start, task.end)
        # What runs is known by name only: leave its orders alone.
        begun = {member.order for task in problem.running for member in task.members}
        self.begun = {
            lot.index
            for lot in problem.lots
            if lot.order < 0 or problem.demands[lot.order].number in begun
        }
        self.starts: dict[tuple[int, int], list[tuple[int, int]]] = {}
        for place, task in enumerate(self.tasks):
            for lot, unit, _ in task.items:
                whose = (lot, ALL if task.step.level == ORDER else unit)
                self.starts.setdefault(whose, []).append((task.start, place))
        for row in self.starts.values():
            row.sort()
        self.last_uses = [
            {s.pot_until for s in routing.steps if s.pot_until >= 0} for routing in problem.routings
        ]

    def _busy(self, person: int, start: int, end: int) -> None:
        """Book a person from start to end, pauses too."""
        self.people[person].block(start, end)

    def moved(self) -> list[Placed]:
        order = sorted(range(len(self.tasks)), key=lambda i: -self.tasks[i].start)
        for place in order:
            task = self.tasks[place]
            if self._may_move(task):
                start = self._latest(task, self._wanted_at(task) - (task.end - task.start))
                if start > task.start:
                    self._put(place, start)
        return self.tasks

    def _may_move(self, task: Placed) -> bool:
        """Return whether a task is on the way to a hold's work, and tied to nothing before it."""
        step = task.step
        return (
            task.lot >= 0
            and task.lot not in self.begun
            and step.level in (UNIT, PART)
            and bool(task.people)
            and task.spans is None
            and bool(step.starts_holds or step.within)
            and not step.ends_holds
            and step.station < 0
            and step.room is None
            and not step.hours_of
            and step.wait_max >= NEVER
            and step.index not in self.last_uses[self.problem.lots[task.lot].routing]
        )

    def _wanted_at(self, task: Placed) -> int:
        """Return when the next task of its unit needs it done; its own end where none follows."""
        soonest = NEVER
        lot, unit, _ = task.items[0]
        for key in ((lot, unit), (lot, ALL)):
            row = self.starts.get(key, ())
            i = bisect_right(row, (task.end, -1))
            for start, place in row[i:]:
                if start >= soonest + LONGEST_WAIT:
                    break
                # Others may have moved since: where they stand now counts.
                other = self.tasks[place]
                soonest = min(soonest, other.start - other.step.wait_min)
        return task.end if soonest >= NEVER else max(soonest, task.end)

    def _latest(self, task: Placed, until: int) -> int:
        """Return the latest start by ``until`` at which the same people are free."""
        length = task.end - task.start
        if until <= task.start:
            return task.start
        mine = [self.people[person] for person in task.people]
        for free in mine:
            free.give(task.start, task.end)
        at = until
        while at > task.start:
            found = min(_last_fit(free, at, length) for free in mine)
            if found == at:
                break
            at = found
        for free in mine:
            free.take(task.start, task.end)
        return max(at, task.start)

    def _put(self, place: int, start: int) -> None:
        task = self.tasks[place]
        end = start + task.end - task.start
        mine = [self.people[person] for person in task.people]
        for free in mine:
            free.give(task.start, task.end)
            free.take(start, end)
        self.tasks[place] = replace(task, start=start, end=end)


def _last_fit(free: FreeTime, until: int, length: int) -> int:
    """Return the last start at or before ``until`` with so much free time ahead; else LONG_AGO."""
    starts: list[int] = free.starts
    for i in range(bisect_right(starts, until) - 1, -1, -1):
        start = min(until, free.ends[i] - length)
        if start >= starts[i]:
            return start
    return LONG_AGO
