"""What the log tells of a plan's past, read here once more for judging, by nobody else's code."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from mouldwright.domain.process.process import Process
from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember, LoggedTask
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Member, Task

# "pull" or "part", and its number within the order.
Work = tuple[str, int]
Span = tuple[int, int]
# Process, operation, members by order with their pulls and parts; without members the mould.
Name = tuple[str, str, object]


@dataclass(slots=True)
class Told:
    """What the log says has happened by the plan's now.

    Attributes:
        orders: Those that any entry names.
        gone: By order, pulls and parts that go no further, and since when.
        seconds: By order, pulls and parts that are seconds.
        worked: By order, pulls and parts, the operations begun on them and when.
        over: By order and pull, operations that were finished on it.
        filled: By mould, when each of its pulls had something done on it: minute, order, pull.
        unticked: By order and pull, tasks that are taken as begun though nobody said so.
        fixed: Tasks that were begun and finished: their first and last minute.
        away: By person, when they are not there.
        out: Moulds that are lost or retired, and since when; the lost ones are in ``lost``.
        mended: By order, pulls and parts found to need mending.
    """

    orders: set[str] = field(default_factory=set)
    gone: dict[str, dict[Work, int]] = field(default_factory=lambda: defaultdict(dict))
    seconds: dict[str, set[Work]] = field(default_factory=lambda: defaultdict(set))
    worked: dict[tuple[str, Work], dict[str, int]] = field(
        default_factory=lambda: defaultdict(dict)
    )
    over: dict[tuple[str, int], set[str]] = field(default_factory=lambda: defaultdict(set))
    filled: dict[str, list[tuple[int, str, int]]] = field(default_factory=lambda: defaultdict(list))
    unticked: dict[tuple[str, int], list[Task]] = field(default_factory=lambda: defaultdict(list))
    fixed: dict[Name, Span] = field(default_factory=dict)
    away: dict[str, list[Span]] = field(default_factory=lambda: defaultdict(list))
    out: dict[str, int] = field(default_factory=dict)
    lost: set[str] = field(default_factory=set)
    mended: dict[str, set[Work]] = field(default_factory=lambda: defaultdict(set))


def name_of(
    process: str, operation: str, members: Iterable[Member | LoggedMember], mould: str | None
) -> Name:
    """Return what tells a task from others: what it is done on, else its mould."""
    named = tuple(
        sorted((m.order, tuple(sorted(m.pulls)), tuple(sorted(m.parts))) for m in members)
    )
    return process, operation, named or mould


def told_by(shop: Shop, now: int, under_way: Iterable[Task] = ()) -> Told:
    """Return what a shop's log tells by a minute since the epoch.

    Args:
        shop: With its log.
        now: What happened later is left out.
        under_way: Tasks that are taken as begun besides: some may be in a mould that was lost.
    """
    told = Told()
    if not shop.log:
        return told
    entries = [e for e in _holding(shop.log) if _minute(e.at) <= now]
    begun: dict[Name, int] = {}
    stopped: list[LogEntry] = []
    for entry in entries:
        for member in (*entry.members, *(entry.task.members if entry.task else ())):
            told.orders.add(member.order)
        at = _minute(entry.at)
        if entry.what is Happening.PERSON_AWAY:
            for person in entry.people:
                told.away[person].append((at, _back(shop, entry)))
        elif entry.what in (Happening.MOULD_LOST, Happening.MOULD_RETIRED) and entry.mould:
            told.out.setdefault(entry.mould, at)
            if entry.what is Happening.MOULD_LOST:
                told.lost.add(entry.mould)
        elif entry.what is Happening.SCRAPPED:
            for order, work in _works(entry):
                told.gone[order].setdefault(work, at)
        elif entry.what is Happening.SECOND:
            for order, work in _works(entry):
                told.seconds[order].add(work)
        elif entry.what is Happening.REWORKED:
            for order, work in _works(entry):
                told.mended[order].add(work)
        if entry.task is None:
            continue
        name = name_of(
            entry.task.process, entry.task.operation, entry.task.members, entry.task.mould
        )
        if entry.what is Happening.STARTED:
            if name in told.fixed:
                begun[name] = at
                del told.fixed[name]
            begun.setdefault(name, at)
        elif entry.what is Happening.FINISHED and name in begun:
            told.fixed.setdefault(name, (begun[name], at))
        elif entry.what is Happening.STOPPED:
            stopped.append(entry)
            begun.pop(name, None)
        if entry.what is Happening.STARTED and entry.task.mould:
            for member in entry.task.members:
                rows = [(at, member.order, pull) for pull in member.pulls]
                told.filled[entry.task.mould] += rows
        if entry.what in (Happening.STARTED, Happening.FINISHED):
            for order, work in _all_works(entry.task):
                told.worked[order, work].setdefault(entry.task.operation, at)
                if entry.what is Happening.FINISHED and work[0] == "pull":
                    told.over[order, work[1]].add(entry.task.operation)
    for entry in stopped:
        _stopped(shop, told, entry)
    for task in under_way:
        _taken_as_begun(told, task)
    for entry in entries:
        if entry.what is Happening.MOULD_LOST and entry.mould:
            _in_it(shop, told, entry.mould, _minute(entry.at))
    return told


def _holding(log: tuple[LogEntry, ...]) -> list[LogEntry]:
    """Return the entries that are not taken back, by when they happened."""
    back: set[int] = set()
    for entry in sorted(log, key=lambda e: -e.number):
        if entry.what is Happening.TAKEN_BACK and entry.number not in back:
            back.add(entry.takes_back or 0)
    held = [e for e in log if e.number not in back and e.what is not Happening.TAKEN_BACK]
    return sorted(held, key=lambda e: (e.at, e.number))


def _minute(instant: datetime) -> int:
    return int(instant.timestamp() // 60)


def _back(shop: Shop, entry: LogEntry) -> int:
    if entry.until is not None:
        return _minute(entry.until)
    zone = ZoneInfo(shop.zone)
    day = entry.at.astimezone(zone).date() + timedelta(days=1)
    return _minute(datetime(day.year, day.month, day.day, tzinfo=zone).astimezone(UTC))


def _works(entry: LogEntry) -> Iterator[tuple[str, Work]]:
    for member in entry.members or (entry.task.members if entry.task else ()):
        if member.parts:
            yield from ((member.order, ("part", part)) for part in member.parts)
        else:
            yield from ((member.order, ("pull", pull)) for pull in member.pulls)


def _all_works(task: LoggedTask) -> Iterator[tuple[str, Work]]:
    for member in task.members:
        yield from ((member.order, ("part", part)) for part in member.parts)
        yield from ((member.order, ("pull", pull)) for pull in member.pulls)


def _taken_as_begun(told: Told, task: Task) -> None:
    """Note what nobody ticked off, as far as it bears on what is in a mould."""
    for member in task.members:
        for pull in member.pulls:
            if task.operation not in told.worked.get((member.order, ("pull", pull)), {}):
                told.unticked[member.order, pull].append(task)


def _stopped(shop: Shop, told: Told, entry: LogEntry) -> None:
    """Let go what was in a task that was stopped and not taken up again: it has set, or is cut off.

    That is so where nobody's hands were in it, and where a mix had been made for it whose mould
    was still kept.
    """
    task = entry.task
    process = shop.processes.get(task.process) if task is not None else None
    if task is None or process is None:
        return
    names = [operation.name for operation in process.operations]
    if task.operation not in names:
        return
    place, at = names.index(task.operation), _minute(entry.at)
    ends = [names.index(h.last) for h in process.holds if h.resource == "mould"]
    mixed = any(o.material for o in process.operations[:place])
    kept = place <= (max(ends) if ends else len(names))
    if process.operations[place].attended and not (mixed and kept):
        _comes_again(told, task, at)
        return
    for member in task.members:
        works = [("pull", p) for p in member.pulls] or [("part", p) for p in member.parts]
        if process.operations[place].per == "part" and member.parts:
            works = [("part", p) for p in member.parts]
        for work in works:
            begun = told.worked[member.order, work].values()
            if not any(minute >= at for minute in begun):
                told.gone[member.order].setdefault(work, at)


def _comes_again(told: Told, task: LoggedTask, at: int) -> None:
    """Forget a task that was stopped and is begun again: it has done nothing yet."""
    for member in task.members:
        for pull in member.pulls:
            begun = told.worked[member.order, ("pull", pull)]
            if begun.get(task.operation, at + 1) <= at:
                del begun[task.operation]
            if not begun and task.mould:
                mine = [member.order, pull]
                rows = told.filled[task.mould]
                told.filled[task.mould] = [r for r in rows if r[0] > at or list(r[1:]) != mine]


def _in_it(shop: Shop, told: Told, mould: str, at: int) -> None:
    """Let go the pull that was in a mould when it was lost."""
    there = {(order, pull) for minute, order, pull in told.filled[mould] if minute <= at}
    for (order, pull), tasks in told.unticked.items():
        if any(task.mould == mould and task.start <= at for task in tasks):
            there.add((order, pull))
    families = [f for f in shop.moulds.values() if mould.rpartition(" ")[0] == f.key]
    for order, pull in there:
        process = shop.processes.get(families[0].process) if families else None
        if process is None:
            continue
        names, last = _held_names(process)
        guessed = told.unticked.get((order, pull), [])
        begun = {*told.worked[order, ("pull", pull)], *(task.operation for task in guessed)}
        over = {task.operation for task in guessed if task.end <= at}
        out = last in (told.over[order, pull] | over) or any(
            name not in names and _comes_after(process, name, last) for name in begun
        )
        if not out and any(name in names for name in begun):
            told.gone[order].setdefault(("pull", pull), at)


def _held_names(process: Process) -> tuple[set[str], str]:
    """Return the operations during which a pull keeps its mould, and the last of them."""
    names = [operation.name for operation in process.operations]
    spans = [
        (names.index(h.first), names.index(h.last)) for h in process.holds if h.resource == "mould"
    ]
    if not spans:
        return set(), ""
    first, last = min(a for a, _ in spans), max(b for _, b in spans)
    return set(names[first : last + 1]), names[last]


def _comes_after(process: Process, name: str, last: str) -> bool:
    names = [operation.name for operation in process.operations]
    return name in names and names.index(name) > names.index(last)


def gave_back(shop: Shop, told: Told, process: str, order: str, pull: int) -> bool:
    """Return whether the log tells that a pull has given its mould back."""
    of = shop.processes[process]
    held, last = _held_names(of)
    if not held:
        return False
    begun = told.worked.get((order, ("pull", pull)), {})
    if last in told.over.get((order, pull), ()):
        return True
    if any(_comes_after(of, name, last) for name in begun):
        return True
    for rows in told.filled.values():
        mine = [at for at, *who in rows if who == [order, pull]]
        if mine and any(at > min(mine) for at, *who in rows if who != [order, pull]):
            # It was filled again since.
            return True
    return ("pull", pull) in told.gone.get(order, {}) and any(name in held for name in begun)
