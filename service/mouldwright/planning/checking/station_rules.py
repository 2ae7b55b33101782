"""Rules about stations: units that exist, one task at a time or up to their room, kept in holds."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from dataclasses import dataclass, replace

from mouldwright.domain.shop import Person, Station
from mouldwright.planning.checking.ledger import Chain, Ledger, Unit
from mouldwright.planning.checking.people_rules import open_spans
from mouldwright.planning.plan import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """Something that keeps a unit busy.

    Attributes:
        owner: What keeps it; stays of one owner are one.
        parts: Parts that take room.
    """

    start: int
    end: int
    owner: tuple[object, ...]
    parts: int
    what: str


def judge_stations(ledger: Ledger) -> None:
    """Add every complaint about stations."""
    stays: dict[str, list[Stay]] = defaultdict(list)
    for task in ledger.plan.tasks:
        _named(ledger, task)
    for chain in ledger.chains.values():
        _holds(ledger, chain, stays)
        _single(ledger, chain, stays)
    for work in ledger.sets.values():
        for task in work.tasks:
            operation = ledger.operation(task)
            if operation and operation.station:
                _add(ledger, stays, operation.station, [task], task, 1)
    for task in ledger.upkeep:
        operation = ledger.operation(task)
        if operation and operation.station:
            _add(ledger, stays, operation.station, [task], task, 1)
    for name, kept in stays.items():
        _one_unit(ledger, name, kept)


def _station(ledger: Ledger, unit: str) -> Station | None:
    key, _, number = unit.rpartition(" ")
    station = ledger.shop.stations.get(key)
    if station is None or not number.isdigit() or not 1 <= int(number) <= station.count:
        return None
    return station


def _named(ledger: Ledger, task: Task) -> None:
    """Judge that the units exist, the task's own station is among them, and it is open."""
    for unit in task.stations:
        if _station(ledger, unit) is None:
            ledger.complaints.append(f"{ledger.what(task)}: there is no station {unit}")
    operation = ledger.operation(task)
    if operation is None or operation.station is None:
        return
    own = [unit for unit in task.stations if unit.rpartition(" ")[0] == operation.station]
    if not own:
        ledger.complaints.append(f"{ledger.what(task)} lists no unit of {operation.station}")
    station = ledger.shop.stations.get(operation.station)
    if station is None or station.weekly is None or task in ledger.running:
        return
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
            ledger.complaints.append(f"{ledger.what(task)} runs while {station.key} is closed")


def _units_of(task: Task, key: str) -> set[str]:
    return {unit for unit in task.stations if unit.rpartition(" ")[0] == key}


def _holds(ledger: Ledger, chain: Chain, stays: dict[str, list[Stay]]) -> None:
    """Note every hold on a station, and judge that it is one unit from first to last."""
    process = chain.process
    for hold in process.holds:
        if hold.resource == "mould":
            continue
        first, last = process.index(hold.first), process.index(hold.last)
        names = [operation.name for operation in process.operations[first : last + 1]]
        for unit in chain.units:
            tasks = [task for name in names for task in chain.tasks(name, unit)]
            if not tasks:
                continue
            # A batch lists the units of all its members; a pull's own tasks list its one.
            own = [task for task in tasks if len(_members(task)) == 1] or tasks
            common = set.intersection(*(_units_of(task, hold.resource) for task in own))
            if len(common) < 1:
                ledger.complaints.append(
                    f"{chain.name}: {unit[0]} {unit[1]} does not keep one unit of "
                    f"{hold.resource} from {hold.first} to {hold.last}"
                )
                continue
            _stay(ledger, chain, stays, hold.resource, sorted(common)[0], unit, tasks)


def _members(task: Task) -> list[int]:
    return [unit for member in task.members for unit in (member.pulls or member.parts)]


def _stay(
    ledger: Ledger,
    chain: Chain,
    stays: dict[str, list[Stay]],
    key: str,
    name: str,
    unit: Unit,
    tasks: list[Task],
) -> None:
    first = min(tasks, key=lambda task: task.start)
    parts = chain.cavities if unit[0] == "pull" else 1
    together = len(_members(first)) > 1
    owner: tuple[object, ...] = (id(first),) if together else (chain.name, unit)
    stays[name].append(
        Stay(
            start=first.start,
            end=max(task.end for task in tasks),
            owner=owner,
            parts=parts,
            what=f"{chain.name} {unit[0]} {unit[1]}",
        )
    )


def _single(ledger: Ledger, chain: Chain, stays: dict[str, list[Stay]]) -> None:
    """Note every operation that takes a station of its own, outside a hold on it."""
    process = chain.process
    held: dict[str, set[str]] = defaultdict(set)
    for hold in process.holds:
        first, last = process.index(hold.first), process.index(hold.last)
        held[hold.resource].update(o.name for o in process.operations[first : last + 1])
    seen: set[int] = set()
    for (name, _), task in chain.done.items():
        operation = process.operation(name)
        key = operation.station
        if key is None or name in held[key] or id(task) in seen:
            continue
        seen.add(id(task))
        parts = sum(
            len(ids) or len(pulls) * one.cavities or one.starts
            for one, pulls, ids in ledger.chains_of(task)
        )
        _add(ledger, stays, key, [task], task, parts)


def _add(
    ledger: Ledger,
    stays: dict[str, list[Stay]],
    key: str,
    tasks: list[Task],
    task: Task,
    parts: int,
) -> None:
    units = sorted(_units_of(task, key))
    if units:
        stays[units[0]].append(
            Stay(
                start=task.start,
                end=max(t.end for t in tasks),
                owner=(id(task),),
                parts=parts,
                what=ledger.what(task),
            )
        )


def _one_unit(ledger: Ledger, name: str, kept: list[Stay]) -> None:
    """Judge that a unit never takes more than it can at once."""
    station = _station(ledger, name)
    if station is None:
        return
    merged: dict[tuple[object, ...], Stay] = {}
    for stay in kept:
        same = merged.get(stay.owner)
        if same is None or station.room is not None:
            key = stay.owner if same is None else (*stay.owner, len(merged))
            merged[key] = stay
        else:
            merged[stay.owner] = replace(
                same, start=min(same.start, stay.start), end=max(same.end, stay.end)
            )
    most = 1 if station.room is None else station.room
    events = []
    for stay in merged.values():
        takes = 1 if station.room is None else stay.parts
        events.append((stay.start, 1, takes, stay.what))
        events.append((stay.end, 0, -takes, stay.what))
    inside = 0
    for at, _, takes, what in sorted(events, key=lambda event: event[:2]):
        inside += takes
        if takes > 0 and inside > most:
            ledger.complaints.append(
                f"{name} takes {inside} at {ledger.at(at)} and has room for {most}: {what}"
            )
