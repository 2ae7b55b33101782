"""The log: whether each entry says what it must, and names what is there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from mouldwright.domain.consistency.finding import Where, fault, steps, unknown
from mouldwright.domain.errors import Fault, nearest
from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember, LoggedTask
from mouldwright.domain.shop import Shop

# Of what a sender calls an entry.
LONGEST_NAME = 200
_MADE = (Happening.SCRAPPED, Happening.SECOND, Happening.REWORKED)
_HANDS = (Happening.STARTED, Happening.FINISHED, Happening.STOPPED)
_SHELF = (Happening.STOCK_COUNTED, Happening.RECEIVED)
_MOULDS = (Happening.MOULD_LOST, Happening.MOULD_RETIRED)
# What each happening cannot do without, with what to write.
_NEEDED: dict[Happening, tuple[str, ...]] = {
    **dict.fromkeys(_HANDS, ("task",)),
    **dict.fromkeys(_MOULDS, ("mould",)),
    **dict.fromkeys(_SHELF, ("material", "amount")),
    Happening.PERSON_AWAY: ("people", "until"),
    Happening.DELIVERY_LATE: ("material", "until"),
    Happening.WEIGHED: ("mass_g",),
    Happening.RETURNED: ("members",),
    Happening.TAKEN_BACK: ("takes_back",),
}
_MEANT = {
    "task": "the operation, and the pulls or parts in it",
    "mould": "the name of the mould",
    "material": "the key of the material",
    "amount": "how much, in grams or metres",
    "people": "who it is, by key",
    "until": "until when",
    "members": "the order, and its pulls or parts",
    "mass_g": "what each of them weighs, or what stayed behind in the cup",
    "takes_back": "the number of the entry that was wrong",
}
# Which happenings each key says something of; a key that is not here goes with every one.
_SAID_OF: dict[str, tuple[Happening, ...]] = {
    "task": (*_HANDS, *_MADE),
    "members": (*_MADE, Happening.WEIGHED, Happening.RETURNED),
    "mould": _MOULDS,
    "material": (*_SHELF, Happening.DELIVERY_LATE, Happening.WEIGHED),
    "lot": (*_SHELF, Happening.DELIVERY_LATE),
    "amount": _SHELF,
    "best_before": (Happening.RECEIVED,),
    "paid": (Happening.RECEIVED,),
    "supplier": (Happening.RECEIVED, Happening.DELIVERY_LATE),
    "until": (Happening.PERSON_AWAY, Happening.DELIVERY_LATE),
    "used": (Happening.FINISHED,),
    "mass_g": (Happening.WEIGHED,),
    "hours_used": (Happening.RETURNED,),
    "takes_back": (Happening.TAKEN_BACK,),
}


def log_faults(shop: Shop) -> Iterator[Fault]:
    """Yield the faults of a shop's log.

    What an entry names may be gone since, as an order that was sent or a person who left: that
    is a warning and no fault.
    """
    said: dict[str, int] = {}
    told: set[tuple[str, str]] = set()
    for place, entry in enumerate(shop.log):
        at: Where = ("log", place)
        if entry.number != place + 1:
            yield fault(
                (*at, "number"),
                entry.number,
                "entries are numbered from 1 in the order they stand, without gaps.",
                f"Write {place + 1}, or leave it out.",
            )
        yield from shape_faults(at, entry)
        if entry.takes_back is not None and entry.takes_back > place:
            yield fault(
                (*at, "takes_back"),
                entry.takes_back,
                "an entry can only take back one before it.",
                f"Write a number from 1 to {place}." if place else "Write the other entry first.",
            )
        if entry.said_once and said.setdefault(entry.said_once, entry.number) != entry.number:
            yield fault(
                (*at, "said_once"),
                entry.said_once,
                f"entry {said[entry.said_once]} was called that.",
                "Keep one of the two.",
            )
        for gone in unknown_names(shop, at, entry):
            if (gone.problem, gone.value) not in told:  # once, however often it is named
                told.add((gone.problem, gone.value))
                yield replace(gone, remedy=f"It is kept as history. {gone.remedy}", is_warning=True)


def shape_faults(at: Where, entry: LogEntry) -> Iterator[Fault]:
    """Yield what an entry lacks, and what it says that says nothing; ``at`` is where it stands."""
    what = entry.what
    lacking = [key for key in _NEEDED.get(what, ()) if getattr(entry, key) in (None, ())]
    if what in _MADE and not entry.members and (entry.task is None or not entry.task.members):
        lacking.append("members")
    if what is Happening.WEIGHED and not entry.members and entry.material is None:
        yield fault(
            (*at, "members"),
            None,
            "it says nothing of what was weighed.",
            "Add the order and its parts, or as material the mix whose cup it was.",
        )
    if what is Happening.WEIGHED and entry.members and entry.material is not None:
        yield fault(
            (*at, "material"),
            entry.material,
            "parts are weighed, or what stayed behind in the cup of a mix: not both at once.",
            "Leave out the material, or the order and its parts.",
        )
    for key in lacking:
        yield fault((*at, key), None, f'an entry "{what}" must say it.', f"Add {_MEANT[key]}.")
    for key, of in _SAID_OF.items():
        if what not in of and getattr(entry, key) not in (None, ()):
            where = " or ".join(f'"{kind}"' for kind in of)
            yield fault(
                (*at, key),
                None,
                f'it says nothing in an entry "{what}".',
                f"Leave it out; it goes with {where}.",
            )
    if entry.until is not None and entry.until <= entry.at:
        yield fault(
            (*at, "until"),
            entry.until.isoformat(),
            f"that is no later than {entry.at.isoformat()}, when it began.",
            "Write a later time.",
        )
    if len(entry.said_once) > LONGEST_NAME:
        yield fault(
            (*at, "said_once"),
            f"{entry.said_once[:20]}...",
            f"that is longer than {LONGEST_NAME} letters.",
            "Give it a shorter name.",
        )
    for place, member in enumerate(entry.members):
        if not member.pulls and not member.parts:
            yield fault(
                (*at, "members", place),
                None,
                f"it names no pull and no part of order {member.order}.",
                "Add pulls or parts, by number.",
            )


def _members(entry: LogEntry) -> Iterator[tuple[Where, tuple[LoggedMember, ...]]]:
    yield ("members",), entry.members
    if entry.task is not None:
        yield ("task", "members"), entry.task.members


def unknown_names(shop: Shop, at: Where, entry: LogEntry) -> Iterator[Fault]:
    """Yield a fault for every name in an entry that the shop has not; ``at`` is where it stands."""
    orders = [order.number for order in shop.orders]
    for where, members in _members(entry):
        for place, member in enumerate(members):
            if member.order not in orders:
                yield unknown((*at, *where, place, "order"), member.order, "order", orders)
    for person in entry.people:
        if person not in shop.people:
            yield unknown((*at, "people"), person, "person", shop.people)
    if entry.mould is not None:
        yield from _mould(shop, (*at, "mould"), entry.mould)
    for key, name, kind, known in (
        ("material", entry.material, "material", shop.materials),
        ("supplier", entry.supplier, "supplier", shop.suppliers),
    ):
        if name is not None and name not in known:
            yield unknown((*at, key), name, kind, known)
    mixed = shop.materials.get(entry.material or "")
    if entry.what is Happening.WEIGHED and mixed is not None and mixed.mix is None:
        mixes = [each.key for each in shop.materials.values() if each.mix is not None]
        yield fault(
            (*at, "material"),
            entry.material,
            "that is not mixed: nothing of it stays in a cup.",
            f"Name a mix: {', '.join(mixes)}." if mixes else "Leave it out.",
        )
    for place, used in enumerate(entry.used):
        if used.material not in shop.materials:
            path: Where = (*at, "used", place, "material")
            yield unknown(path, used.material, "material", shop.materials)
    if entry.task is not None:
        yield from _task(shop, (*at, "task"), entry.task)


def _task(shop: Shop, at: Where, task: LoggedTask) -> Iterator[Fault]:
    of_set = shop.sets.get(task.process)
    process = shop.processes.get(task.process)
    if process is None and of_set is None:
        known = (*shop.processes, *shop.sets)
        yield unknown((*at, "process"), task.process, "process or set", known)
    else:
        written = of_set.operations if of_set else ()
        names = {
            o.name for o in (written if process is None else (*process.operations, *steps(process)))
        }
        if task.operation not in names:
            yield unknown((*at, "operation"), task.operation, "operation", names)
    if task.part not in shop.parts and task.part not in shop.sets:
        known = (*shop.parts, *shop.sets)
        yield unknown((*at, "part"), task.part, "part or set", known)
    if task.mould is not None:
        yield from _mould(shop, (*at, "mould"), task.mould)
    for unit in task.stations:
        key = unit.rpartition(" ")[0] or unit
        if key not in shop.stations:
            yield unknown((*at, "stations"), unit, "station", shop.stations)


def _mould(shop: Shop, at: Where, name: str) -> Iterator[Fault]:
    """Yield the fault of a mould that is neither listed nor one that was made since."""
    key, _, number = name.rpartition(" ")
    family = shop.moulds.get(key)
    listed = [f.name(m) for f in shop.moulds.values() for m in f.moulds]
    made = family is not None and (family.made_by or family.cost is not None) and number.isdigit()
    if name not in listed and not made:
        yield fault(at, name, "there is no mould of that name.", nearest(name, listed))
