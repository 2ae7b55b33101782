"""How many members of a mix can be worked before it sets."""

from __future__ import annotations

from fractions import Fraction

from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Person, Shop

# Beyond this many members pot life is taken not to matter: nobody works so many from one cup.
_MOST_ASKED = 10_000


def pot_life_members(
    shop: Shop,
    process: Process,
    mixing: int,
    *,
    pot_life_min: int,
    parts_each: int,
    most: int | None = None,
) -> int | None:
    """Return how many pulls (or parts) of one mix a crew can surely finish within pot life.

    The crew works in lanes: a lane is the people one member needs and, where it passes
    stations, one unit of each. Every lane takes its members one after another through all
    the work up to the end of ``pot_life_until``, so with m members the time is

        batch work + ceil(m / lanes) x (work on one member)

    Such a crew can really do that, so the count is never overstated; a crew that hands
    members on between stations may do better.

    Args:
        shop: People and stations.
        process: The routing.
        mixing: Place of the mixing operation.
        pot_life_min: Minutes from the end of mixing to the end of ``pot_life_until``.
        parts_each: Parts of one member: the cavities of a pull, else 1.
        most: What other limits allow; no more is looked for.

    Returns:
        The count, 0 where not even one member can be finished in time, None where no end
        is named.
    """
    operation = process.operations[mixing]
    if operation.pot_life_until is None:
        return None
    between = process.operations[mixing + 1 : process.index(operation.pot_life_until) + 1]
    lanes = _lanes(shop, process, mixing, between)
    high = min(most or _MOST_ASKED, _MOST_ASKED)
    low = 0
    while low < high:
        middle = (low + high + 1) // 2
        if _in_time(between, middle, lanes, parts_each, pot_life_min):
            low = middle
        else:
            high = middle - 1
    return low


def _in_time(
    between: tuple[Operation, ...], members: int, lanes: int, parts_each: int, pot_life_min: int
) -> bool:
    """Return whether the lanes finish in pot life and nobody waits longer than allowed."""
    rounds = -(-members // lanes)
    clock = spread = Fraction(0)
    place = 0
    while place < len(between):
        # One stretch: a batch operation, or a run of operations on single members.
        stretch = [between[place]]
        if between[place].per != "batch":
            while place + 1 < len(between) and between[place + 1].per != "batch":
                place += 1
                stretch.append(between[place])
        place += 1
        head = stretch[0]
        if head.per in ("batch", "order"):
            if head.wait_max_min is not None and spread + head.wait_min > head.wait_max_min:
                return False
            clock += head.wait_min + sum(_batch_min(o, members * parts_each) for o in stretch)
            spread = Fraction(0)
            continue
        one = sum((_member_min(o, parts_each) for o in stretch), Fraction(0))
        # The last lane's last member waits for all those before it.
        waits = (rounds - 1) * one + head.wait_min
        if head.wait_max_min is not None and waits > head.wait_max_min:
            return False
        clock += rounds * one
        # The first member then waits for the last where they come together again.
        spread = (rounds - 1) * one
    return clock <= pot_life_min


def _batch_min(operation: Operation, parts: int) -> Fraction:
    return exact(operation.fixed_min) + exact(operation.each_min) * parts


def _member_min(operation: Operation, parts_each: int) -> Fraction:
    """Return the minutes of one member, the least wait before the operation included."""
    if operation.per == "part":
        work = parts_each * (exact(operation.fixed_min) + exact(operation.each_min))
    else:
        work = exact(operation.fixed_min) + exact(operation.each_min) * parts_each
    return work + operation.wait_min


def _lanes(shop: Shop, process: Process, mixing: int, between: tuple[Operation, ...]) -> int:
    attended = [o for o in between if o.attended and o.per not in ("batch", "order")]
    limits = []
    if attended:
        hands = sum(1 for person in shop.people.values() if _can_all(person, attended))
        limits.append(hands // max(o.people for o in attended))
    limits.extend(
        shop.stations[o.station].count
        for o in between
        if o.station and o.station in shop.stations and o.per not in ("batch", "order")
    )
    last = mixing + len(between)
    for hold in process.holds:
        taken, given_back = process.index(hold.first), process.index(hold.last)
        if mixing < taken and given_back <= last and hold.resource in shop.stations:
            limits.append(shop.stations[hold.resource].count)
    # Where nobody knows every step, people hand members on: one lane still works.
    return max(min(limits, default=_MOST_ASKED), 1)


def _can_all(person: Person, operations: list[Operation]) -> bool:
    return all(o.skill is None or o.skill in person.skills for o in operations)
