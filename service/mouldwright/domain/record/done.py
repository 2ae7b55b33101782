"""What was done at the bench, one task after another, put together from the log's entries."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import Literal

from mouldwright.domain.record.kept_log import HeldEntries, in_force
from mouldwright.domain.record.log import Happening, LogEntry, LoggedTask, UsedLot


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneTask:
    """An operation as it was really done.

    Attributes:
        task: What it was, as its last entry names it.
        began: None where nobody noted its start.
        ended: None while it goes on.
        people: Whose hands did it.
        used: Lots it took, where that was noted.
        temperature_c: What the thermometer showed, the last that was noted.
        cause: Why it was stopped.
        entries: Numbers of the entries that tell of it.
    """

    task: LoggedTask
    began: datetime | None
    ended: datetime | None
    state: Literal["running", "done", "stopped"]
    people: tuple[str, ...] = ()
    used: tuple[UsedLot, ...] = ()
    temperature_c: Decimal | None = None
    cause: str = ""
    entries: tuple[int, ...] = ()

    @property
    def last_known(self) -> datetime:
        """Return when it ended, or began where it goes on."""
        known = self.ended or self.began
        assert known is not None  # an entry of either kind made it
        return known

    @property
    def first_known(self) -> datetime:
        """Return when it began, or ended where nobody noted the start."""
        known = self.began or self.ended
        assert known is not None  # an entry of either kind made it
        return known

    @property
    def worked_min(self) -> Decimal | None:
        """Return the minutes from its start to its end, None where either is not noted."""
        if self.began is None or self.ended is None:
            return None
        return Decimal(int((self.ended - self.began).total_seconds())) / 60


_OF_TASKS = (Happening.STARTED, Happening.FINISHED, Happening.STOPPED)


def tasks_done(log: Iterable[LogEntry]) -> tuple[DoneTask, ...]:
    """Return the tasks that the entries in force tell of, by when they are first heard of.

    An end goes with the start of the same operation that is open and shares a pull or part
    with it (the same mould, for work on a mould alone); what ended without a start stands by
    itself, its beginning not known.
    """
    held = in_force(log)
    if held.remembered is None:
        known = _put_together(held)
        held.remembered, held.before = known, None
    known = held.remembered
    assert isinstance(known, _Together)
    return known.tasks


# So many of the last entries are gone through again where one comes in among them or goes.
_LATELY = 128


class _Reading:
    """Goes through entries in the order they happened; what it has found by then."""

    def __init__(self) -> None:
        # In the order they are first heard of, as entries come by when they happened.
        self.found: list[DoneTask] = []
        self.going: dict[object, int] = {}

    def copy(self) -> _Reading:
        copied = _Reading()
        copied.found, copied.going = list(self.found), dict(self.going)
        return copied

    def through(self, entries: Iterable[LogEntry]) -> _Reading:
        for entry in entries:
            if entry.task is not None and entry.what in _OF_TASKS:
                self._take(entry, entry.task)
        return self

    def _take(self, entry: LogEntry, task: LoggedTask) -> None:
        going, found = self.going, self.found
        keys = keys_of(task)
        place = min((going[key] for key in keys if key in going), default=None)
        if entry.what is Happening.STARTED:
            if place is None:
                going |= dict.fromkeys(keys, len(found))
                found.append(_begun(entry, task))
            return
        if place is None:
            found.append(_ended(None, entry, task))
            return
        for key in keys_of(found[place].task):
            going.pop(key, None)
        found[place] = _ended(found[place], entry, task)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Together:
    """What entries came to.

    Attributes:
        tasks: All of them.
        whole: How far the reading has come with the last entry.
        base: How far it had come with the first ``at`` of them.
    """

    tasks: tuple[DoneTask, ...]
    whole: _Reading
    base: _Reading
    at: int


def _put_together(held: HeldEntries) -> _Together:
    """Go through entries from as far as what is known of a shorter log holds of them too."""
    start, base, at = None, _Reading(), 0
    before = held.before
    if before is not None:
        earlier, known = before
        assert isinstance(known, _Together)
        same = _same(earlier, held)
        if same == len(earlier):
            start = known.whole.copy().through(held[same:])
        if same >= known.at:
            base, at = known.base, known.at
    if len(held) - at > 2 * _LATELY:
        further = len(held) - _LATELY
        base, at = base.copy().through(held[at:further]), further
    whole = start or base.copy().through(held[at:])
    return _Together(tasks=tuple(whole.found), whole=whole, base=base, at=at)


def _same(earlier: Sequence[LogEntry], later: Sequence[LogEntry]) -> int:
    """Return how many entries at the beginning are the same in both."""
    pairs = enumerate(zip(earlier, later, strict=False))
    return next((at for at, (a, b) in pairs if a is not b), min(len(earlier), len(later)))


def _begun(entry: LogEntry, task: LoggedTask) -> DoneTask:
    return DoneTask(
        task=task,
        began=entry.at,
        ended=None,
        state="running",
        people=entry.people,
        used=entry.used,
        temperature_c=entry.temperature_c,
        entries=(entry.number,),
    )


def _ended(begun: DoneTask | None, entry: LogEntry, task: LoggedTask) -> DoneTask:
    """Return a task at its end; what the last entry leaves open is as it was at the start."""
    first = begun or replace(_begun(entry, task), began=None, entries=())
    return DoneTask(
        task=replace(
            task,
            mould=task.mould or first.task.mould,
            stations=task.stations or first.task.stations,
        ),
        began=first.began,
        ended=entry.at,
        state="stopped" if entry.what is Happening.STOPPED else "done",
        people=entry.people or first.people,
        used=entry.used or first.used,
        temperature_c=first.temperature_c if entry.temperature_c is None else entry.temperature_c,
        cause=entry.cause,
        entries=(*first.entries, entry.number),
    )


def members_of(task: LoggedTask) -> frozenset[tuple[str, str, int]]:
    """Return what is in a task one by one: the order, "pull" or "part", and its number.

    A part of a pull counts as the part alone. An order without either is in as a whole.
    """
    return frozenset(
        (member.order, kind, number)
        for member in task.members
        for kind, numbers in (
            (("part", member.parts),)
            if member.parts
            else (("pull", member.pulls),)
            if member.pulls
            else (("order", (0,)),)
        )
        for number in numbers
    )


def keys_of(task: LoggedTask) -> frozenset[tuple[object, ...]]:
    """Return what a task is known by: its operation with each pull or part that is in it.

    Work on a mould alone is known by the mould.
    """
    work = (task.operation, task.process)
    if not task.members:
        return frozenset({(*work, task.mould)})
    return frozenset((*work, *member) for member in members_of(task))


def is_same(one: LoggedTask, other: LoggedTask) -> bool:
    """Return whether two entries tell of one piece of work: a pull or part of it is in both.

    Work on a mould alone is the same where the mould is.
    """
    return bool(keys_of(one) & keys_of(other))
