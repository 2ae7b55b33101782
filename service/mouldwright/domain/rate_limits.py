"""What each resource lets through by itself: moulds, hands, stations.

Every figure is an upper bound in parts begun: a plan never does better, and may do worse
where the resources get in each other's way. (Where a batch may have more than eight sizes,
eight of them stand for all.)
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import combinations

from mouldwright.domain.costing.occurrence import Routing
from mouldwright.domain.hours.clock import intersect, open_minutes, union
from mouldwright.domain.hours.opening import Window
from mouldwright.domain.hours.week import (
    MINUTES_A_WEEK,
    at_least,
    longest_opening,
    week_of,
)
from mouldwright.domain.process.best_rounds import most_parts_a_week
from mouldwright.domain.process.cycle import (
    Calendar,
    Step,
    cycles_a_week,
    steps_of,
    weekly_calendar,
)
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.printing_risk import minutes_lost
from mouldwright.domain.process.process import Hold
from mouldwright.domain.quantity import exact, whole_up
from mouldwright.domain.shop import Person, Shop, Station

# So many batch sizes are tried, all where there are no more, for the best plates or loads.
_MOST_TRIED = 8

# Parts a week of one unit by resource, first operation and the batch sizes tried.
Known = dict[tuple[str, str, tuple[int, ...]], Fraction | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """The most parts that one resource passes; None where it does not bind.

    Attributes:
        an_hour: In an open hour at the bench.
        a_week: In a week that repeats.
    """

    name: str
    an_hour: Fraction | None
    a_week: Fraction | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One part and process at a shop with so many moulds.

    Attributes:
        known: What was already followed on the calendar, shared between scenes that
            differ in moulds alone.
    """

    shop: Shop
    routing: Routing
    family: MouldFamily | None
    moulds: int
    known: Known = field(default_factory=dict)

    @property
    def longest_shift(self) -> int:
        """Return the longest opening of anyone's week in minutes."""
        weeks = [week_of(self.shop.hours_of(p).weekly) for p in self.shop.people.values()]
        return max((longest_opening(week) for week in weeks), default=0)


def bounds(scene: Scene) -> tuple[Bound, ...]:
    """Return the bound of every resource the process uses, the least of each name."""
    by_name: dict[str, list[Bound]] = {}
    for bound in (*_moulds(scene), *_hands(scene), *_stations(scene)):
        by_name.setdefault(bound.name, []).append(bound)
    return tuple(
        Bound(
            name=name,
            an_hour=min((b.an_hour for b in found if b.an_hour is not None), default=None),
            a_week=min((b.a_week for b in found if b.a_week is not None), default=None),
        )
        for name, found in by_name.items()
    )


def _hands(scene: Scene) -> Iterator[Bound]:
    """Yield the bound of every set of skills.

    People have several skills, so each set K of those asked for bounds the rate:
    rate x minutes a part needs of K <= time of all who have any skill of K. Together
    these are exact (Hall's condition for carrying work to people).
    """
    work = _work_by_skill(scene)
    people = scene.shop.people.values()
    weeks = {person.key: week_of(scene.shop.hours_of(person).weekly) for person in people}
    skills = sorted(work, key=lambda skill: skill or "")
    for size in range(1, len(skills) + 1):
        for asked in combinations(skills, size):
            minutes = sum((work[skill] for skill in asked), Fraction(0))
            able = [weeks[person.key] for person in people if _any_of(person, asked)]
            yield Bound(
                name=_hands_name(asked),
                an_hour=60 * _most_at_once(able) / minutes,
                a_week=sum(open_minutes(week) for week in able) / minutes,
            )


def _any_of(person: Person, skills: Iterable[str | None]) -> bool:
    return any(skill is None or skill in person.skills for skill in skills)


def _hands_name(skills: Sequence[str | None]) -> str:
    named = [skill for skill in skills if skill is not None]
    return "hands" if len(named) < len(skills) else f"hands with {' or '.join(named)}"


def _most_at_once(weeks: Sequence[Sequence[Window]]) -> int:
    return max((n for n in range(1, len(weeks) + 1) if at_least(weeks, n)), default=0)


def _work_by_skill(scene: Scene) -> dict[str | None, Fraction]:
    """Return the person-minutes one part begun takes of each skill, conditioning's share too."""
    routing = scene.routing
    work: dict[str | None, Fraction] = {}
    for place, operation in enumerate(routing.process.operations):
        if operation.attended:
            minutes = _minutes_a_part(routing, place) * operation.people
            work[operation.skill] = work.get(operation.skill, Fraction(0)) + minutes
    upkeep = routing.process.conditioning
    if upkeep is not None and upkeep.attended and scene.family is not None:
        minutes = upkeep.people * _minutes(upkeep) * _conditionings_a_pull(scene.family)
        share = minutes / routing.parts_each
        work[upkeep.skill] = work.get(upkeep.skill, Fraction(0)) + share
    return {skill: minutes for skill, minutes in work.items() if minutes}


def _minutes(operation: Operation) -> Fraction:
    return exact(operation.fixed_min) + exact(operation.each_min)


def _minutes_a_part(routing: Routing, place: int) -> Fraction:
    """Return an operation's minutes for one part, batches at their fullest.

    Work by order, and the fixed time of a batch that nothing limits, weigh nothing in
    the long run.
    """
    operation = routing.process.operations[place]
    times = Fraction(0)
    if operation.per == "batch":
        most = routing.batchings[routing.run(place)].most
        times = Fraction(0) if most is None else Fraction(1, most * routing.parts_each)
    elif operation.per == "pull":
        times = Fraction(1, routing.parts_each)
    elif operation.per == "part":
        times = Fraction(1)
    minutes = exact(operation.each_min) + exact(operation.fixed_min) * times
    return minutes * exact(operation.applies_to_share)


def _conditionings_a_pull(family: MouldFamily) -> Fraction:
    if family.coats_every:
        return Fraction(1, family.coats_every)
    if family.coats or not family.conditioned_every_pulls:
        return Fraction(0)
    return Fraction(1, family.conditioned_every_pulls)


def _moulds(scene: Scene) -> Iterator[Bound]:
    for hold in scene.routing.process.holds:
        if hold.resource == "mould":
            yield _held(scene, hold, name="moulds", units=scene.moulds, station=None)


def _stations(scene: Scene) -> Iterator[Bound]:
    process = scene.routing.process
    for key, station in scene.shop.stations.items():
        covered: set[int] = set()
        for hold in process.holds:
            if hold.resource == key:
                covered.update(range(process.index(hold.first), process.index(hold.last) + 1))
                yield _held(scene, hold, name=key, units=station.count, station=station)
        own = [
            place
            for place, operation in enumerate(process.operations)
            if operation.station == key and place not in covered
        ]
        attended = [place for place in own if process.operations[place].attended]
        if attended:
            yield _worked(scene, attended, station)
        for place in own:
            operation = process.operations[place]
            if not operation.attended and operation.per != "order":
                # Queued parts may enter by night: the operation alone goes round and round.
                hold = Hold(resource=key, first=operation.name, last=operation.name)
                yield _held(scene, hold, name=key, units=station.count, station=station)


def _worked(scene: Scene, places: Sequence[int], station: Station) -> Bound:
    """Return the bound of a station that is busy only while someone works at it."""
    routing = scene.routing
    minutes = sum((_minutes_a_part(routing, place) for place in places), Fraction(0))
    if not minutes:
        return Bound(name=station.key, an_hour=None, a_week=None)
    skills = [routing.process.operations[place].skill for place in places]
    people = [p for p in scene.shop.people.values() if _any_of(p, skills)]
    week = union(w for p in people for w in week_of(scene.shop.hours_of(p).weekly))
    if station.weekly is not None:
        week = intersect(week, week_of(station.weekly))
    units = station.count * (station.room or 1)
    return Bound(
        name=station.key,
        an_hour=60 * units / minutes if week else Fraction(0),
        a_week=units * open_minutes(week) / minutes,
    )


def _held(scene: Scene, hold: Hold, *, name: str, units: int, station: Station | None) -> Bound:
    """Return the bound of units that are taken at one operation and given back at a later one.

    A batch holds one unit, and sizes are mixed as is best: a plate that ends in the evening
    and a larger one that fills the night.
    """
    routing = scene.routing
    process = routing.process
    first, last = process.index(hold.first), process.index(hold.last)
    share = exact(process.operations[first].applies_to_share)
    # What only some parts go through takes none of the time that every part takes.
    operations = tuple(
        o for o in process.operations[first : last + 1] if exact(o.applies_to_share) >= share
    )
    if operations[0].per == "order":
        return Bound(name=name, an_hour=None, a_week=None)
    hourly: list[Fraction] = []
    tried: list[tuple[int, tuple[Operation, ...], int]] = []
    for size in _sizes(routing, first):
        parts = {"batch": size * routing.parts_each, "pull": routing.parts_each}.get(
            operations[0].per, 1
        )
        # In a station with room each part takes a place of its own.
        parts = 1 if station is not None and station.room else parts
        tried.append((parts, operations, size))
        cycle = _cycle_minutes(scene, operations, size, upkeep=station is None)
        if cycle and cycle <= scene.longest_shift:
            hourly.append(parts * 60 / cycle)
    places = units * (station.room or 1) if station is not None else units
    key = (hold.resource, hold.first, tuple(size for _, _, size in tried))
    if key not in scene.known:
        scene.known[key] = _sustained(scene, tried, upkeep=station is None)
    rounds = scene.known[key]
    through = places * _share_kept(routing, operations, tried[-1][2] if tried else 1)
    return Bound(
        name=name,
        # A size that runs on past the opening is not counted at the bench, so none binds there.
        an_hour=max(hourly) * through / share if hourly and len(hourly) == len(tried) else None,
        a_week=None if rounds is None else rounds * through / share,
    )


def _share_kept(routing: Routing, operations: Sequence[Operation], size: int) -> Fraction:
    """Return the share of a hold's time, batches at their fullest, that no failure takes."""
    kept = Fraction(sum(operation.wait_min for operation in operations[1:]))
    lost = Fraction(0)
    for operation in operations:
        members = _members(routing, operation, size)
        minutes = exact(operation.fixed_min) + exact(operation.each_min) * members
        kept += minutes
        lost += minutes_lost(operation.failures_per_hour, minutes)
    return kept / (kept + lost) if lost else Fraction(1)


def _sizes(routing: Routing, first: int) -> list[int]:
    """Return the batch sizes worth trying for a hold that starts at that operation."""
    if routing.process.operations[first].per != "batch":
        return [1]
    most = routing.batchings[routing.run(first)].most
    if most is None:
        return []  # a batch without limit takes any number at once
    return sorted({1 + (most - 1) * step // (_MOST_TRIED - 1) for step in range(_MOST_TRIED)})


def _members(routing: Routing, operation: Operation, size: int) -> int:
    if operation.per == "batch":
        return size * routing.parts_each
    return routing.parts_each if operation.per == "pull" else 1


def _cycle_minutes(
    scene: Scene, operations: Sequence[Operation], size: int, *, upkeep: bool
) -> Fraction:
    """Return a hold's nominal length, least waits and the mould's share of upkeep included."""
    total = Fraction(sum(operation.wait_min for operation in operations[1:]))
    for operation in operations:
        members = _members(scene.routing, operation, size)
        total += exact(operation.fixed_min) + exact(operation.each_min) * members
    conditioning = scene.routing.process.conditioning
    if upkeep and conditioning is not None and scene.family is not None:
        total += _minutes(conditioning) * _conditionings_a_pull(scene.family)
    return total


def _sustained(
    scene: Scene, tried: Sequence[tuple[int, tuple[Operation, ...], int]], *, upkeep: bool
) -> Fraction | None:
    """Return the parts a week of one unit that goes round for ever."""
    by_steps = {
        steps: parts
        for parts, operations, size in tried
        for steps in [_steps(scene, operations, size, upkeep=upkeep)]
    }  # of sizes that take the same time only the largest, which comes last, is kept
    family, conditioning = scene.family, scene.routing.process.conditioning
    share = _conditionings_a_pull(family) if upkeep and family is not None else Fraction(0)
    if not share or conditioning is None or len(by_steps) != 1:
        return most_parts_a_week([(parts, steps) for steps, parts in by_steps.items()])
    ((plain, parts),) = by_steps.items()
    first = steps_of(
        scene.shop, scene.routing.process, [conditioning], _calendar(scene, 0), members={}
    )
    rounds = cycles_a_week([_after(first, plain), *([plain] * (share.denominator - 1))])
    return None if rounds is None else rounds * parts


def _steps(
    scene: Scene, operations: Sequence[Operation], size: int, *, upkeep: bool
) -> tuple[Step, ...]:
    minutes = whole_up(_cycle_minutes(scene, operations, size, upkeep=False))
    calendar = _calendar(scene, minutes)
    members = {o.name: _members(scene.routing, o, size) for o in operations}
    steps = steps_of(scene.shop, scene.routing.process, operations, calendar, members=members)
    return (*_entry(scene, operations[0], calendar), *steps) if upkeep else steps


def _calendar(scene: Scene, minutes: int) -> Calendar:
    return weekly_calendar(scene.shop, 3 + 2 * (minutes // MINUTES_A_WEEK + 1))


def _entry(scene: Scene, first: Operation, calendar: Calendar) -> tuple[Step, ...]:
    """Return a step of no length in the hours of whoever fills the mould.

    A mould taken by a cure is taken as the work before it ends, so someone is in.
    """
    process = scene.routing.process
    place = process.index(first.name)
    if first.attended or place == 0 or not process.operations[place - 1].attended:
        return ()
    before = process.operations[place - 1]
    filled = steps_of(scene.shop, process, [before], calendar, members={})
    return (replace(filled[0], minutes=0, interruptible=False, wait_max_min=None),)


def _after(upkeep: Sequence[Step], plain: Sequence[Step]) -> tuple[Step, ...]:
    """Return a cycle with the mould's upkeep before it."""
    count = len(upkeep)
    moved = (step.after_upkeep(places=count, first=i == 0) for i, step in enumerate(plain))
    return (*upkeep, *moved)
