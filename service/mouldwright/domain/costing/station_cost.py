"""What stations cost: their nominal hours, each unit counted once for all it holds at once.

A station held from one operation to a later one is charged from the start of the first
to the end of the last, least waits included; else for the operation that uses it. A
printer plate of three counts once. Where a station has room for several parts that
enter singly, it is charged by whole loads.
"""

from __future__ import annotations

from fractions import Fraction

from mouldwright.domain.costing.lines import LineRule, merged
from mouldwright.domain.costing.occurrence import Routing, level, minutes_lost_in, scaled, single
from mouldwright.domain.process.process import Hold
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Shop, Station


def station_rules(shop: Shop, routing: Routing) -> list[LineRule]:
    """Return a line rule for every station the process uses, free ones included."""
    process = routing.process
    used = dict.fromkeys(
        [hold.resource for hold in process.holds if hold.resource != "mould"]
        + [operation.station for operation in process.operations if operation.station]
    )
    rules = []
    for key in used:
        station = shop.stations.get(key)
        if station is None:
            continue  # a scenario that names no such station is refused when it is read
        takes = []
        holds = [hold for hold in process.holds if hold.resource == key]
        covered: set[int] = set()
        for hold in holds:
            takes.append(_held_minutes(routing, hold, station))
            covered.update(range(process.index(hold.first), process.index(hold.last) + 1))
        takes += [
            _own_minutes(routing, place, station)
            for place, operation in enumerate(process.operations)
            if operation.station == key and place not in covered
        ]
        rules.append(
            LineRule(
                kind="station",
                text=station.title,
                unit="h",
                rate=exact(station.cost_per_hour),
                takes=scaled(merged(takes), Fraction(1, 60)),
                moves_with=f"the hourly cost of {station.title}",
            )
        )
        rules += [
            LineRule(
                kind="station",
                text=f"{station.title}, lost to {operation.name} that failed",
                unit="h",
                rate=exact(station.cost_per_hour),
                takes={minutes_lost_in(place): Fraction(1, 60)},
                moves_with=f"the hourly cost of {station.title}",
            )
            for place, operation in enumerate(process.operations)
            if operation.failures_per_hour and (place in covered or operation.station == key)
        ]
    return rules


def loads(room: int) -> str:
    """Return the name of the count of whole loads of a station with that room."""
    return f"loads of {room}"


def _own_minutes(routing: Routing, place: int, station: Station) -> dict[str, Fraction]:
    operation = routing.process.operations[place]
    if station.room and operation.per in ("pull", "part"):
        return {loads(station.room): single(routing, [place])}
    return routing.minutes(place)


def _held_minutes(routing: Routing, hold: Hold, station: Station) -> dict[str, Fraction]:
    process = routing.process
    first, last = process.index(hold.first), process.index(hold.last)
    places = range(first, last + 1)
    head = process.operations[first]
    waits = sum(
        (
            process.operations[place].wait_min * exact(process.operations[place].applies_to_share)
            for place in places[1:]
        ),
        Fraction(0),
    )
    if station.room and head.per in ("pull", "part"):
        return {loads(station.room): single(routing, places) + waits}
    takes = [{routing.times(first): waits}]
    for place in places:
        if level(process.operations[place]) >= level(head):
            takes.append(routing.minutes(place))
        else:
            takes.append(_coarser(routing, first, place))
    return merged(takes)


def _coarser(routing: Routing, first: int, place: int) -> dict[str, Fraction]:
    """Return what every single hold spends in an operation done on several of them together.

    With b members in a batch each of the b units is held for the whole batch operation,
    so the time by member grows with b squared.
    """
    operation = routing.process.operations[place]
    held = routing.times(first)
    share = exact(operation.applies_to_share)
    fixed, each = exact(operation.fixed_min) * share, exact(operation.each_min)
    if operation.per == "order":
        return {held: fixed, f"{held} x starts": each}
    if operation.per == "pull":
        return {held: fixed + each * share * routing.parts_each}
    # Parts are held singly in a process with pulls: a member holds as many units as it has parts.
    units = routing.parts_each if routing.process.operations[first].per == "part" else 1
    squares = f"squares {routing.run(place)}"
    return merged([{held: fixed}, {squares: each * routing.parts_each * units}])


def load_counts(shop: Shop, counts: dict[str, Fraction]) -> None:
    """Add the counts that only stations ask for: whole loads, and products of two counts."""
    starts = counts["starts"]
    for station in shop.stations.values():
        if station.room:
            counts[loads(station.room)] = Fraction(-(-starts // station.room))
    counts["pulls x starts"] = counts["pulls"] * starts
    counts["starts x starts"] = starts * starts
