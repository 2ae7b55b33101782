"""Shops changed in one thing by the least that one impossibility asks for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal
from typing import Any

from mouldwright.domain.hours.opening import MINUTES_A_DAY, DayTimes
from mouldwright.domain.process.heat import Heat
from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Person, Shop, Station
from mouldwright.domain.shown import listed
from mouldwright.planning.impossible import Impossible
from mouldwright.planning.more.changes import WEEKDAYS, usable_moulds, with_moulds
from mouldwright.planning.routing import MICROGRAMS

Weekly = tuple[DayTimes, ...]
# When a day opens that nobody has hours on (common practice, no source).
USUAL_OPENING_MIN = 8 * 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """A shop changed in one thing, and in which, in words."""

    title: str
    shop: Shop


def remedies(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    """Yield the changes that may do, the least of each; none of them is proven yet."""
    made = _BY_KIND.get(reason.kind)
    if made is not None:
        yield from made(shop, reason)


def with_operation(
    shop: Shop, process: str, name: str, title: str, **changed: Any
) -> Iterator[Remedy]:
    """Yield the shop with one operation changed, of a process or of a set by that key."""

    def one_changed(operations: Sequence[Operation]) -> tuple[Operation, ...]:
        return tuple(replace(each, **changed) if each.name == name else each for each in operations)

    by, sold = shop.processes.get(process), shop.sets.get(process)
    if by is not None and _named(by.operations, name) is not None:
        other = replace(by, operations=one_changed(by.operations))
        yield Remedy(title=title, shop=replace(shop, processes={**shop.processes, process: other}))
    elif sold is not None and _named(sold.operations, name) is not None:
        kit = replace(sold, operations=one_changed(sold.operations))
        yield Remedy(title=title, shop=replace(shop, sets={**shop.sets, process: kit}))


def with_pot_life(shop: Shop, material: str, minutes: int) -> Iterator[Remedy]:
    """Yield the shop with a slower hardener in one material."""
    yield from _with_mix(
        shop,
        material,
        f"a pot life of {minutes} min of {shop.material_title(material)} (a slower hardener)",
        pot_life_min=minutes,
    )


def _named(operations: Sequence[Operation], name: str) -> Operation | None:
    return next((each for each in operations if each.name == name), None)


def _operation(shop: Shop, reason: Impossible) -> Operation | None:
    by = shop.processes.get(reason.process)
    if by is None:
        sold = shop.sets.get(reason.process)
        return None if sold is None else _named(sold.operations, reason.operation)
    if by.conditioning is not None and by.conditioning.name == reason.operation:
        return by.conditioning
    return _named(by.operations, reason.operation)


# People.


def _people(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    operation = _operation(shop, reason)
    skill = None if operation is None else operation.skill
    learners = [p for p in shop.people.values() if skill is not None and skill not in p.skills]
    if skill is not None and len(learners) >= reason.needed:
        taught = {p.key: replace(p, skills=p.skills | {skill}) for p in learners[: reason.needed]}
        names = listed([person.title for person in taught.values()])
        yield Remedy(
            title=f"the skill {skill} learnt by {names}",
            shop=replace(shop, people={**shop.people, **taught}),
        )
    wage = max((p.wage_per_hour for p in shop.people.values()), default=Decimal(0))
    more = {
        f"one more {n}": Person(
            key=f"one more {n}",
            title=f"one more {n}",
            skills=frozenset() if skill is None else frozenset({skill}),
            wage_per_hour=wage,
        )
        for n in range(1, reason.needed + 1)
    }
    able = f" with the skill {skill}" if skill else ""
    yield Remedy(
        title=f"{reason.needed} more{able}", shop=replace(shop, people={**shop.people, **more})
    )


def _hands(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    operation = _operation(shop, reason)
    if operation is None:
        return
    able = sorted(
        shop.with_skill(operation.skill),
        key=lambda person: -_longest_of(person.weekly or shop.hours.weekly),
    )[: operation.people]
    if not able:
        return
    opened = with_opening(
        able[0].weekly or shop.hours.weekly, reason.needed, otherwise=_first_opening(shop)
    )
    if opened is not None:
        weekly, words = opened
        names = listed([person.title for person in able])
        people = {person.key: replace(person, weekly=weekly) for person in able}
        long_enough = _longest_of(able[0].weekly or shop.hours.weekly) >= reason.needed
        opening = "both" if len(able) == 2 else "all"
        yield Remedy(
            title=f"{names} {opening} in {words}"
            if long_enough
            else f"an opening of {reason.needed} min of {names}, {words}",
            shop=replace(shop, people={**shop.people, **people}),
        )
    # What is mixed goes off whether anyone is in or not.
    if operation.material is None and not operation.interruptible:
        yield from with_operation(
            shop, reason.process, reason.operation,
            "letting it pause while people are out, if the work allows it (interruptible),",
            interruptible=True,
        )  # fmt: skip


def _longest_of(weekly: Weekly) -> int:
    return max((closes - opens for day in weekly for opens, closes in day), default=0)


def _first_opening(shop: Shop) -> int:
    """Return the minute of the day at which anyone's day first opens."""
    weeks = (shop.hours.weekly, *(p.weekly for p in shop.people.values() if p.weekly is not None))
    opens = (opens for week in weeks for day in week for opens, _ in day)
    return min(opens, default=USUAL_OPENING_MIN)


def with_opening(
    weekly: Weekly, minutes: int, *, otherwise: int = USUAL_OPENING_MIN
) -> tuple[Weekly, str] | None:
    """Return a week with an opening at least so long, and when that is; None beyond a day.

    It opens as it did and closes later; what of the same day would lie within goes up in it.

    Args:
        weekly: The week as it is.
        minutes: How long the opening must be.
        otherwise: Minute of the day at which a week without any opening opens, on its first day.
    """
    days = [(closes - opens, -day, opens) for day in range(7) for opens, closes in weekly[day]]
    if not days:
        days = [(0, 0, otherwise)]
    lasts, minus_day, opens = max(days)
    day, closes = -minus_day, opens + max(minutes, lasts)
    if minutes > MINUTES_A_DAY:
        return None
    rest = tuple((a, b) for a, b in weekly[day] if a < opens or a >= closes)
    changed = tuple(
        tuple(sorted((*rest, (opens, closes)))) if place == day else each
        for place, each in enumerate(weekly)
    )
    return changed, f"{WEEKDAYS[day]} from {_clock(opens)} to {_clock(closes)}"


def _clock(minute: int) -> str:
    days, rest = divmod(minute, MINUTES_A_DAY)
    return f"{rest // 60:02d}:{rest % 60:02d}" + (" the next day" if days else "")


# Stations.


def _with_station(shop: Shop, station: Station) -> Shop:
    return replace(shop, stations={**shop.stations, station.key: station})


def _station(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    station = shop.stations[reason.station]
    yield Remedy(title=f"one {station.title}", shop=_with_station(shop, replace(station, count=1)))


def _room(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    station = shop.stations[reason.station]
    yield Remedy(
        title=f"room for {reason.needed} in {station.title}",
        shop=_with_station(shop, replace(station, room=reason.needed)),
    )
    yield from _fewer_cavities(shop, reason)


def _station_hours(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    station = shop.stations[reason.station]
    opened = None if station.weekly is None else with_opening(station.weekly, reason.needed)
    if opened is not None:
        weekly, words = opened
        yield Remedy(
            title=f"hours of {reason.needed} min of {station.title}, {words}",
            shop=_with_station(shop, replace(station, weekly=weekly)),
        )
    yield Remedy(
        title=f"{station.title} run at any hour",
        shop=_with_station(shop, replace(station, weekly=None)),
    )


def _shared_hours(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    station = shop.stations[reason.station]
    yield Remedy(
        title=f"{station.title} open whenever someone is in",
        shop=_with_station(shop, replace(station, weekly=None)),
    )


# Mixes, batches and loads.


def _with_mix(shop: Shop, key: str, title: str, **changed: Any) -> Iterator[Remedy]:
    material = shop.materials.get(key)
    if material is None or material.mix is None:
        return
    other = replace(material, mix=replace(material.mix, **changed))
    yield Remedy(title=title, shop=replace(shop, materials={**shop.materials, key: other}))


def _mix(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    yield from _fewer_cavities(shop, reason)
    by = shop.processes.get(reason.process)
    for key in dict.fromkeys(o.material for o in (by.operations if by else ()) if o.material):
        mix = shop.materials[key].mix
        if mix is None:
            continue
        most = _whole_grams(Decimal(reason.needed) / MICROGRAMS * (1 + mix.lost_share) + mix.lost_g)
        yield from _with_mix(
            shop, key,
            f"a resin whose sheet allows {most} g at once in place of {shop.material_title(key)}",
            most_mixed_g=most,
        )  # fmt: skip


def _batch(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    yield from with_operation(
        shop, reason.process, reason.operation,
        f"a limit of {reason.needed} parts together at {reason.operation}",
        batch_parts=reason.needed,
    )  # fmt: skip
    yield from _fewer_cavities(shop, reason)


def _load(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    operation = _operation(shop, reason)
    if operation is None or operation.batch_g is None:
        return
    grams = _whole_grams(Decimal(reason.needed) / MICROGRAMS)
    yield from with_operation(
        shop, reason.process, reason.operation,
        f"a load of {grams} g at {reason.operation}", batch_g=grams,
    )  # fmt: skip
    yield from _fewer_cavities(shop, reason)


def _fewer_cavities(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    """Yield moulds of fewer cavities, from the most to one."""
    for family in shop.families(reason.part, reason.process):
        for count in range(family.cavities - 1, 0, -1):
            many = f"{count} {'cavity' if count == 1 else 'cavities'} in place of {family.cavities}"
            yield Remedy(
                title=f"moulds {family.key} of {many}",
                shop=_with_family(shop, replace(family, cavities=count)),
            )


def _whole_grams(grams: Decimal) -> Decimal:
    """Return grams rounded up to a tenth."""
    return grams.quantize(Decimal("0.1"), rounding=ROUND_CEILING)


def _pot_life(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    operation = _operation(shop, reason)
    if operation is not None and operation.material is not None:
        yield from with_pot_life(shop, operation.material, reason.needed)


def _wait(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    yield from with_operation(
        shop, reason.process, reason.operation,
        f"a greatest wait of {reason.needed} min", wait_max_min=reason.needed,
    )  # fmt: skip


# Moulds.


def _with_family(shop: Shop, family: MouldFamily) -> Shop:
    return replace(shop, moulds={**shop.moulds, family.key: family})


def _heat(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    by = shop.processes.get(reason.process)
    if by is None or by.hottest_in_mould_c is None:
        return
    hottest = by.hottest_in_mould_c
    served = [
        family
        for family in shop.moulds.values()
        if (family.part, family.process) == (reason.part, reason.process)
    ]
    for family in served:
        yield Remedy(
            title=f"moulds {family.key} that stand {hottest.normalize():f} °C",
            shop=_with_family(shop, replace(family, greatest_c=hottest)),
        )
    most = max((family.greatest_c or Decimal(0) for family in served), default=Decimal(0))
    operations = tuple(
        _heated(o, replace(o.heat, hold_c=most))
        if o.heat is not None and o.heat.from_c < most < o.heat.hold_c
        else o
        for o in by.operations
    )
    cooler = replace(by, operations=operations)
    yield Remedy(
        title=f"a recipe of {most.normalize():f} °C at most, as long as the resin's sheet then "
        "asks for,",
        shop=replace(shop, processes={**shop.processes, by.key: cooler}),
    )


def _heated(operation: Operation, heat: Heat) -> Operation:
    return replace(operation, heat=heat, fixed_min=Decimal(heat.minutes))


def _mould(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    family = next(
        (f for f in shop.moulds.values() if (f.part, f.process) == (reason.part, reason.process)),
        MouldFamily(
            key=f"{reason.part}-{reason.process}",
            part=reason.part,
            process=reason.process,
            moulds=(),
        ),
    )
    more = replace(family, moulds=(*family.moulds, Mould(number=str(len(family.moulds) + 1))))
    yield Remedy(title="a mould", shop=_with_family(shop, more))


def _life(shop: Shop, reason: Impossible) -> Iterator[Remedy]:
    for family in shop.families(reason.part, reason.process):
        many = f"{reason.needed} more mould{'s' if reason.needed > 1 else ''} {family.key}"
        usable = usable_moulds(family)
        yield Remedy(title=many, shop=with_moulds(shop, family, usable + reason.needed))


_BY_KIND: dict[str, Callable[[Shop, Impossible], Iterator[Remedy]]] = {
    "people": _people,
    "hands": _hands,
    "station": _station,
    "room": _room,
    "station hours": _station_hours,
    "shared hours": _shared_hours,
    "age": _wait,
    "wait": _wait,
    "mix": _mix,
    "batch": _batch,
    "load": _load,
    "pot life": _pot_life,
    "heat": _heat,
    "mould": _mould,
    "life": _life,
}
