"""Mixing operations: what they mix, and whether the mix can be used while it is workable."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from mouldwright.domain.consistency.finding import (
    Where,
    fault,
    least_members,
    routings,
    step,
    unknown,
    warning,
)
from mouldwright.domain.errors import Fault
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop
from mouldwright.domain.warmth import Warmth


def pot_life_faults(shop: Shop) -> Iterator[Fault]:
    """Yield the faults of mixing operations and of the mixes they make."""
    for where, operations in routings(shop):
        for place, operation in enumerate(operations):
            at = step(where, operation)
            yield from _material(shop, at, operation)
            yield from _until(shop, where, at, operations, place)


def _material(shop: Shop, at: Where, operation: Operation) -> Iterator[Fault]:
    name = operation.material
    if name is None:
        if operation.pot_life_until is not None:
            yield fault(
                (*at, "pot_life_until"),
                operation.pot_life_until,
                "only an operation that mixes a material has a pot life.",
                "Add material = the key of what it mixes, or leave this out.",
            )
        return
    if name not in shop.materials:
        yield unknown((*at, "material"), name, "material", shop.materials)
    elif shop.materials[name].mix is None:
        mixed = [key for key, material in shop.materials.items() if material.mix]
        yield fault(
            (*at, "material"),
            name,
            "this material is not mixed from anything.",
            f"Give materials.{name} a mix"
            + (f", or name one that has: {', '.join(mixed)}." if mixed else "."),
        )
    elif operation.pot_life_until is None:
        yield warning(
            (*at, "pot_life_until"),
            None,
            "the mix has a pot life and nothing says by when it is used, so nothing watches it.",
            "Add pot_life_until = the operation that uses it up.",
        )


def _until(
    shop: Shop, where: Where, at: Where, operations: tuple[Operation, ...], place: int
) -> Iterator[Fault]:
    mixing = operations[place]
    until = mixing.pot_life_until
    if until is None or mixing.material is None:
        return
    names = [operation.name for operation in operations]
    if until not in names:
        yield unknown((*at, "pot_life_until"), until, "operation", names)
        return
    if names.index(until) <= place:
        later = names[place + 1 :]
        yield fault(
            (*at, "pot_life_until"),
            until,
            f"the mix is used after it is mixed, and {until} is not after {mixing.name}.",
            f"Name one of: {', '.join(later)}." if later else "Add the operation that uses it.",
        )
        return
    material = shop.materials.get(mixing.material)
    if material is None or material.mix is None:
        return
    needed = _least_minutes(shop, where, operations, place, names.index(until))
    if needed is None:
        return
    lives = _lives(shop, material.mix.pot_life_min, material.warmth)
    if needed > max(life for life, _ in lives):
        longest = max(life for life, _ in lives)
        yield fault(
            (*at, "pot_life_until"),
            until,
            f"no mix can be used in time: {material.title} can be worked for "
            f"{longest} min, and the work up to the end of {until} takes at "
            f"least {needed} min.",
            "Work cooler, take a slower hardener, or make the operations shorter.",
        )
        return
    for life, warm in lives:
        if needed > life:
            yield warning(
                (*at, "pot_life_until"),
                until,
                f"at {warm:f} °C {material.title} can be worked for {life} min, and the work up to "
                f"the end of {until} takes at least {needed} min: none is mixed while it is so.",
                "Cool the shop, or take a slower hardener.",
            )


def _lives(shop: Shop, pot_life_min: int, sheet: Warmth | None) -> list[tuple[int, Decimal]]:
    """Return the whole minutes of a pot life at each temperature of the shop, coolest first."""
    if sheet is None or shop.temperatures is None:
        return [(pot_life_min, Decimal(0))]
    seasons = shop.temperatures.seasons
    warms = sorted({warm for s in seasons for warm in (s.day_c, s.night_c)})
    return [(sheet.pot_life_at(pot_life_min, warm), warm) for warm in warms]


def _least_minutes(
    shop: Shop, where: Where, operations: tuple[Operation, ...], first: int, last: int
) -> int | None:
    """Return the fewest minutes from the end of one operation to the end of a later one.

    Returns:
        The longest path between them at the fewest members, or None where none leads there.
    """
    names = [operation.name for operation in operations]
    ends: dict[int, int] = {first: 0}
    for place in range(first + 1, last + 1):
        operation = operations[place]
        before = [names.index(n) for n in operation.after if n in names] or [place - 1]
        reached = [ends[p] for p in before if p in ends]
        if reached:
            minutes = operation.duration_min(least_members(shop, where, operation))
            ends[place] = max(reached) + operation.wait_min + minutes
    return ends.get(last)
