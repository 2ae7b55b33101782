"""What a task may have waited for: each thing that was not free, or not there, until it began."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mouldwright.planning.explaining.reading import PlanReader, orders_of
from mouldwright.planning.explaining.uses import Use, Uses
from mouldwright.planning.plan import Task
from mouldwright.planning.reasons import Cause, CauseKind

# Which is told where two would do, the first first.
_ORDER: tuple[CauseKind, ...] = (
    "follows", "age", "mould", "station", "room", "hands", "release", "now", "under way",
)  # fmt: skip
_FIRST = {kind: place for place, kind in enumerate(_ORDER)}

# Short tasks beside one another that are passed over on the way back.
_MOST_BACK = 12


class Causes:
    """Finds what the tasks of one plan waited for."""

    def __init__(self, reader: PlanReader, uses: Uses) -> None:
        """Look things up in those."""
        self._reader, self._uses = reader, uses
        self._known: dict[int, list[Cause]] = {}
        self._tied: dict[int, dict[int, int]] = {}

    def of(self, at: int) -> list[Cause]:
        """Return what a task waited for to the last: of all that had to be over, the latest.

        More than one where several were over in the same minute.
        """
        if at not in self._known:
            found = list(self._all(at))
            latest = max(cause.since for cause in found)
            last = [cause for cause in found if cause.since == latest]
            last.sort(key=lambda c: (_FIRST[c.kind], c.through is not None))
            self._known[at] = last
        return self._known[at]

    def work_before(self, at: int) -> list[Cause]:
        """Return what the routing made a task wait for: what it follows, its parts' age."""
        return [cause for cause in self._own(at) if cause.kind in ("follows", "age")]

    def _all(self, at: int) -> Iterator[Cause]:
        task, now = self._reader.tasks[at], self._reader.plan.now
        if task.start < now:
            yield Cause(
                kind="under way", ended=task.start, since=task.start, fits=task.start, slack_min=0
            )
            return
        own = [c for c in self._own(at) if c.task is None or self._is_before(c.task, at)]
        yield from own
        is_held = any(cause.since == task.start for cause in own)
        for other, loose in self.tied_to(at).items():
            if other != at:
                yield from self._through(at, other, loose, is_held=is_held)
        release = self._reader.release(at)
        if release is not None and now < release <= task.start:
            yield self._cause(at, "release", release, release)
        yield self._cause(at, "now", now, now)

    def _own(self, at: int) -> Iterator[Cause]:
        """Yield what a task itself follows or takes from others."""
        reader, task = self._reader, self._reader.tasks[at]
        operation = reader.operation(at)
        wait = 0 if operation is None else operation.wait_min
        for before in reader.followed(at):
            ended = reader.tasks[before].end
            yield self._cause(at, "follows", ended, ended + wait, task=before)
        if operation is not None and operation.least_age_min:
            for serial in reader.serials(at):
                ended = reader.tasks[serial].end
                since = ended + operation.least_age_min
                yield self._cause(at, "age", ended, since, task=serial)
        yield from self._taken(at, task)

    def _taken(self, at: int, task: Task) -> Iterator[Cause]:
        """Yield the moulds, units and hands that a task takes and others had before."""
        reader = self._reader
        for use in self._uses.beginning.get(at, ()):
            earlier = self._uses.before(use)
            if earlier is not None:
                yield self._kept(at, use, earlier)
        for person in task.people:
            before = reader.busy_before(person, task.start)
            if before is not None and before != at:
                let_go = reader.let_go(before, person)
                yield self._cause(
                    at, "hands", let_go, let_go + reader.gears_up(at, person),
                    task=before, resource=person, orders=orders_of(reader.tasks[before]),
                )  # fmt: skip
        if (in_room := reader.room_before(at)) is not None:
            yield self._cause(
                at, "room", reader.tasks[in_room.task].end, in_room.settled,
                task=in_room.task, resource=in_room.room,
            )  # fmt: skip

    def _kept(self, at: int, use: Use, earlier: Use) -> Cause:
        is_mould = self._reader.tasks[use.first].mould == use.resource or (
            self._reader.tasks[use.last].mould == use.resource
        )
        operation = self._reader.operation(at)
        again = not self._reader.tasks[at].members and operation is not None
        wait = operation.wait_min if operation is not None and again else 0
        return self._cause(
            at,
            "mould" if is_mould else "station",
            earlier.end,
            earlier.end + wait,
            task=earlier.last,
            resource=use.resource,
            orders=earlier.orders,
        )

    def _cause(
        self,
        at: int,
        kind: CauseKind,
        ended: int,
        since: int,
        *,
        task: int | None = None,
        resource: str | None = None,
        orders: tuple[str, ...] = (),
        through: int | None = None,
    ) -> Cause:
        start = self._reader.tasks[at].start
        since = min(since, start)
        fits = since if since >= start else self._fits(at, since)
        return Cause(
            kind=kind,
            ended=ended,
            since=since,
            fits=fits,
            slack_min=start - fits,
            task=task,
            resource=resource,
            orders=orders,
            through=through,
        )

    # What must go together.

    def _through(self, at: int, other: int, loose: int, *, is_held: bool) -> Iterator[Cause]:
        """Yield what held up a task that this one has to be near.

        Where a thing came free in the very minute this began, and nothing of its own held it to
        that minute, it was waited for: nobody mixes for clamps that are still taken. Else this
        could have begun as much sooner as the other could, and by what the tie leaves loose.
        """
        start = self._reader.tasks[at].start
        late = self._reader.tasks[other]
        tied = self.tied_to(at)
        for cause in self._taken(other, late):
            since = start
            if is_held or cause.ended != start:
                since -= late.start - cause.fits + loose
            if cause.task in tied:
                continue
            behind = self._before(cause.task, since)
            if behind is not None:
                yield replace(
                    self._cause(at, cause.kind, cause.ended, since),
                    task=behind,
                    resource=cause.resource,
                    orders=cause.orders,
                    through=other,
                )

    def _before(self, task: int | None, minute: int) -> int | None:
        """Return a task, or what it waited for, that began before a minute."""
        for _ in range(_MOST_BACK):
            if task is None or self._reader.tasks[task].start < minute:
                return task
            own = [
                c for c in self._own(task) if c.task is not None and self._is_before(c.task, task)
            ]
            task = max(own, key=lambda c: (c.since, -_FIRST[c.kind])).task if own else None
        return None

    def tied_to(self, at: int) -> dict[int, int]:
        """Return the tasks that must follow one closely, each with the minutes it has to spare.

        A greatest wait, a pot life and a start that may not wait tie them; the task itself
        is among them.
        """
        if at in self._tied:
            return self._tied[at]
        tasks = self._reader.tasks
        found = {at: 0}
        left = [at]
        while left:
            one = left.pop()
            for after in self._reader.following(one):
                spare = self._spare(one, after)
                if spare is not None and found[one] + spare < found.get(after, 1 << 40):
                    found[after] = found[one] + spare
                    left.append(after)
        operation = self._reader.operation(at)
        if operation is not None and operation.material and operation.pot_life_until:
            mix = self._reader.shop.materials[operation.material].mix
            for last in self._reader.sharing(at, operation.pot_life_until):
                if mix is None:
                    break
                spare = max(mix.pot_life_min - (tasks[last].end - tasks[at].end), 0)
                for inner in (last, *self._between(at, last)):
                    found[inner] = min(spare, found.get(inner, spare))
        self._tied[at] = found
        return found

    def _between(self, first: int, last: int) -> list[int]:
        """Return the tasks on the way from one task to a later one of its pulls."""
        found: list[int] = []
        left = [last]
        over = self._reader.tasks[first].end
        while left:
            for before in self._reader.followed(left.pop()):
                known = before == first or before in found
                if not known and self._reader.tasks[before].start >= over:
                    found.append(before)
                    left.append(before)
        return found

    def _spare(self, one: int, after: int) -> int | None:
        """Return how much longer a task could wait for one it follows; None without a limit."""
        operation = self._reader.operation(after)
        if operation is None:
            return None
        waited = self._reader.tasks[after].start - self._reader.tasks[one].end
        if operation.wait_max_min is not None:
            return max(operation.wait_max_min - waited, 0)
        takes = any(
            self._reader.tasks[use.first].people == ()
            for use in self._uses.beginning.get(after, ())
        )
        return 0 if not operation.attended and not takes and waited == 0 else None

    def _fits(self, at: int, minute: int) -> int:
        """Return the first minute at which hours let a task begin, and all that goes with it."""
        start = self._reader.tasks[at].start
        together = [(other, self._reader.tasks[other].start - start) for other in self.tied_to(at)]
        moment = minute
        while moment < start:
            before = moment
            for other, later in together:
                moment = max(moment, self._reader.fits_from(other, moment + later) - later)
                if moment >= start:
                    return start
            if moment == before:
                return moment
        return start

    def _is_before(self, one: int, other: int) -> bool:
        """Return whether one task stands before another, so that no chain goes round."""
        a, b = self._reader.tasks[one], self._reader.tasks[other]
        return (a.start, a.end, one) < (b.start, b.end, other)
