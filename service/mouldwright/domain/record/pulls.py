"""Pulls as they were really taken: on which mould, when, by whom, and which parts came of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.process.process import Process
from mouldwright.domain.record.done import DoneTask, tasks_done
from mouldwright.domain.record.kept_log import in_force
from mouldwright.domain.record.log import Happening, LogEntry, LoggedTask
from mouldwright.domain.record.serial import OrderLot, lots_of
from mouldwright.domain.shop import Shop

PullEnd = Literal["taken", "stopped", "scrapped", "lost with its mould"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """One cycle of one mould.

    Attributes:
        order: Number of its order; empty for a pull that proves a mould.
        number: Its number within the order; 0 for one that proves.
        part: Key of the part.
        process: Key of the process.
        mould: Name of the mould; None where nobody noted it.
        began: When it is first heard of.
        ended: When it gave its mould back; None while it is in it.
        end: How; None while it is in it.
        people: Who took it out of the mould, else who did the last that is known of it.
        parts: Numbers of its parts within the order.
        cause: Why it ended otherwise than it should.
        tasks: What was done to it, in order.
    """

    order: str
    number: int
    part: str
    process: str
    mould: str | None
    began: datetime
    ended: datetime | None
    end: PullEnd | None
    people: tuple[str, ...]
    parts: tuple[int, ...]
    cause: str = ""
    tasks: tuple[DoneTask, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ending:
    at: datetime
    end: PullEnd
    cause: str = ""
    people: tuple[str, ...] = ()


class PartNumbers:
    """Which part of an order comes of which pull: as logged, else as a plan numbers them."""

    def __init__(self, shop: Shop, tasks: Iterable[DoneTask]) -> None:
        """Read the orders of the shop, and what entries say of pulls and parts together."""
        self._lots: dict[str, tuple[OrderLot, ...]] = {}
        for order in shop.orders:
            try:
                self._lots[order.number] = lots_of(shop, order)
            except MouldwrightError:
                # The shop was changed since: what entries say has to do.
                self._lots[order.number] = ()
        self._pull_of: dict[tuple[str, int], int] = {}
        for done in tasks:
            for member in done.task.members:
                if len(member.pulls) == 1:
                    for part in member.parts:
                        self._pull_of[member.order, part] = member.pulls[0]
        self._noted: dict[tuple[str, int], set[int]] = {}
        for (order_number, part), pull in self._pull_of.items():
            self._noted.setdefault((order_number, pull), set()).add(part)

    def parts_of(self, order: str, pull: int, cavities: int = 1) -> tuple[int, ...]:
        """Return the parts of a pull, lowest first."""
        noted = set(self._noted.get((order, pull), ()))
        lot = next((lot for lot in self._lots.get(order, ()) if lot.holds_pull(pull)), None)
        if lot is not None:
            noted |= {p for p in lot.parts_of(pull) if self._pull_of.get((order, p), pull) == pull}
        elif not noted:
            first = (pull - 1) * cavities + 1
            noted = set(range(first, first + cavities))
        return tuple(sorted(noted))

    def pull_of(self, order: str, part: int) -> int | None:
        """Return the pull a part comes of; None where it comes of none, or that is not known."""
        if (order, part) in self._pull_of:
            return self._pull_of[order, part]
        lot = self.lot_of(order, part)
        return None if lot is None else lot.pull_of(part)

    def lot_of(self, order: str, part: int) -> OrderLot | None:
        """Return the starts that a part is one of, None for an order the shop has no more."""
        return next((lot for lot in self._lots.get(order, ()) if lot.holds_part(part)), None)


def pulls_taken(shop: Shop, log: Iterable[LogEntry]) -> tuple[Pull, ...]:
    """Return every pull that entries in force tell of, by when it is first heard of.

    A pull gives its mould back at the end of the last operation the process holds the mould
    for, or with the first that is heard of a later one. One that was scrapped in the mould, lost
    with it, or stopped where that loses what is in it has worn the mould like any other.
    """
    entries = in_force(log)
    tasks = tasks_done(entries)
    numbers = PartNumbers(shop, tasks)
    of_pull: dict[tuple[str, int], list[DoneTask]] = {}
    for done in tasks:
        process = shop.processes.get(done.task.process)
        if process is None or not process.uses_mould:
            continue
        for order, pull in _pulls_in(done.task, numbers):
            of_pull.setdefault((order, pull), []).append(done)
    scrapped = _scrapped(entries, numbers)
    gone = [e for e in entries if e.what is Happening.MOULD_LOST]
    found = [
        _pull(shop, key, its, numbers, scrapped.get(key), gone) for key, its in of_pull.items()
    ]
    found += _proofs(shop, tasks)
    return tuple(sorted(found, key=lambda pull: (pull.began, pull.order, pull.number)))


def held_until(process: Process) -> int:
    """Return the place of the last operation that a process holds its mould for."""
    return max(process.index(hold.last) for hold in process.holds if hold.resource == "mould")


def _pulls_in(task: LoggedTask, numbers: PartNumbers) -> Iterator[tuple[str, int]]:
    """Yield the pulls in a task, those its parts come of included."""
    for member in task.members:
        yield from ((member.order, pull) for pull in member.pulls)
        if not member.pulls:
            pulls = {numbers.pull_of(member.order, part) for part in member.parts}
            yield from ((member.order, pull) for pull in pulls if pull is not None)


def _scrapped(
    entries: Iterable[LogEntry], numbers: PartNumbers
) -> Mapping[tuple[str, int], LogEntry]:
    """Return the first entry that scraps a pull, or a part of it, by pull."""
    found: dict[tuple[str, int], LogEntry] = {}
    for entry in entries:
        if entry.what is not Happening.SCRAPPED:
            continue
        for member in entry.members or (entry.task.members if entry.task else ()):
            of_parts = (numbers.pull_of(member.order, part) for part in member.parts)
            for pull in (*member.pulls, *of_parts):
                if pull is not None:
                    found.setdefault((member.order, pull), entry)
    return found


def _pull(
    shop: Shop,
    key: tuple[str, int],
    tasks: list[DoneTask],
    numbers: PartNumbers,
    scrapped: LogEntry | None,
    lost: Iterable[LogEntry],
) -> Pull:
    order, number = key
    process = shop.processes[tasks[0].task.process]
    moulds = [done.task.mould for done in tasks if done.task.mould]
    mould = moulds[-1] if moulds else None
    ending = _ending(process, tasks, mould, scrapped, lost)
    family = shop.moulds.get((mould or "").rpartition(" ")[0])
    return Pull(
        order=order,
        number=number,
        part=tasks[0].task.part,
        process=process.key,
        mould=mould,
        began=tasks[0].first_known,
        ended=None if ending is None else ending.at,
        end=None if ending is None else ending.end,
        people=tasks[-1].people if ending is None else ending.people,
        parts=numbers.parts_of(order, number, family.cavities if family else 1),
        cause="" if ending is None else ending.cause,
        tasks=tuple(tasks),
    )


def _ending(
    process: Process,
    tasks: list[DoneTask],
    mould: str | None,
    scrapped: LogEntry | None,
    lost: Iterable[LogEntry],
) -> _Ending | None:
    """Return how a pull gave its mould back: what came first, None while it is in it."""
    places = {operation.name: place for place, operation in enumerate(process.operations)}
    last = held_until(process)
    found: list[_Ending] = []
    for done in tasks:
        place = places.get(done.task.operation, -1)
        if place == last and done.state == "done":
            found.append(_Ending(at=done.last_known, end="taken", people=done.people))
        elif place > last:
            found.append(_Ending(at=done.first_known, end="taken", people=done.people))
        elif done.state == "stopped" and process.loses_what_is_in(done.task.operation):
            found.append(
                _Ending(at=done.last_known, end="stopped", cause=done.cause, people=done.people)
            )
    if scrapped is not None:
        found.append(
            _Ending(at=scrapped.at, end="scrapped", cause=scrapped.cause, people=scrapped.people)
        )
    began = tasks[0].first_known
    found += [
        _Ending(at=e.at, end="lost with its mould", cause=e.cause, people=e.people)
        for e in lost
        if mould is not None and e.mould == mould and e.at >= began
    ]
    # A pull that was stopped and went on all the same was taken when it was taken.
    went_on = [each for each in found if each.end == "taken"]
    halted = [each for each in found if each.end != "stopped"] if went_on else found
    return min(halted, key=lambda each: each.at, default=None)


def _proofs(shop: Shop, tasks: Iterable[DoneTask]) -> Iterator[Pull]:
    """Yield the pulls that proved a mould: of no order, as far as the mould's hold goes."""
    for done in tasks:
        task = done.task
        process, mould = shop.processes.get(task.process), task.mould
        if task.members or mould is None or process is None or not process.uses_mould:
            continue
        if shop.mould_work(task.process, task.operation, mould) != "proof":
            continue
        if done.state == "done" and task.operation == process.operations[held_until(process)].name:
            yield Pull(
                order="",
                number=0,
                part=task.part,
                process=task.process,
                mould=mould,
                began=done.first_known,
                ended=done.ended,
                end="taken",
                people=done.people,
                parts=(),
                tasks=(done,),
            )
