"""What is under way besides what was given: as the log tells, and what must have gone on since.

A cure begins as the step before it ends, whether anyone ticks it or not. And where the last
minute for a step has passed, by a greatest wait or by pot life, it was done and not ticked, or
what was in it is lost: it is taken as done until somebody says so.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import replace

from mouldwright.domain.shop import Shop
from mouldwright.planning.assemble import members_named
from mouldwright.planning.clocks import cure_until
from mouldwright.planning.logged.done import works_of
from mouldwright.planning.logged.missed import Missed
from mouldwright.planning.logged.reading import LogRead
from mouldwright.planning.logged.standing import making
from mouldwright.planning.placed import Item
from mouldwright.planning.plan import Task
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import BATCH, NEVER, ORDER, PART, UNIT, Step, duration_min
from mouldwright.planning.shapes import ALL
from mouldwright.planning.task_items import TaskItems, covering, index_of


def with_logged(shop: Shop, read: LogRead, given: Sequence[Task]) -> tuple[Task, ...]:
    """Return the tasks under way: all that the log tells, and what was given that it does not.

    Args:
        shop: As it stands.
        read: Its log.
        given: Tasks under way as far as others know; the log's own word goes before theirs.
    """
    if not read.entries:
        return tuple(given)
    logged = [task for task in read.tasks() if task.members]
    logged += [done.task for done in making(shop, read)]
    told = {(t.process, t.operation, work) for t in logged for work in whose(t)}
    rest = [t for t in given if not any((t.process, t.operation, w) in told for w in whose(t))]
    found = (*logged, *(task for task in rest if not _is_lost(read, task)))
    return tuple(sorted(found, key=lambda t: (t.start, t.end, t.process, t.operation)))


def whose(task: Task) -> Iterator[object]:
    """Yield what makes a task's work another's too: its pulls or parts, else its mould."""
    if not task.members:
        yield task.mould
    for member in task.members:
        if not member.pulls and not member.parts:
            yield member.order
        elif member.parts and len(member.pulls) <= 1:
            yield from ((member.order, "part", part) for part in member.parts)
    if task.members and not any(len(m.pulls) == 1 and m.parts for m in task.members):
        yield from works_of(task)


def _is_lost(read: LogRead, task: Task) -> bool:
    """Return whether all that a task is done on was lost before it began."""
    if not task.members:
        return False
    for member in task.members:
        lost = read.lost.get(member.order, {})
        parts = [*member.parts]
        for piece in read.pieces.get(member.order, ()) if not parts else ():
            for pull in member.pulls:
                unit = piece.numbers.unit_of_pull(pull)
                parts += [] if unit is None else piece.numbers.parts(unit)
        if not parts or any(p not in lost or lost[p].minute > task.start for p in parts):
            return False
    return True


def with_what_must_be(
    problem: Problem,
    read: LogRead,
    *,
    all_that_wait: bool = False,
    missed: Container[Missed] = (),
) -> Problem:
    """Return a problem with what must have been done besides what its running tasks are.

    Args:
        problem: With the tasks the log tells.
        read: The log; where it has nothing, nothing is added.
        all_that_wait: Whether steps whose last minute is still to come are taken as done in time
            too. Only where no plan can be made else: the hours may not allow them any more.
        missed: Those of them that are so in any case, as no hours allow them.
    """
    if not read.entries or not problem.running:
        return problem
    added = _Assumed(problem, read, all_that_wait, missed).tasks()
    if not added:
        return problem
    running = sorted(
        (*problem.running, *added), key=lambda t: (t.start, t.end, t.process, t.operation)
    )
    return replace(problem, running=tuple(running))


class _Assumed:
    """Goes through the steps of what has begun."""

    def __init__(
        self, problem: Problem, read: LogRead, all_that_wait: bool, missed: Container[Missed]
    ) -> None:
        self.problem, self.all_that_wait, self.missed = problem, all_that_wait, missed
        self.tells_of, self.meant = read.tells_of, read.meant
        # By lot and step: of each item that has been through it the task that did, None unknown.
        self.over: dict[tuple[int, int], dict[int, Task | None]] = {}
        self.items: dict[int, list[Item]] = {}
        self.moulds: dict[tuple[int, int], str] = {}
        # By mould, when each of its pulls had something done on it.
        self.filled: dict[str, list[tuple[int, tuple[int, int]]]] = {}
        reader = TaskItems(problem)
        for task in problem.running:
            rows = list(reader.of(task))
            self.items[id(task)] = [item for _, _, item in rows]
            for lot, step, item in rows:
                self._mark(lot, step, item, task)
                if task.mould is not None:
                    self.moulds[lot.index, item[1]] = task.mould
                    if step.level == UNIT and lot.order >= 0:
                        self.filled.setdefault(task.mould, []).append((task.start, item[:2]))
        self.found: list[Task] = []

    def _mark(self, lot: Lot, step: Step, item: Item, task: Task | None) -> None:
        over = self.over.setdefault((lot.index, step.index), {})
        index = index_of(lot, step, item)
        if index in over:
            over[index] = over[index] or task
            return
        over[index] = task
        steps = self.problem.routings[lot.routing].steps
        for p in step.preds:
            for earlier in covering(lot, steps[p], item):
                self._mark(lot, steps[p], earlier, None)

    def tasks(self) -> list[Task]:
        for lot in self.problem.lots:
            told = lot.order >= 0 and self.problem.demands[lot.order].number in self.tells_of
            if told or lot.order < 0:
                for step in self.problem.routings[lot.routing].steps:
                    if step.level != ORDER and step.preds:
                        self._step(lot, step)
        return self.found

    def _step(self, lot: Lot, step: Step) -> None:
        count = lot.units * (lot.cavities if step.level == PART else 1)
        each = 1 if step.level == PART else lot.cavities
        for index in range(count):
            if index in self.over.get((lot.index, step.index), {}):
                continue
            if lot.skips and index in lot.skips[step.index]:
                continue
            if all(index * each + which in lot.ended for which in range(each)):
                continue
            unit, part = divmod(index, lot.cavities) if step.level == PART else (index, ALL)
            self._item(lot, step, (lot.index, unit, part))

    def _item(self, lot: Lot, step: Step, item: Item) -> None:
        before = list(self._before(lot, step, item))
        if not before or None in before:
            return
        tasks = [task for task in before if task is not None]
        ready = max(task.end for task in tasks) + step.wait_min
        latest = ready if step.exact else self._latest(lot, step, item, tasks)
        now = self.problem.now
        waits = not self.all_that_wait and (lot.index, step.index, item) not in self.missed
        if latest >= NEVER or (latest >= now and waits):
            return
        if latest >= now and step.exact and ready > now:
            # It begins by itself when its time comes.
            return
        start = ready if latest < now or step.exact else max(ready, now)
        items = self._together(lot, step, item, tasks)
        task = self._task(lot, step, items, start, tasks)
        refilled = self._refilled(lot, step, item)
        if refilled is not None and task.end > refilled:
            task = replace(task, spans=((min(start, refilled), refilled),))
        self.found.append(task)
        self.items[id(task)] = items
        for one in items:
            self._mark(self.problem.lots[one[0]], step, one, task)

    def _before(self, lot: Lot, step: Step, item: Item) -> Iterator[Task | None]:
        """Yield the tasks a step follows, None for one that is not done or not known."""
        steps = self.problem.routings[lot.routing].steps
        for p in step.preds:
            yield from self._done_by(lot, steps[p], item)

    def _done_by(self, lot: Lot, step: Step, item: Item) -> Iterator[Task | None]:
        steps = self.problem.routings[lot.routing].steps
        over = self.over.get((lot.index, step.index), {})
        each = 1 if step.level == PART else lot.cavities
        for one in covering(lot, step, item):
            index = index_of(lot, step, one)
            if index in over:
                yield over[index]
            elif lot.skips and index in lot.skips[step.index]:
                for p in step.preds:
                    yield from self._done_by(lot, steps[p], one)
            elif step.level == ORDER or any(
                index * each + which not in lot.ended for which in range(each)
            ):
                yield None

    def _latest(self, lot: Lot, step: Step, item: Item, tasks: Sequence[Task]) -> int:
        """Return the last minute a step may begin at, by its greatest wait and by pot life."""
        latest = NEVER
        if step.wait_max < NEVER:
            latest = min(task.end for task in tasks) + step.wait_max
        steps = self.problem.routings[lot.routing].steps
        refilled = self._refilled(lot, step, item)
        if refilled is not None:
            latest = min(latest, refilled - self._minutes(lot, step))
        for mix in steps[: step.index]:
            if mix.pot_until < step.index:
                continue
            left = sum(self._minutes(lot, s) for s in steps[step.index : mix.pot_until + 1])
            for task in self._done_by(lot, mix, item):
                if task is not None:
                    latest = min(latest, task.end + mix.pot_life_min - left)
        return latest

    def _refilled(self, lot: Lot, step: Step, item: Item) -> int | None:
        """Return when a mould was filled again that a step's pull must have left before."""
        keeps = [k for k in self.problem.routings[lot.routing].keeps if k.station < 0]
        if not any(k.first <= step.index <= k.last for k in keeps):
            return None
        mould = self.moulds.get(item[:2])
        rows = self.filled.get(mould or "", [])
        own = min((at for at, pull in rows if pull == item[:2]), default=None)
        if own is None:
            return None
        return min((at for at, pull in rows if pull != item[:2] and at > own), default=None)

    def _minutes(self, lot: Lot, step: Step) -> int:
        return lot.durations[step.index] or duration_min(step.operation, lot.cavities)

    def _together(self, lot: Lot, step: Step, item: Item, tasks: Sequence[Task]) -> list[Item]:
        """Return what goes through a step with an item: its batch, where that was formed before."""
        steps = self.problem.routings[lot.routing].steps
        follows = [p for p in step.preds if steps[p].chain == step.chain >= 0]
        if step.level != BATCH or not follows:
            return [item]
        batch = next(t for t in tasks if t.operation == steps[follows[0]].name)
        return [
            one
            for one in self.items[id(batch)]
            if one[1] not in self.over.get((one[0], step.index), {})
            and not self._all_ended(self.problem.lots[one[0]], one[1])
        ] or [item]

    def _mould_of(self, lot: Lot, unit: int) -> str:
        """Return the mould of a pull: as told, else as planned, else one nobody speaks of."""
        if (lot.index, unit) not in self.moulds:
            number = self.problem.demands[lot.order].number
            names = [self.problem.tools[t].name for t in lot.tools]
            idle = [name for name in names if name not in self.moulds.values()]
            meant = self.meant.get((number, lot.numbers.pull(unit)))
            self.moulds[lot.index, unit] = meant or (idle or names)[0]
        return self.moulds[lot.index, unit]

    def _all_ended(self, lot: Lot, unit: int) -> bool:
        return all(unit * lot.cavities + c in lot.ended for c in range(lot.cavities))

    def _task(
        self, lot: Lot, step: Step, items: Sequence[Item], start: int, before: Sequence[Task]
    ) -> Task:
        shop = self.problem.shop
        members = members_named(self.problem, step, items)
        if step.level in (PART, UNIT):
            count = 1 if step.level == PART else lot.cavities
            length = lot.durations[step.index]
        else:
            count = sum(self.problem.lots[one[0]].cavities for one in items)
            length = duration_min(step.operation, count)
        cured = cure_until(shop, step.operation, start, count)
        routing = self.problem.routings[lot.routing]
        kept = {
            self.problem.places[routing.keeps[k].station].key
            for k in step.within
            if routing.keeps[k].station >= 0
        }
        stations = [u for t in before for u in t.stations if u.rpartition(" ")[0] in kept]
        mould = next((t.mould for t in reversed(before) if t.mould), None)
        if mould is None and step.level == UNIT and lot.tools:
            mould = self._mould_of(lot, items[0][1])
        tool = max(lot.builds, lot.proves)
        if tool >= 0:
            mould = self.problem.tools[tool].name
        return Task(
            operation=step.name,
            process=routing.key,
            part=lot.part,
            spans=((start, start + length if cured is None else cured),),
            mould=mould if step.level == UNIT or not members else None,
            stations=tuple(dict.fromkeys(stations)),
            members=members,
        )
