"""Operations and holds: whether each names what exists, and earlier steps come earlier."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from mouldwright.domain.consistency.finding import (
    Where,
    fault,
    routings,
    step,
    steps,
    unknown,
    warning,
)
from mouldwright.domain.errors import Fault, nearest
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop

_BATCH_LIMITS = ("batch_pulls", "batch_parts", "batch_g")


def routing_faults(shop: Shop) -> Iterator[Fault]:
    """Yield the faults of operations and holds."""
    if "mould" in shop.stations:
        yield fault(
            ("stations", "mould"),
            None,
            'a station cannot be called "mould": holds use that word for the moulds.',
            "Give it another key.",
        )
    for where, operations in routings(shop):
        names = [operation.name for operation in operations]
        for place, operation in enumerate(operations):
            at = step(where, operation)
            if names.index(operation.name) != place:
                yield fault(
                    (*at, "name"),
                    operation.name,
                    "two operations of one process have this name.",
                    "Give each a name of its own.",
                )
            if operation.station is not None and operation.station not in shop.stations:
                yield unknown((*at, "station"), operation.station, "station", shop.stations)
            yield from _after(at, operations, place)
            yield from _batch(at, operations, place)
            yield from _people(at, operation)
            yield from _set_work(where, at, operation)
    for where, operations in routings(shop):
        yield from _ages(shop, where, operations)
    for key, process in shop.processes.items():
        yield from _holds(shop, key, process)
        yield from _let_go(key, process)
        yield from _begins_by_itself(shop, key, process)


def _after(at: Where, operations: tuple[Operation, ...], place: int) -> Iterator[Fault]:
    operation = operations[place]
    names = [other.name for other in operations]
    for number, name in enumerate(operation.after):
        if name not in names:
            yield unknown((*at, "after", number), name, "operation", names)
        elif name == operation.name:
            yield fault(
                (*at, "after", number),
                name,
                "an operation cannot follow itself.",
                "Name an earlier one.",
            )
        elif names.index(name) > place:
            yield fault(
                (*at, "after", number),
                name,
                "this operation comes later in the list, so each would wait for the other.",
                f"Move {name} before {operation.name}, or name an earlier one.",
            )


def _batch(at: Where, operations: tuple[Operation, ...], place: int) -> Iterator[Fault]:
    operation = operations[place]
    limits = [name for name in _BATCH_LIMITS if getattr(operation, name) is not None]
    for name in limits:
        if operation.per != "batch":
            yield warning(
                (*at, name),
                getattr(operation, name),
                f'a limit on a batch has no effect on an operation per "{operation.per}".',
                'Write per = "batch", or leave the limit out.',
            )
        elif place > 0 and operations[place - 1].per == "batch" and not operation.after:
            yield warning(
                (*at, name),
                getattr(operation, name),
                "the batch was formed at an earlier operation, whose limits stand.",
                f"Write the limit at {_first_of_batch(operations, place)}.",
            )


def _first_of_batch(operations: tuple[Operation, ...], place: int) -> str:
    while place > 0 and operations[place - 1].per == "batch":
        place -= 1
    return operations[place].name


def _people(at: Where, operation: Operation) -> Iterator[Fault]:
    if operation.attended:
        return
    for name, value, says in (
        ("skill", operation.skill, operation.skill is not None),
        ("people", operation.people, operation.people != 1),
        ("interruptible", "true", operation.interruptible),
    ):
        if says:
            yield warning(
                (*at, name),
                value,
                "an unattended operation needs nobody, so this has no effect.",
                "Leave it out, or write attended_min in place of unattended_min.",
            )


def _set_work(where: Where, at: Where, operation: Operation) -> Iterator[Fault]:
    if where[0] == "sets" and operation.per not in ("order", "part"):
        yield fault(
            (*at, "per"),
            operation.per,
            "work on a set is done once for the order or once for each set.",
            'Write "order" or "part".',
        )


def _ages(shop: Shop, where: Where, operations: tuple[Operation, ...]) -> Iterator[Fault]:
    """Yield where an age is asked of what has no serial yet, or of what cannot wait for it."""
    process = shop.processes.get(str(where[1])) if where[0] == "processes" else None
    names = [operation.name for operation in operations]
    held = process is not None and all(hold.last in names for hold in process.holds)
    serial = process.serial_place if process is not None and held else None
    for place, operation in enumerate(operations):
        at = (*step(where, operation), "least_age_h")
        if not operation.least_age_h:
            continue
        if where[0] == "sets" or operation.per == "conditioning":
            what = "a set" if where[0] == "sets" else "a mould"
            yield fault(
                at,
                operation.least_age_h,
                f"age is counted from a part's serial, and {what} has none.",
                "Write it at an operation of the part's process.",
            )
        elif held and (serial is None or place <= serial):
            given = "no operation gives one" if serial is None else f"{names[serial]} gives it"
            yield fault(
                at,
                operation.least_age_h,
                f"age is counted from a part's serial, and {given}.",
                "Add a hold, or write the age at a later operation."
                if serial is None
                else f"Write it at an operation after {names[serial]}.",
            )
        elif not operation.attended:
            yield fault(
                at,
                operation.least_age_h,
                "an unattended operation starts as the one before it ends, and waits for no age.",
                "Write it at an attended operation.",
            )


def _let_go(key: str, process: Process) -> Iterator[Fault]:
    """Yield where a machine is set up, and free for others before it runs."""
    for before, runs in pairwise(process.operations):
        station = runs.station
        if station is None or before.station != station or not before.attended or runs.attended:
            continue
        if not _is_kept(process, station, before, runs):
            yield warning(
                (*step(("processes", key, "operations"), runs), "station"),
                station,
                f"nothing keeps {station} between {before.name} and {runs.name}, so other work "
                "may come between.",
                f'Add {{ resource = "{station}", from = "{before.name}", to = "{runs.name}" }} '
                f"to processes.{key}.holds.",
            )


def _is_kept(process: Process, station: str, before: Operation, runs: Operation) -> bool:
    """Return whether a hold keeps a station from one operation, or an earlier one, to another."""
    names = [operation.name for operation in process.operations]
    return any(
        hold.resource == station
        and hold.first in names
        and hold.last in names
        and names.index(hold.first) <= names.index(before.name)
        and names.index(runs.name) <= names.index(hold.last)
        for hold in process.holds
    )


def _begins_by_itself(shop: Shop, key: str, process: Process) -> Iterator[Fault]:
    """Yield where work that nobody attends takes a machine that may come free with nobody there.

    It queues for the machine and begins the minute that is free, at night too. A place with room
    for several at once, such as a drying cabinet, is seldom full, and a load that gathers several
    waits for whoever fills it; a press for one pull is what comes free at night.
    """
    for place, runs in enumerate(process.operations):
        station = shop.stations.get(runs.station or "")
        if station is None or runs.attended or station.room is not None or not place:
            continue
        if runs.per == "batch":
            continue
        before = process.operations[place - 1]
        if before.station == runs.station and before.attended:
            continue  # said already: it is let go between being set up and running
        if not _is_kept(process, station.key, before, runs):
            yield warning(
                (*step(("processes", key, "operations"), runs), "station"),
                station.key,
                f"it begins the minute {station.title} is free, with nobody there perhaps.",
                f"If hands load it, hold it from a step they do: {{ resource = "
                f'"{station.key}", from = "{before.name}", to = "{runs.name}" }}.',
            )


def _holds(shop: Shop, key: str, process: Process) -> Iterator[Fault]:
    names = [operation.name for operation in process.operations]
    upkeep = process.conditioning.name if process.conditioning else None
    for number, hold in enumerate(process.holds):
        at: Where = ("processes", key, "holds", number)
        if hold.resource != "mould" and hold.resource not in shop.stations:
            yield unknown((*at, "resource"), hold.resource, "station", ("mould", *shop.stations))
        for side, name in (("from", hold.first), ("to", hold.last)):
            if name == upkeep and name not in names:
                yield fault(
                    (*at, side),
                    name,
                    "conditioning is outside the chain of the parts and ends no hold.",
                    nearest(name, names),
                )
            elif name not in names:
                yield unknown((*at, side), name, "operation", [o.name for o in steps(process)])
        both = hold.first in names and hold.last in names
        if both and names.index(hold.first) > names.index(hold.last):
            yield fault(
                (*at, "to"),
                hold.last,
                f"the hold would end before it begins: {hold.last} comes before {hold.first}.",
                f"Write {hold.first} or a later operation.",
            )
