"""Rules within an order: everything done once, in order and in time."""

from __future__ import annotations

from collections.abc import Iterable

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.planning.checking.chain import WHOLE_ORDER, Chain, Unit
from mouldwright.planning.checking.ledger import Ledger
from mouldwright.planning.checking.share_rules import judge_share
from mouldwright.planning.checking.warmth_rules import past_pot_life, sets_by_warmth
from mouldwright.planning.plan import Task


def judge_chain(ledger: Ledger, chain: Chain) -> None:
    """Add every complaint about what a chain is made by: all of it, in order, in time."""
    if not chain.units:
        ledger.complaints.append(f"{chain.name} has no tasks")
        return
    _complete(ledger, chain)
    seen: set[int] = set()
    for (name, unit), task in chain.done.items():
        place = chain.process.index(name)
        _follows(ledger, chain, place, unit, task)
        gone = ledger.gone(chain, unit)
        if gone is not None and task.start >= gone and not ledger.is_running(task):
            ledger.complain(task, f"is of {unit[0]} {unit[1]}, which is gone")
        if id(task) not in seen:
            seen.add(id(task))
            _released(ledger, chain, task)
            _old_enough(ledger, chain, place, task)
            _at_once(ledger, chain, place, task)
    for operation in chain.process.operations:
        if operation.pot_life_until is not None:
            _pot_life(ledger, chain, operation)


def _complete(ledger: Ledger, chain: Chain) -> None:
    """Judge that every pull and part goes once through every operation.

    What comes before a task under way was done before now and need not be in the plan.
    """
    process = chain.process
    reached = _reached(ledger, chain)
    by_part = [operation.is_for_all for operation in process.operations if operation.per == "part"]
    if process.has_pulls and by_part:
        for pull in sorted(chain.pulls):
            count, each = len(chain.parts_of.get(pull, ())), chain.parts_each(pull)
            # Parts that pass by all single work are named nowhere.
            gone = ledger.told.gone.get(chain.order.number)
            if count > each or (count < each and any(by_part) and not gone):
                ledger.complaints.append(
                    f"{chain.name}: pull {pull} gives {count} parts, not {chain.parts_each(pull)}"
                )
    for place, operation in enumerate(process.operations):
        if not operation.is_for_all:
            judge_share(ledger, chain, operation)
            continue
        for unit in _units_at(chain, operation):
            if chain.task(operation.name, unit) is None and place >= reached.get(unit, 0):
                if ledger.gone(chain, unit) is not None:
                    continue
                where = "" if unit == WHOLE_ORDER else f" for {unit[0]} {unit[1]}"
                ledger.complaints.append(f"{chain.name}: {operation.name} is missing{where}")
        if operation.per == "order":
            _all_at_once(ledger, chain, operation)


def _all_at_once(ledger: Ledger, chain: Chain, operation: Operation) -> None:
    """Judge that work on an order as a whole, where it lists members, lists all of them."""
    task = chain.task(operation.name, WHOLE_ORDER)
    if task is None:
        return
    everything = {part for parts in chain.parts_of.values() for part in parts}
    for one, pulls, parts in ledger.chains_of(task):
        if one is not chain:
            continue
        for kind, listed, known in (("pull", pulls, chain.pulls), ("part", parts, everything)):
            left = sorted(known - set(listed)) if listed else []
            for left_out in (n for n in left if ledger.gone(chain, (kind, n)) is None):
                ledger.complain(task, f"leaves out {kind} {left_out} of {chain.name}")


def _reached(ledger: Ledger, chain: Chain) -> dict[Unit, int]:
    """Return, for each unit with a task under way, the place of the first in the routing."""
    found: dict[Unit, int] = {}
    if not ledger.under_way:
        return found
    # Whoever keeps a log may leave out a step between two that were ticked off.
    which = max if chain.order.number in ledger.told.orders else min
    for (name, unit), task in chain.done.items():
        if ledger.is_running(task):
            place = chain.process.index(name)
            units = [unit, *(chain.units if unit == WHOLE_ORDER else ())]
            if unit[0] == "part" and unit[1] in chain.pull_by_part:
                units.append(("pull", chain.pull_by_part[unit[1]]))
            for one in units:
                found[one] = which(place, found.get(one, place))
    if found:
        # Work on the order as a whole was done before any of it could be under way.
        first = max(found.values())
        found.setdefault(WHOLE_ORDER, first)
    return found


def _units_at(chain: Chain, operation: Operation) -> list[Unit]:
    """Return the units an operation is to be done on."""
    if operation.per == "order":
        return [WHOLE_ORDER]
    if operation.per == "part" and chain.process.has_pulls:
        # A pull none of whose parts is known lacks the operation itself.
        return [
            unit
            for pull in sorted(chain.pulls)
            for unit in ([("part", p) for p in sorted(chain.parts_of[pull])] or [("pull", pull)])
        ]
    return chain.units


def _before(process: Process, place: int) -> list[str]:
    operation = process.operations[place]
    if operation.after:
        return list(operation.after)
    return [process.operations[place - 1].name] if place else []


def _ends(chain: Chain, place: int, unit: Unit) -> list[int]:
    """Return when each task that goes before ends: of a pull there may be one for each part."""
    units = chain.units if unit == WHOLE_ORDER else [unit]
    return [
        end
        for name in _before(chain.process, place)
        for one in units
        for end in ended(chain, name, one)
    ]


def ended(chain: Chain, name: str, unit: Unit) -> list[int]:
    """Return when an operation ended for a unit; passed by, when what goes before it did.

    Of a pull whose parts go through it one by one, some may pass it by and others not.
    """
    place = chain.process.index(name)
    operation = chain.process.operations[place]
    if operation.is_for_all:
        return [task.end for task in chain.tasks(name, unit)]
    singly = operation.per == "part" and chain.process.has_pulls and unit[0] == "pull"
    ids = sorted(chain.parts_of.get(unit[1], ())) if singly else []
    ones: list[Unit] = [("part", part) for part in ids]
    if not singly or len(ids) < chain.parts_each(unit[1]):
        ones.append(unit)
    found = []
    for one in ones:
        task = chain.task(name, one)
        if task is not None:
            found.append(task.end)
            continue
        for before in _before(chain.process, place):
            found += ended(chain, before, one)
    return found


def _ready(chain: Chain, place: int, unit: Unit) -> int | None:
    """Return when a unit is ready for an operation; None where nothing goes before it."""
    return max(_ends(chain, place, unit), default=None)


def _follows(ledger: Ledger, chain: Chain, place: int, unit: Unit, task: Task) -> None:
    """Judge a task's least and greatest wait after what goes before it.

    ``wait_min <= start - end <= wait_max_min`` for each end of what goes before: every
    operation in ``after``, every part of a pull.
    """
    operation = chain.process.operations[place]
    ends = _ends(chain, place, unit)
    if not ends or ledger.is_running(task):
        return
    wait, longest = task.start - max(ends), task.start - min(ends)
    who = chain.name if unit == WHOLE_ORDER else f"{unit[0]} {unit[1]} of {chain.name}"
    if wait < operation.wait_min:
        ledger.complain(task, f"starts {operation.wait_min - wait} min before {who} is ready")
    if operation.wait_max_min is not None and longest > operation.wait_max_min:
        over = longest - operation.wait_max_min
        ledger.complain(
            task, f"keeps {who} waiting {longest} min, {over} more than {operation.wait_max_min}"
        )


def _released(ledger: Ledger, chain: Chain, task: Task) -> None:
    release = chain.order.release
    if release is None or ledger.is_running(task):
        return
    if task.start * 60 < release.timestamp():
        ledger.complain(task, f"starts before the release of order {chain.order.number}")


def _old_enough(ledger: Ledger, chain: Chain, place: int, task: Task) -> None:
    """Judge that no member is younger than asked, its age counted from its serial.

    A part has its serial at the end of the first hold, without holds at the end of the first
    operation per part that is done to all.
    """
    least = chain.process.operations[place].least_age_h * 60
    if not least or ledger.is_running(task):
        return
    names = [operation.name for operation in chain.process.operations]
    if chain.process.holds:
        serial = chain.process.holds[0].last
    else:
        singly = (o.name for o in chain.process.operations if o.per == "part" and o.is_for_all)
        serial = next(singly, "")
    if serial not in names or names.index(serial) >= place:
        return
    for one, pulls, parts in ledger.chains_of(task):
        units = _units(one, one.process.operations[place], pulls, parts)
        for unit in one.units if WHOLE_ORDER in units else units:
            for given in one.tasks(serial, unit):
                if task.start - given.end < least:
                    ledger.complain(
                        task,
                        f"takes {unit[0]} {unit[1]} {task.start - given.end} min old, of "
                        f"{least:f} at the least",
                    )


def _at_once(ledger: Ledger, chain: Chain, place: int, task: Task) -> None:
    """Judge that an unattended step starts exactly when the last of its members is ready.

    It may queue for what it must take first, within its greatest wait.
    """
    operation = chain.process.operations[place]
    if operation.attended or ledger.is_running(task) or _queues(chain.process, place):
        return
    readies = [
        _ready(one, place, unit)
        for one, pulls, parts in ledger.chains_of(task)
        for unit in _units(one, operation, pulls, parts)
    ]
    known = [ready for ready in readies if ready is not None]
    if known and task.start > max(known) + operation.wait_min:
        ledger.complain(task, "is unattended and does not start as its predecessor ends")


def _units(
    chain: Chain, operation: Operation, pulls: tuple[int, ...], parts: tuple[int, ...]
) -> Iterable[Unit]:
    return [WHOLE_ORDER] if operation.per == "order" else chain.units_of(pulls, parts)


def _queues(process: Process, place: int) -> bool:
    """Return whether an operation takes a station (or mould) that is not yet held."""
    operation = process.operations[place]
    if any(hold.first == operation.name for hold in process.holds):
        return True
    held = any(
        hold.resource == operation.station
        and process.index(hold.first) < place <= process.index(hold.last)
        for hold in process.holds
    )
    return operation.station is not None and not held


def _pot_life(ledger: Ledger, chain: Chain, mixing: Operation) -> None:
    """Judge, for each member, end of use <= end of mixing + pot life."""
    material = ledger.shop.materials.get(mixing.material or "")
    if material is None or material.mix is None:
        return
    for unit in chain.units:
        for mixed in chain.tasks(mixing.name, unit):
            for used in chain.tasks(mixing.pot_life_until or "", unit):
                over = used.end - mixed.end - material.mix.pot_life_min
                if sets_by_warmth(ledger.shop, material.key):
                    over = past_pot_life(ledger.shop, material.key, mixed.end, used.end)
                if over > 0 and not ledger.is_running(used):
                    ledger.complain(used, f"ends {over} min after the pot life of its mix")
