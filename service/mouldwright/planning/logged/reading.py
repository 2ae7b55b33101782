"""The log read for planning: what was done, which parts go no further, which moulds are out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.record.kept_log import in_force
from mouldwright.domain.record.log import Happening, LogEntry
from mouldwright.domain.shop import Shop
from mouldwright.planning.logged.done import Done, tasks_done, works_of
from mouldwright.planning.logged.pieces import Piece, pieces_of
from mouldwright.planning.plan import Member, Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """A part that goes no further.

    Attributes:
        minute: From when on.
        why: In words, such as "cure failed on main-pressed 2".
    """

    minute: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LogRead:
    """A shop's log as planning reads it, up to one minute.

    Attributes:
        entries: Those in force by then, by when they happened.
        pieces: By open order, how its pulls and parts are numbered.
        done: Every task told of, by start.
        lost: By open order, the parts that go no further.
        seconds: By open order, the parts that are seconds.
        reworked: By open order, the parts found to need mending.
        out: Moulds lost or retired, and when.
        lost_moulds: Those of them that were lost, with the cause.
        counted: Pulls that their moulds' counts hold already: order and pull.
        tells_of: Orders that any entry tells of.
        meant: The mould each pull was to be on by the plan: order and pull.
    """

    entries: tuple[LogEntry, ...] = ()
    pieces: Mapping[str, tuple[Piece, ...]] = field(default_factory=dict)
    done: tuple[Done, ...] = ()
    lost: Mapping[str, Mapping[int, Loss]] = field(default_factory=dict)
    seconds: Mapping[str, frozenset[int]] = field(default_factory=dict)
    reworked: Mapping[str, frozenset[int]] = field(default_factory=dict)
    out: Mapping[str, int] = field(default_factory=dict)
    lost_moulds: Mapping[str, str] = field(default_factory=dict)
    counted: frozenset[tuple[str, int]] = frozenset()
    tells_of: frozenset[str] = frozenset()
    meant: Mapping[tuple[str, int], str] = field(default_factory=dict)

    def tasks(self) -> tuple[Task, ...]:
        """Return the tasks of open orders and of moulds that the planner builds upon."""
        last = {task_key(done.task): done for done in self.done}
        found = []
        for done in self.done:
            task = done.task
            if not task.members:
                found.append(task)
            elif all(member.order in self.pieces for member in task.members):
                if done.state == "stopped":
                    task = replace(task, members=self._ended_by(task))
                if task.members and last[task_key(done.task)] is done:
                    found.append(task)
        return tuple(found)

    def _ended_by(self, task: Task) -> tuple[Member, ...]:
        """Return the members that were lost by the end of a task that was stopped."""
        found = []
        for member in task.members:
            lost = self.lost.get(member.order, {})

            def is_lost(part: int, lost: Mapping[int, Loss] = lost) -> bool:
                return part in lost and lost[part].minute <= task.end

            pieces = self.pieces[member.order]
            pulls = tuple(
                pull for pull in member.pulls if all(map(is_lost, named_parts(pieces, (pull,), ())))
            )
            parts = tuple(part for part in member.parts if is_lost(part))
            if member.parts and not parts:
                continue
            if pulls or parts:
                found.append(replace(member, pulls=pulls or member.pulls, parts=parts))
        return tuple(found)


def task_key(task: Task) -> object:
    """Return what tells one piece of work from another."""
    return task.process, task.operation, task.members


def read_log(
    shop: Shop, *, now: int, planned: Iterable[Task] = (), given: Iterable[Task] = ()
) -> LogRead:
    """Return a shop's log as planning reads it.

    Args:
        shop: With its open orders; an order that names what the shop has not is passed over.
        now: Minutes since the epoch; what happened later is left out.
        planned: As a plan has them, see :func:`tasks_done`.
        given: Tasks under way as far as others know: what is in a mould when it is lost.
    """
    if not shop.log:
        return LogRead()
    entries = tuple(entry for entry in in_force(shop.log) if minute_of(entry.at) <= now)
    pieces: dict[str, tuple[Piece, ...]] = {}
    for order in shop.orders:
        try:
            pieces[order.number] = pieces_of(shop, order)
        except MouldwrightError:
            continue
    planned = tuple(planned)
    done = tasks_done(shop, entries, pieces, now=now, planned=planned)
    meant = {
        (member.order, pull): task.mould
        for task in planned
        if task.mould is not None
        for member in task.members
        for pull in member.pulls
    }
    return replace(_Reader(shop, entries, pieces, done, given).read(), meant=meant)


def parts_of(pieces: Mapping[str, Sequence[Piece]], task: Task, order: str) -> Iterator[int]:
    """Yield the parts of one order that a task is done on."""
    for member in task.members:
        if member.order == order:
            yield from named_parts(pieces.get(order, ()), member.pulls, member.parts)


def named_parts(
    pieces: Iterable[Piece], pulls: Sequence[int], parts: Sequence[int]
) -> Iterator[int]:
    """Yield the parts that pulls and parts name; parts, where they are named, go before pulls."""
    if parts:
        yield from parts
        return
    for piece in pieces:
        for pull in pulls:
            unit = piece.numbers.unit_of_pull(pull)
            if unit is not None:
                yield from piece.numbers.parts(unit)


class _Reader:
    """Goes through the entries once what was done is known."""

    def __init__(
        self,
        shop: Shop,
        entries: tuple[LogEntry, ...],
        pieces: dict[str, tuple[Piece, ...]],
        done: tuple[Done, ...],
        given: Iterable[Task] = (),
    ) -> None:
        self.shop, self.entries, self.pieces, self.done = shop, entries, pieces, done
        self.lost: dict[str, dict[int, Loss]] = {}
        # Every task of each order's pull (or part, without pulls), by start.
        self.of_work: dict[tuple[str, str, int], list[Done]] = {}
        for each in done:
            for work in works_of(each.task):
                self.of_work.setdefault(work, []).append(each)

        # The same with what others know besides.
        self.with_given = dict(self.of_work)
        told = {(d.task.operation, work) for d in done for work in works_of(d.task)}
        for task in given:
            one = Done(task=task, state="over", entry=0)
            for work in works_of(task):
                if (task.operation, work) not in told and work[0] in pieces:
                    self.with_given[work] = [*self.with_given.get(work, ()), one]
        # When each pull's tasks on a mould began, those that come again left out.
        self.on_mould: dict[str, list[tuple[int, str, int]]] = {}
        for each in (d for d in done if d.state != "stopped"):
            for order, kind, number in works_of(each.task) if each.task.mould else ():
                if kind == "pull":
                    row = (each.task.start, order, number)
                    self.on_mould.setdefault(each.task.mould or "", []).append(row)

    def read(self) -> LogRead:
        for entry in self.entries:
            if entry.what is Happening.SCRAPPED:
                self._scrapped(entry)
        for each in self.done:
            if each.state == "stopped":
                self._stopped(each)
        out: dict[str, int] = {}
        lost_moulds: dict[str, str] = {}
        for entry in self.entries:
            if entry.mould is None:
                continue
            if entry.what in (Happening.MOULD_LOST, Happening.MOULD_RETIRED):
                out.setdefault(entry.mould, minute_of(entry.at))
            if entry.what is Happening.MOULD_LOST:
                lost_moulds[entry.mould] = entry.cause
                self._went_with(entry.mould, minute_of(entry.at), entry.cause)
        return LogRead(
            entries=self.entries,
            pieces=self.pieces,
            done=tuple(self._cut()),
            lost=self.lost,
            seconds=self._named(Happening.SECOND),
            reworked=self._named(Happening.REWORKED),
            out=out,
            lost_moulds=lost_moulds,
            counted=frozenset(self._counted()),
            tells_of=frozenset(self._told()),
        )

    def _named(self, what: Happening) -> dict[str, frozenset[int]]:
        found: dict[str, set[int]] = {}
        for entry in self.entries:
            if entry.what is what:
                for order, part in self._parts(entry):
                    found.setdefault(order, set()).add(part)
        return {order: frozenset(parts) for order, parts in found.items()}

    def _parts(self, entry: LogEntry) -> Iterator[tuple[str, int]]:
        members = entry.members or (entry.task.members if entry.task is not None else ())
        for member in members:
            pieces = self.pieces.get(member.order, ())
            for part in named_parts(pieces, member.pulls, member.parts):
                yield member.order, part

    def _told(self) -> Iterator[str]:
        for entry in self.entries:
            for member in (*entry.members, *(entry.task.members if entry.task else ())):
                yield member.order

    # What goes no further.

    def _lose(self, order: str, part: int, minute: int, why: str) -> None:
        known = self.lost.setdefault(order, {})
        if part not in known or minute < known[part].minute:
            known[part] = Loss(minute=minute, why=why)

    def _scrapped(self, entry: LogEntry) -> None:
        why = f"scrapped: {entry.cause}" if entry.cause else "scrapped"
        for order, part in self._parts(entry):
            self._lose(order, part, minute_of(entry.at), why)

    def _stopped(self, done: Done) -> None:
        """Lose what was in a task that was stopped, unless it went on or can begin again."""
        task = done.task
        process = self.shop.processes.get(task.process)
        if process is None or not process.loses_what_is_in(task.operation):
            return
        where = f" on {task.mould}" if task.mould else ""
        why = f"{task.operation} failed{where}" + (f": {done.cause}" if done.cause else "")
        singly = any(o.name == task.operation and o.per == "part" for o in process.operations)
        for member in task.members:
            pieces = self.pieces.get(member.order, ())
            for work in works_of(replace(task, members=(member,))):
                ids = (work[2],)
                named = list(named_parts(pieces, ids, ()) if work[1] == "pull" else ids)
                if singly and member.parts:
                    named = list(member.parts)
                later = [
                    parts
                    for d in self.of_work.get(work, ())
                    if d is not done and d.task.start >= task.end and d.state != "stopped"
                    for parts in [set(parts_of(self.pieces, d.task, member.order))]
                ]
                for part in named:
                    if not any(part in parts for parts in later):
                        self._lose(member.order, part, task.end, why)

    def _went_with(self, mould: str, minute: int, cause: str) -> None:
        """Lose the pull that was in a mould when it was lost."""
        why = f"{mould} was lost" + (f": {cause}" if cause else "")
        for (order, kind, pull), rows in self.with_given.items():
            stays = [done for done in rows if done.state != "stopped" or self._is_end(done)]
            if kind != "pull" or all(done.task.mould != mould for done in stays):
                continue
            held = self._held(rows)
            if held is None or held[0] > minute or (held[1] is not None and held[1] <= minute):
                continue
            for part in named_parts(self.pieces.get(order, ()), (pull,), ()):
                self._lose(order, part, minute, why)

    def _held(self, rows: Sequence[Done]) -> tuple[int, int | None] | None:
        """Return from when a pull keeps its mould, and until when where that is over."""
        process = self.shop.processes.get(rows[0].task.process)
        if process is None:
            return None
        holds = [hold for hold in process.holds if hold.resource == "mould"]
        if not holds:
            return None
        names = [operation.name for operation in process.operations]
        first = min(names.index(hold.first) for hold in holds)
        last = max(names.index(hold.last) for hold in holds)
        rows = [d for d in rows if d.state != "stopped" or self._is_end(d)]
        within = [d for d in rows if first <= names.index(d.task.operation) <= last]
        after = [d for d in rows if names.index(d.task.operation) > last]
        if not within:
            return None
        over = [d.task.end for d in rows if d.task.operation == names[last] and d.state == "over"]
        over += [d.task.start for d in after]
        begun = min(d.task.start for d in within)
        moulds = {d.task.mould for d in within if d.task.mould}
        own = set(works_of(rows[0].task)) if len(moulds) == 1 else set()
        if len(own) == 1:
            # A mould that is filled again was emptied before.
            others = self.on_mould.get(moulds.pop() or "", ())
            over += [
                start
                for start, order, pull in others
                if start > begun and (order, "pull", pull) not in own
            ]
        return begun, min(over, default=None)

    def _is_end(self, done: Done) -> bool:
        """Return whether what a stopped task was done on was lost by it; else it comes again."""
        return any(
            part in self.lost.get(member.order, {})
            for member in done.task.members
            for part in parts_of(self.pieces, done.task, member.order)
        )

    def _counted(self) -> Iterator[tuple[str, int]]:
        """Yield the pulls that have given their mould back, as the log tells."""
        for (order, kind, pull), rows in self.of_work.items():
            if kind != "pull":
                continue
            held = self._held(rows)
            if held is None:
                continue
            parts = list(named_parts(self.pieces.get(order, ()), (pull,), ()))
            lost = self.lost.get(order, {})
            if held[1] is not None or (parts and all(part in lost for part in parts)):
                yield order, pull

    def _cut(self) -> Iterator[Done]:
        """Yield what was done, nothing longer than any of it was still worked on."""
        for each in self.done:
            ends = [self._last(each, member.order) for member in each.task.members]
            until = max((end for end in ends if end is not None), default=None)
            if None in ends or until is None or until >= each.task.end:
                yield each
                continue
            until = max(until, each.task.start)
            spans = tuple((a, min(b, until)) for a, b in each.task.spans if a < until)
            task = replace(each.task, spans=spans or ((each.task.start, until),))
            yield replace(each, task=task, state="over" if each.state == "running" else each.state)

    def _last(self, done: Done, order: str) -> int | None:
        """Return when the last of one order in a task was lost; None where some were not."""
        lost = self.lost.get(order, {})
        parts = list(parts_of(self.pieces, done.task, order))
        if not parts or any(part not in lost for part in parts):
            return None
        return max(lost[part].minute for part in parts)
