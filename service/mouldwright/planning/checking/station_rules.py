"""Rules about stations: units that exist, one task at a time or up to their room, kept in holds."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Hold, Process
from mouldwright.domain.shop import Person, Station
from mouldwright.planning.checking.chain import Chain
from mouldwright.planning.checking.ledger import Ledger
from mouldwright.planning.checking.people_rules import open_spans
from mouldwright.planning.plan import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """Something that keeps a unit busy.

    Attributes:
        owner: What keeps it; stays of one owner in a unit without room are one.
        parts: Parts that take room.
        was: Whether it is over, and was as it was.
    """

    start: int
    end: int
    owner: tuple[object, ...]
    parts: int
    what: str
    was: bool = False


def judge_stations(ledger: Ledger) -> None:
    """Add every complaint about stations."""
    stays: dict[str, list[Stay]] = defaultdict(list)
    for task in ledger.plan.tasks:
        operation = ledger.operation(task)
        if operation is not None:
            _named(ledger, task, operation)
    for chain in ledger.all_chains():
        for hold in _station_holds(chain.process):
            _held(ledger, chain, hold, stays)
    seen: set[int] = set()
    for chain in ledger.all_chains():
        for task in chain.done.values():
            if id(task) not in seen:
                seen.add(id(task))
                _alone(ledger, chain.process, task, stays)
    for task in ledger.conditioning:
        _alone(ledger, ledger.shop.processes[task.process], task, stays)
    for name, kept in stays.items():
        _one_unit(ledger, name, kept)


def _station_holds(process: Process) -> list[Hold]:
    return [hold for hold in process.holds if hold.resource != "mould"]


def _held_operations(process: Process, hold: Hold) -> tuple[Operation, ...]:
    return process.operations[process.index(hold.first) : process.index(hold.last) + 1]


def _key(unit: str) -> str:
    return unit.rpartition(" ")[0]


def _station(ledger: Ledger, unit: str) -> Station | None:
    key, _, number = unit.rpartition(" ")
    station = ledger.shop.stations.get(key)
    if station is None or not number.isdecimal() or not 1 <= int(number) <= station.count:
        return None
    return station


def _named(ledger: Ledger, task: Task, operation: Operation) -> None:
    """Judge the units a task lists: they exist, are those it needs, and are open as it runs."""
    if ledger.is_history(task):
        return
    chains = [chain for chain, _, _ in ledger.chains_of(task)]
    needed = {operation.station} if operation.station else set()
    for hold in _station_holds(chains[0].process) if chains else ():
        if operation in _held_operations(chains[0].process, hold):
            needed.add(hold.resource)
    if len(set(task.stations)) != len(task.stations):
        ledger.complain(task, "lists a unit twice")
    for unit in task.stations:
        if _station(ledger, unit) is None:
            ledger.complain(task, f"lists {unit}: there is no such station")
        elif _key(unit) not in needed:
            ledger.complain(task, f"lists {unit} and does not need it")
    for key in sorted(needed):
        if key not in {_key(unit) for unit in task.stations}:
            ledger.complain(task, f"lists no unit of {key}")
        station = ledger.shop.stations.get(key)
        if station is not None and station.weekly is not None and not ledger.is_running(task):
            _open(ledger, task, station)


def _open(ledger: Ledger, task: Task, station: Station) -> None:
    """Judge that a station with hours of its own is open while work is done on it."""
    # A station's own hours are read as a person's are: closed dates still bind.
    keeper = Person(
        key=station.key,
        title=station.title,
        skills=frozenset(),
        wage_per_hour=ledger.shop.overhead_per_hour,
        weekly=station.weekly,
    )
    spans = open_spans(ledger.shop, keeper, task.start - 1440, task.end + 1440)
    for start, end in task.spans:
        at = bisect_right(spans, (start, 1 << 60)) - 1
        if at < 0 or end > spans[at][1]:
            ledger.complain(task, f"runs while {station.key} is closed")


def _held(ledger: Ledger, chain: Chain, hold: Hold, stays: dict[str, list[Stay]]) -> None:
    """Note a hold on a station by each unit, and judge that it is one from first to last."""
    names = [operation.name for operation in _held_operations(chain.process, hold)]
    # Parts hold singly where every operation of the hold is on single parts.
    single = chain.process.has_pulls and all(
        operation.per == "part" for operation in _held_operations(chain.process, hold)
    )
    units = chain.units
    if single:
        units = [("part", part) for parts in chain.parts_of.values() for part in sorted(parts)]
    for unit in units:
        tasks = [task for name in names for task in chain.tasks(name, unit)]
        if not tasks:
            continue
        # A batch lists the units of all its members: the one kept is in every list.
        listed = [{u for u in task.stations if _key(u) == hold.resource} for task in tasks]
        was = [ledger.is_history(task) for task in tasks]
        if all(was) and not any(listed):
            # Nobody wrote down which it was.
            continue
        if any(was):
            listed = [units for units in listed if units]
        common = set.intersection(*listed)
        if not common:
            ledger.complaints.append(
                f"{chain.name}: {unit[0]} {unit[1]} does not keep one unit of "
                f"{hold.resource} from {hold.first} to {hold.last}"
            )
            continue
        first = min(tasks, key=lambda task: (task.start, task.end))
        together = chain.process.operation(first.operation).per == "batch"
        owner: tuple[object, ...] = (id(first),) if together else (chain.name, unit)
        stays[min(common)].append(
            Stay(
                start=first.start,
                end=max(task.end for task in tasks),
                owner=owner,
                parts=chain.parts_each(unit[1]) if unit[0] == "pull" else 1,
                what=f"{chain.name} {unit[0]} {unit[1]}",
                was=all(was) and max(task.end for task in tasks) <= ledger.plan.now,
            )
        )


def _alone(ledger: Ledger, process: Process, task: Task, stays: dict[str, list[Stay]]) -> None:
    """Note an operation that takes a station of its own, outside a hold on it."""
    operation = ledger.operation(task)
    if operation is None or operation.station is None:
        return
    for hold in _station_holds(process):
        if hold.resource == operation.station and operation in _held_operations(process, hold):
            return
    units = sorted(unit for unit in task.stations if _key(unit) == operation.station)
    parts = sum(chain.members(pulls, ids) for chain, pulls, ids in ledger.chains_of(task))
    for unit in units[:1]:
        stays[unit].append(
            Stay(
                start=task.start,
                end=task.end,
                owner=(id(task),),
                parts=max(parts, 1),
                what=ledger.what(task),
                was=ledger.is_history(task),
            )
        )


def _one_unit(ledger: Ledger, name: str, kept: Iterable[Stay]) -> None:
    """Judge that a unit never takes more than it can at once."""
    station = _station(ledger, name)
    if station is None:
        return
    most = 1 if station.room is None else station.room
    events = []
    for stay in kept if station.room is not None else _joined(kept):
        takes = 1 if station.room is None else stay.parts
        if stay.start < stay.end and not stay.was:
            events.append((stay.start, 1, takes, stay.what))
            events.append((stay.end, 0, -takes, stay.what))
    inside = 0
    for at, _, takes, what in sorted(events, key=lambda event: event[:2]):
        inside += takes
        if takes > 0 and inside > most:
            ledger.complaints.append(
                f"{name} takes {inside} at {ledger.at(at)} and has room for {most}: {what}"
            )


def _joined(kept: Iterable[Stay]) -> list[Stay]:
    """Return the stays with those of one owner that overlap made one."""
    found: list[Stay] = []
    last: dict[tuple[object, ...], int] = {}
    for stay in sorted(kept, key=lambda stay: (stay.start, stay.end)):
        at = last.get(stay.owner)
        if at is not None and stay.start < found[at].end:
            found[at] = replace(found[at], end=max(found[at].end, stay.end))
        else:
            last[stay.owner] = len(found)
            found.append(stay)
    return found
