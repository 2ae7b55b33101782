"""The log's entries about tasks, paired into what was really done: by whom, on what, from when.

What was begun and is not yet over takes its usual time, and is not over before now where hands
are in it; a cure or a print ends by itself. What was only ticked as finished began its usual
time before.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from mouldwright.domain.hours.clock import spans
from mouldwright.domain.hours.opening import Window, minute_of
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.record.log import Happening, LogEntry, LoggedTask
from mouldwright.domain.shop import Shop
from mouldwright.planning.clocks import cure_until
from mouldwright.planning.logged.pieces import Piece
from mouldwright.planning.plan import Member, Task

# Hours are looked through this far for work that pauses.
_FURTHEST_MIN = 60 * 1440

_OF_TASKS = (Happening.STARTED, Happening.FINISHED, Happening.STOPPED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """One task of the log.

    Attributes:
        task: With the times it really had; to come where it is not over.
        state: "over" once it is; "running" until then; "stopped" where it ended before it was
            through.
        entry: Number of the entry that tells it, the first of them.
        cause: Why it was stopped.
    """

    task: Task
    state: Literal["over", "running", "stopped"]
    entry: int
    cause: str = ""


@dataclass(slots=True)
class _Open:
    """A task while its entries are gone through."""

    logged: LoggedTask
    people: tuple[str, ...]
    entry: int
    start: int | None = None
    end: int | None = None
    is_stopped: bool = False
    cause: str = ""


def tasks_done(
    shop: Shop,
    entries: Iterable[LogEntry],
    pieces: Mapping[str, Sequence[Piece]],
    *,
    now: int,
    planned: Iterable[Task] = (),
) -> tuple[Done, ...]:
    """Return every task the log tells of, by start.

    Args:
        shop: Its operations say how long a task takes, and what its members are.
        entries: Those in force, by when they happened.
        pieces: By order, how its pulls and parts are numbered; empty for one that is closed.
        now: Minutes since the epoch; what happened later is left out.
        planned: As a plan has them: their times and people stand in where the log is silent.
    """
    operations = _operations(shop)
    as_planned = {_key(task): task for task in planned}
    seen: dict[object, list[_Open]] = {}
    for entry in entries:
        minute = minute_of(entry.at)
        if entry.task is None or entry.what not in _OF_TASKS or minute > now:
            continue
        operation = operations.get((entry.task.process, entry.task.operation))
        if operation is None:
            continue
        logged = _whole(entry.task, operation, pieces)
        rows = seen.setdefault(_key(logged), [])
        _tell(rows, logged, entry, minute)
    found = []
    for key, rows in seen.items():
        for row in rows:
            operation = operations[row.logged.process, row.logged.operation]
            found.append(_done(shop, row, operation, as_planned.get(key), pieces, now))
    found.sort(key=lambda done: (done.task.start, done.task.end, done.entry))
    return tuple(_closed_by_what_follows(shop, _on_their_moulds(shop, found), now))


def _tell(rows: list[_Open], logged: LoggedTask, entry: LogEntry, minute: int) -> None:
    """Add what an entry tells to the run of a task it is about, or begin another."""
    last = rows[-1] if rows else None
    if entry.what is Happening.STARTED:
        if last is not None and last.end is None:
            # Ticked twice: the first one stands.
            return
        rows.append(_Open(logged=logged, people=entry.people, entry=entry.number, start=minute))
        return
    if last is None or last.end is not None:
        # Ticked only at its end. Two ends of one run: the first one stands.
        if last is not None and not last.is_stopped:
            return
        last = _Open(logged=logged, people=entry.people, entry=entry.number)
        rows.append(last)
    last.end = minute
    last.is_stopped = entry.what is Happening.STOPPED
    last.cause = entry.cause
    last.people = last.people or entry.people
    if logged.mould is not None or logged.stations:
        last.logged = replace(
            last.logged,
            mould=logged.mould or last.logged.mould,
            stations=logged.stations or last.logged.stations,
        )


def _done(
    shop: Shop,
    row: _Open,
    operation: Operation,
    planned: Task | None,
    pieces: Mapping[str, Sequence[Piece]],
    now: int,
) -> Done:
    members = tuple(Member(order=m.order, pulls=m.pulls, parts=m.parts) for m in row.logged.members)
    if planned is not None:
        members = planned.members
    people = row.people or (planned.people if planned is not None and operation.attended else ())
    people = tuple(key for key in people if key in shop.people)
    if row.start is None:
        end = row.end if row.end is not None else now
        start = end - _length(shop, row.logged, operation, planned, pieces)
        if planned is not None and planned.start <= end:
            start = max(start, planned.start)
        when: tuple[Window, ...] = ((start, end),)
    elif row.end is not None:
        when = ((row.start, max(row.end, row.start)),)
    else:
        count = _count(shop, row.logged, operation, pieces)
        length = _length(shop, row.logged, operation, planned, pieces)
        when = _to_come(shop, operation, people, row.start, length, count, now)
    state: Literal["over", "running", "stopped"] = "stopped" if row.is_stopped else "over"
    if row.end is None and when[-1][1] > now:
        state = "running"
    return Done(
        task=Task(
            operation=row.logged.operation,
            process=row.logged.process,
            part=row.logged.part,
            spans=when,
            people=people if operation.attended else (),
            mould=row.logged.mould or (planned.mould if planned is not None else None),
            stations=row.logged.stations or (planned.stations if planned is not None else ()),
            members=members,
            mixed_g=planned.mixed_g if planned is not None else None,
        ),
        state=state,
        entry=row.entry,
        cause=row.cause,
    )


def _to_come(
    shop: Shop,
    operation: Operation,
    people: Sequence[str],
    start: int,
    length: int,
    members: int,
    now: int,
) -> tuple[Window, ...]:
    """Return when a task that has begun will have been worked on."""
    when: tuple[Window, ...] = ((start, start + length),)
    cured = cure_until(shop, operation, start, members)
    if cured is not None:
        when = ((start, cured),)
    if operation.attended and operation.interruptible and people:
        hours = shop.hours_of(shop.people[people[0]])
        paused = spans(hours.windows(start, start + length + _FURTHEST_MIN), start, length)
        when = paused or when
    if operation.attended and when[-1][1] <= now:
        # Nobody has said that it is over: it will not have been before now.
        if operation.interruptible:
            return (*when, (now, now + 1))
        when = (*when[:-1], (when[-1][0], now + 1))
    return when


def _on_their_moulds(shop: Shop, found: Sequence[Done]) -> list[Done]:
    """Name the mould of a pull at each of its tasks, where some of them name it."""
    moulds: dict[tuple[str, str, int], str] = {}
    for done in found:
        if done.task.mould is not None:
            moulds.update(dict.fromkeys(works_of(done.task), done.task.mould))
    named = []
    for done in found:
        task = done.task
        operation = operation_of(shop, task)
        if task.mould is None and operation is not None and operation.per == "pull":
            mould = next((moulds[work] for work in works_of(task) if work in moulds), None)
            done = replace(done, task=replace(task, mould=mould))
        named.append(done)
    return named


def operation_of(shop: Shop, task: Task) -> Operation | None:
    """Return what a task does; None where the shop has no such operation of an order's part."""
    process = shop.processes.get(task.process)
    operations = () if process is None else process.operations
    return next((o for o in operations if o.name == task.operation), None)


def _closed_by_what_follows(shop: Shop, found: Sequence[Done], now: int) -> Iterator[Done]:
    """End a task nobody ticked as finished where the next step of what is in it has begun."""
    begun: dict[tuple[str, str, str, int], list[tuple[int, int]]] = {}
    places = {
        (process.key, operation.name): place
        for process in shop.processes.values()
        for place, operation in enumerate(process.operations)
    }
    for done in found:
        place = places.get((done.task.process, done.task.operation))
        if place is None:
            continue
        for work in works_of(done.task):
            begun.setdefault((done.task.process, *work), []).append((place, done.task.start))
    on_mould: dict[str, list[tuple[int, frozenset[object]]]] = {}
    for done in found:
        if done.task.mould is not None:
            row = (done.task.start, frozenset(works_of(done.task)))
            on_mould.setdefault(done.task.mould, []).append(row)
    for done in found:
        place = places.get((done.task.process, done.task.operation))
        if done.state != "running":
            yield done
            continue
        later = [
            start
            for work in works_of(done.task)
            for other, start in begun.get((done.task.process, *work), ())
            if place is not None and other > place and start >= done.task.start
        ]
        own = frozenset(works_of(done.task))
        # A mould that is filled again was emptied before.
        later += [
            start
            for start, works in on_mould.get(done.task.mould or "", ())
            if start >= done.task.start and works and not works & own
        ]
        if not later or min(later) >= done.task.end:
            yield done
            continue
        until = max(min(later), done.task.start)
        kept = tuple((a, min(b, until)) for a, b in done.task.spans if a < until)
        task = replace(done.task, spans=kept or ((done.task.start, until),))
        yield replace(done, task=task, state="over")


def works_of(task: Task) -> Iterator[tuple[str, str, int]]:
    """Yield what a task is done on: pulls, where it names any, else parts."""
    for member in task.members:
        if member.pulls:
            yield from ((member.order, "pull", each) for each in member.pulls)
        else:
            yield from ((member.order, "part", each) for each in member.parts)


def _key(task: LoggedTask | Task) -> object:
    """Return what tells a task from others, in whatever order its members are named."""
    members = tuple(
        sorted((m.order, tuple(sorted(m.pulls)), tuple(sorted(m.parts))) for m in task.members)
    )
    return task.process, task.operation, members, None if members else task.mould


def _operations(shop: Shop) -> dict[tuple[str, str], Operation]:
    found = {}
    for process in shop.processes.values():
        upkeep = () if process.conditioning is None else (process.conditioning,)
        for operation in (*process.operations, *upkeep):
            found[process.key, operation.name] = operation
    for sold in shop.sets.values():
        for operation in sold.operations:
            found[sold.key, operation.name] = operation
    return found


def _whole(
    task: LoggedTask, operation: Operation, pieces: Mapping[str, Sequence[Piece]]
) -> LoggedTask:
    """Return a task with its members named as plans name them."""
    if not any(member.order in pieces for member in task.members):
        return task
    members = []
    for member in task.members:
        pulls, parts = list(member.pulls), list(member.parts)
        for piece in pieces.get(member.order, ()):
            if piece.process != task.process or not piece.numbers.has_pulls:
                continue
            if not member.pulls:
                for part in member.parts:
                    place = piece.numbers.place_of_part(part)
                    if place is not None and piece.numbers.pull(place[0]) not in pulls:
                        pulls.append(piece.numbers.pull(place[0]))
            if operation.per in ("pull", "batch"):
                parts = []
            elif operation.per == "part" and not member.parts and piece.cavities == 1:
                units = [piece.numbers.unit_of_pull(pull) for pull in member.pulls]
                parts = [p for unit in units if unit is not None for p in piece.numbers.parts(unit)]
        members.append(replace(member, pulls=tuple(pulls), parts=tuple(parts)))
    return replace(task, members=tuple(members))


def _length(
    shop: Shop,
    task: LoggedTask,
    operation: Operation,
    planned: Task | None,
    pieces: Mapping[str, Sequence[Piece]],
) -> int:
    """Return the usual minutes of a task: as planned, else as its operation says.

    What pauses is always asked of its operation: where it was begun already, a plan has it with
    the night it lay over.
    """
    if planned is not None and not operation.interruptible:
        return sum(end - start for start, end in planned.spans)
    return operation.duration_min(_count(shop, task, operation, pieces))


def _count(
    shop: Shop, task: LoggedTask, operation: Operation, pieces: Mapping[str, Sequence[Piece]]
) -> int:
    """Return the members that the minutes of a task are counted by."""
    if operation.per == "part":
        return 1
    if not task.members:
        family = shop.moulds.get((task.mould or "").rpartition(" ")[0])
        return family.cavities if family is not None else 1
    count = 0
    for member in task.members:
        of = [p for p in pieces.get(member.order, ()) if p.process == task.process]
        if operation.per == "order":
            count += sum(piece.units * piece.cavities for piece in of)
        elif member.pulls:
            count += len(member.pulls) * (of[0].cavities if of else 1)
        else:
            count += len(member.parts)
    return max(count, 1)
