"""Shops changed in one thing: one mould more, an hour more a day, a day more, a shorter cure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.hours.opening import DayTimes
from mouldwright.domain.part.mass import charge as charge_of
from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Person, Shop
from mouldwright.domain.shown import lasting
from mouldwright.planning.gains import ChangeKind

HOUR_MIN = 60
DAY_MIN = 1440
# A cure is not asked to be shorter than this share of what it is.
LEAST_CURE_SHARE = Fraction(3, 4)
# A cure is cut to whole steps of this.
CURE_STEP_MIN = 30
WEEKDAYS = (
    "Mondays", "Tuesdays", "Wednesdays", "Thursdays", "Fridays", "Saturdays", "Sundays",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A shop changed in one thing.

    Attributes:
        shop: The changed shop.
        cost: What it costs once, whatever the plan; None where that is not known.
        by_hours: Whether it costs the hours worked in what was closed before.
    """

    key: str
    kind: ChangeKind
    title: str
    shop: Shop
    note: str = ""
    cost: Fraction | None = None
    cost_words: str = ""
    by_hours: bool = False


def changes_of(shop: Shop) -> tuple[Change, ...]:
    """Return every change that could bear on a shop's open orders."""
    return (*_moulds(shop), *_hours(shop), *_days(shop), *_stations(shop), *_cures(shop))


def families_in_use(shop: Shop) -> tuple[MouldFamily, ...]:
    """Return the mould families that the open orders are pulled from."""
    made = {(part, process) for part, process in _made(shop)}
    return tuple(f for f in shop.moulds.values() if (f.part, f.process) in made)


def _made(shop: Shop) -> Iterator[tuple[str, str]]:
    for order in shop.orders:
        if order.part in shop.sets:
            yield from ((piece.part, piece.process) for piece in shop.sets[order.part].parts)
        elif order.process is not None:
            yield order.part, order.process


def _processes(shop: Shop) -> tuple[Process, ...]:
    keys = dict.fromkeys(process for _, process in _made(shop))
    return tuple(shop.processes[key] for key in keys if key in shop.processes)


# Moulds.


def with_moulds(shop: Shop, family: MouldFamily, count: int) -> Shop:
    """Return the shop with so many usable moulds of a family: the freshest kept, new ones added.

    New ones are made in the plan where the shop makes its own, else they are at hand.
    """
    usable = sorted(
        (m for m in family.moulds if family.pulls_left(m) != 0),
        key=lambda m: (-(family.pulls_left(m) or 0), m.pulls),
    )
    kept = set(usable[:count])
    moulds = tuple(m for m in family.moulds if m in kept)
    more = max(count - len(usable), 0)
    if family.made_by is None:
        numbers = [int(m.number) for m in family.moulds if m.number.isdigit()]
        last = max([*numbers, len(family.moulds)])
        moulds += tuple(Mould(number=str(last + n)) for n in range(1, more + 1))
        more = 0
    changed = replace(family, moulds=moulds, to_make=more)
    return replace(shop, moulds={**shop.moulds, family.key: changed})


def mould_cost(shop: Shop, family: MouldFamily) -> Fraction | None:
    """Return what one more mould of a family costs; None where that is not known."""
    if family.cost is not None:
        return exact(family.cost)
    part, process = shop.parts.get(family.part), shop.processes.get(family.process)
    if part is None or process is None:
        return None
    try:
        return cost_model(shop, part, process, charge=charge_of(shop, part, process)).tooling.cost
    except MouldwrightError:
        return None


def usable_moulds(family: MouldFamily) -> int:
    """Return how many of a family's moulds still take pulls."""
    return sum(1 for mould in family.moulds if family.pulls_left(mould) != 0)


def mould_change(shop: Shop, family: MouldFamily) -> Change:
    """Return the shop with one more mould of a family."""
    return Change(
        key=f"mould {family.key}",
        kind="mould",
        title=f"one more mould {family.key}",
        shop=with_moulds(shop, family, usable_moulds(family) + 1),
        note="made here first, by the same people and machines"
        if family.made_by is not None
        else "counted as at hand from now on: add what it takes to come",
        cost=mould_cost(shop, family),
        cost_words="the mould",
    )


def _moulds(shop: Shop) -> Iterator[Change]:
    for family in families_in_use(shop):
        yield mould_change(shop, family)


# Hours.


def longer(weekly: tuple[DayTimes, ...], minutes: int) -> tuple[DayTimes, ...]:
    """Return a week each of whose open days closes so many minutes later."""
    return tuple(
        (*day[:-1], (day[-1][0], min(day[-1][1] + minutes, 2 * DAY_MIN))) if day else ()
        for day in (tuple(sorted(day)) for day in weekly)
    )


def _hours(shop: Shop) -> Iterator[Change]:
    by_shop = [person for person in shop.people.values() if person.weekly is None]
    alone = [person for person in shop.people.values() if person.weekly is not None]
    if shop.hours.one_off:
        # Openings of one day bind those who keep the shop's hours; they go together then.
        if by_shop:
            hours = replace(shop.hours, weekly=longer(shop.hours.weekly, HOUR_MIN))
            yield _worked(
                "hour shop", "hour", "an hour more a day for all who keep the shop's hours",
                replace(shop, hours=hours),
            )  # fmt: skip
    else:
        alone = [*by_shop, *alone]
    for person in sorted(alone, key=lambda p: list(shop.people).index(p.key)):
        weekly = longer(person.weekly or shop.hours.weekly, HOUR_MIN)
        yield _worked(
            f"hour {person.key}", "hour", f"an hour more a day of {person.title}",
            _with_week(shop, person, weekly),
        )  # fmt: skip
    skills = sorted({skill for person in shop.people.values() for skill in person.skills})
    for skill in skills:
        able = [p for p in shop.people.values() if skill in p.skills]
        if 1 < len(able) < len(shop.people) and not shop.hours.one_off:
            changed = shop
            for person in able:
                weekly = longer(person.weekly or shop.hours.weekly, HOUR_MIN)
                changed = _with_week(changed, person, weekly)
            yield _worked(
                f"hour skill {skill}", "hour",
                f"an hour more a day of all {len(able)} who can do {skill}", changed,
            )  # fmt: skip


def _days(shop: Shop) -> Iterator[Change]:
    """Yield the first day of the week's end that is closed, opened as the shortest open day is."""
    for person in shop.people.values():
        if person.weekly is not None and (change := _day_of(shop, person)) is not None:
            yield change
    if all(person.weekly is not None for person in shop.people.values()):
        return
    day = _first_closed(shop.hours.weekly)
    if day is not None:
        weekly = _with_day(shop.hours.weekly, day)
        yield _worked(
            f"day {day}", "day", f"opening on {WEEKDAYS[day]}",
            replace(shop, hours=replace(shop.hours, weekly=weekly)),
        )  # fmt: skip


def _day_of(shop: Shop, person: Person) -> Change | None:
    weekly = person.weekly or ()
    day = _first_closed(weekly)
    if day is None or not any(weekly):
        return None
    return _worked(
        f"day {day} {person.key}", "day", f"{person.title} in on {WEEKDAYS[day]}",
        _with_week(shop, person, _with_day(weekly, day)),
    )  # fmt: skip


def _first_closed(weekly: tuple[DayTimes, ...]) -> int | None:
    """Return Saturday, else Sunday, where it is closed; else None."""
    return next((day for day in (5, 6) if not weekly[day]), None)


def _with_day(weekly: tuple[DayTimes, ...], day: int) -> tuple[DayTimes, ...]:
    times = min((d for d in weekly if d), key=lambda d: sum(b - a for a, b in d))
    return tuple(times if place == day else each for place, each in enumerate(weekly))


def _with_week(shop: Shop, person: Person, weekly: tuple[DayTimes, ...]) -> Shop:
    return replace(shop, people={**shop.people, person.key: replace(person, weekly=weekly)})


def _worked(key: str, kind: ChangeKind, title: str, shop: Shop) -> Change:
    return Change(
        key=key,
        kind=kind,
        title=title,
        shop=shop,
        cost_words="the hours worked in it, at what an hour costs, overhead with it",
        by_hours=True,
    )


# Stations.


def _stations(shop: Shop) -> Iterator[Change]:
    used: dict[str, None] = {}
    for process in _processes(shop):
        for operation in process.operations:
            if operation.station is not None:
                used[operation.station] = None
        used.update({h.resource: None for h in process.holds if h.resource != "mould"})
    for key in used:
        station = shop.stations[key]
        changed = replace(station, count=station.count + 1)
        yield Change(
            key=f"station {key}",
            kind="station",
            title=f"one more of {station.title}",
            shop=replace(shop, stations={**shop.stations, key: changed}),
            cost_words="its price is not in the shop's file",
        )


# Cures.


@dataclass(frozen=True, slots=True, kw_only=True)
class CureTrap:
    """A cure that with the work on the mould is a little more than whole days.

    The mould is then ready later every day by what is worked on it, until it falls off the
    end of a day and stands for a night.

    Attributes:
        cure_min: What the cure takes.
        hands_min: What is worked on the mould around it, each pull.
        target_min: A cure with which the round is whole days again.
    """

    operation: Operation
    cure_min: int
    hands_min: int
    target_min: int


def cure_trap(process: Process, cavities: int) -> CureTrap | None:
    """Return the trap a process is in; None where it is in none.

    The longest unattended step under the mould's hold counts as the cure.
    """
    hold = next((h for h in process.holds if h.resource == "mould"), None)
    if hold is None:
        return None
    inside = process.operations[process.index(hold.first) : process.index(hold.last) + 1]
    cures = [o for o in inside if not o.attended and o.per == "pull"]
    if not cures:
        return None
    cure = max(cures, key=lambda o: o.duration_min(cavities))
    cure_min = cure.duration_min(cavities)
    hands_min = sum(o.duration_min(cavities) for o in inside if o.attended)
    days = -(-cure_min // DAY_MIN)
    target = (days * DAY_MIN - hands_min) // CURE_STEP_MIN * CURE_STEP_MIN
    if cure_min + hands_min <= days * DAY_MIN or target < LEAST_CURE_SHARE * cure_min:
        return None
    return CureTrap(operation=cure, cure_min=cure_min, hands_min=hands_min, target_min=target)


def _cures(shop: Shop) -> Iterator[Change]:
    for family in families_in_use(shop):
        process = shop.processes[family.process]
        trap = cure_trap(process, family.cavities)
        if trap is None:
            continue
        each = trap.operation.each_min * family.cavities
        if each > trap.target_min:
            continue
        shorter = replace(trap.operation, fixed_min=Decimal(trap.target_min) - each)
        operations = tuple(shorter if o is trap.operation else o for o in process.operations)
        changed = replace(process, operations=operations)
        yield Change(
            key=f"cure {process.key}",
            kind="cure",
            title=f"{trap.operation.name} of {process.title} in {lasting(trap.target_min)} "
            f"in place of {lasting(trap.cure_min)}",
            shop=replace(shop, processes={**shop.processes, process.key: changed}),
            note=f"with {trap.hands_min} min of work a pull the mould is ready later every day and "
            "falls off the end of one; how warm for how long must come from the resin sheet",
            cost_words="warmth alone, not counted here",
        )
