"""What can never be planned, found before any search and said with what would help."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import comb

from mouldwright.domain.errors import HardLimit, MouldwrightError
from mouldwright.domain.hours.clock import intersect, longest
from mouldwright.domain.hours.opening import Window
from mouldwright.domain.order import Order
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.shop import Shop
from mouldwright.domain.warmth import MILLION
from mouldwright.planning.alone import dispatch_alone
from mouldwright.planning.compiling import build_problem
from mouldwright.planning.construct import HorizonTooShort, Stuck, Unplaceable
from mouldwright.planning.impossible import Impossible
from mouldwright.planning.nearest import Nearest
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import (
    BATCH,
    MICROGRAMS,
    NEVER,
    PART,
    Routing,
    Step,
    duration_min,
    least_min,
)

# Above so many teams the longest opening is taken from those with the most hours.
MOST_TEAMS = 200


def refuse_impossible(
    problem: Problem, *, thorough: bool = True, orders: Sequence[Order] | None = None
) -> None:
    """Raise HardLimit with every reason why no plan can exist.

    Args:
        problem: The problem.
        thorough: Whether to look for the nearest changes that would make it possible.
        orders: Those it was compiled from; None for all of the shop's.

    Raises:
        HardLimit: if some work can never be done, whatever the search.
    """
    reasons = impossible_in(problem)
    if not reasons:
        return
    if not thorough:
        raise HardLimit(dict.fromkeys(reason.told(()) for reason in reasons))

    def changed(shop: Shop) -> tuple[Impossible, ...]:
        try:
            return impossible_in(
                build_problem(
                    shop,
                    now=problem.now,
                    orders=orders,
                    running=problem.running,
                    horizon=problem.horizon,
                )
            )
        except MouldwrightError:
            return tuple(reasons)

    nearest = Nearest(problem=problem, reasons=reasons, recheck=changed)
    raise HardLimit(dict.fromkeys(nearest.told()))


def impossible_in(problem: Problem) -> tuple[Impossible, ...]:
    """Return everything that can never be done, whatever the search; empty where all can."""
    reasons: list[Impossible] = []
    seen: set[tuple[int, str]] = set()
    for lot in problem.lots:
        if (lot.routing, lot.part) in seen:
            continue
        seen.add((lot.routing, lot.part))
        reasons += _reasons(problem, lot)
    reasons += _mould_reasons(problem)
    if not reasons:
        reasons += _reasons_alone(problem)
    return tuple(reasons)


def _reasons(problem: Problem, lot: Lot) -> Iterator[Impossible]:
    """Yield what can be seen from one lot's steps one by one."""
    routing = problem.routings[lot.routing]
    steps = list(routing.steps)
    if routing.conditioning is not None and lot.tools:
        steps.append(routing.conditioning)
    for step in steps:
        work = _least_minutes(step, lot, conditioning=step is routing.conditioning)
        yield from _people_reasons(problem, routing, lot, step, work)
        yield from _station_reasons(problem, routing, step, lot, work)
        if step.age_min > step.wait_max and step.preds == (step.age_of,):
            yield Impossible(
                kind="age", process=routing.key, part=lot.part, operation=step.name,
                said=f"{routing.key}: {step.name} may start at most {step.wait_max} min after "
                f"{routing.steps[step.age_of].name}, and its parts must be {step.age_min} min old "
                "by then",
                otherwise=f"a greatest wait of {step.age_min} min", needed=step.age_min,
            )  # fmt: skip
        if step.wait_max < step.wait_min:
            yield Impossible(
                kind="wait", process=routing.key, part=lot.part, operation=step.name,
                said=f"{routing.key}: {step.name} may start at most {step.wait_max} min and at "
                f"least {step.wait_min} min after what it follows",
                otherwise=f"a greatest wait of {step.wait_min} min", needed=step.wait_min,
            )  # fmt: skip
    for step in routing.steps:
        yield from _mix_reasons(problem, routing, step, lot)


def _least_minutes(step: Step, lot: Lot, *, conditioning: bool) -> int:
    if conditioning:
        return duration_min(step.operation, 0)
    if step.level == BATCH:
        return least_min(step, lot.cavities)
    return lot.durations[step.index]


def _people_reasons(
    problem: Problem, routing: Routing, lot: Lot, step: Step, work: int
) -> Iterator[Impossible]:
    if step.crew < 0:
        return
    crew = problem.crews[step.crew]
    skill = step.operation.skill
    able = f"with the skill {skill}" if skill else "at all"
    if len(crew) < step.people:
        yield Impossible(
            kind="people", process=routing.key, part=lot.part, operation=step.name,
            said=f"{routing.key}: {step.name} needs {step.people} people {able} at once and the "
            f"shop has {len(crew)}",
            otherwise=f"{step.people - len(crew)} more", needed=step.people - len(crew),
        )  # fmt: skip
        return
    around = problem.ground.overhead_min(step.session)
    most = _longest_together(problem, crew, step.people) - around
    if step.interruptible and most > 0:
        return
    if work > most or most == 0:
        who = f"{step.people} people {able}" if step.people > 1 else f"anyone {able}"
        dressing = f", with {around} min to gear up and clean down" if around else ""
        yield Impossible(
            kind="hands", process=routing.key, part=lot.part, operation=step.name,
            said=f"{routing.key}: {step.name} takes {work} min without a pause{dressing}, and the "
            f"longest opening of {who} is {most + around} min",
            otherwise=f"an opening of {work + around} min, letting it pause, or splitting it"
            if most > 0
            else f"an opening of {work + around} min",
            besides="splitting it" if most > 0 else "",
            needed=work + around,
        )  # fmt: skip


def _longest_together(
    problem: Problem, crew: Sequence[int], count: int, opening: Sequence[Window] | None = None
) -> int:
    """Return the longest opening that so many of a crew share, in minutes.

    Args:
        problem: Whose windows they keep.
        crew: Those who can.
        count: How many are needed at once.
        opening: When they can work at all; None for whenever they are in.
    """

    def within(windows: Sequence[Window]) -> Sequence[Window]:
        return windows if opening is None else intersect(windows, opening)

    if count == 1:
        return max(longest(within(problem.windows[p])) for p in crew)
    people = list(crew)
    if comb(len(people), count) > MOST_TEAMS:
        people = sorted(people, key=lambda p: -longest(problem.windows[p]))[: count + 3]
    best = 0
    for team in combinations(people, count):
        shared: Sequence[Window] = problem.windows[team[0]]
        for person in team[1:]:
            shared = intersect(shared, problem.windows[person])
        best = max(best, longest(within(shared)))
    return best


def _station_reasons(
    problem: Problem, routing: Routing, step: Step, lot: Lot, work: int
) -> Iterator[Impossible]:
    for index in step.hours_of:
        if step.crew >= 0 and len(problem.crews[step.crew]) >= step.people:
            yield from _shared_reasons(problem, routing, lot, step, index, work)
        most = longest(problem.places[index].windows or ())
        if work > most:
            yield Impossible(
                kind="station hours", process=routing.key, part=lot.part, operation=step.name,
                said=f"{routing.key}: {step.name} takes {work} min and "
                f"{problem.places[index].key} is open for at most {most} min",
                otherwise=f"hours of {work} min", needed=work, station=problem.places[index].key,
            )  # fmt: skip
    for index in {step.station, *(routing.keeps[k].station for k in step.starts_holds)} - {-1}:
        place = problem.places[index]
        parts = 1 if step.level == PART else lot.cavities
        if not place.units:
            yield Impossible(
                kind="station", process=routing.key, part=lot.part, operation=step.name,
                said=f"{routing.key}: {step.name} needs {place.key}, of which there is none",
                otherwise="one", needed=1, station=place.key,
            )  # fmt: skip
        elif place.room and parts > place.room:
            yield Impossible(
                kind="room", process=routing.key, part=lot.part, operation=step.name,
                said=f"{routing.key}: {step.name} brings {parts} parts at once and {place.key} "
                f"has room for {place.room}",
                otherwise=f"room for {parts}", needed=parts, station=place.key,
            )  # fmt: skip


def _shared_reasons(
    problem: Problem, routing: Routing, lot: Lot, step: Step, index: int, work: int
) -> Iterator[Impossible]:
    """Yield where a station is never open long enough while someone who can is there."""
    opening = problem.places[index].windows or ()
    most = _longest_together(problem, problem.crews[step.crew], step.people, opening)
    if most < (1 if step.interruptible else work):
        skill = step.operation.skill
        who = "someone" if step.people == 1 else f"{step.people} people"
        who = f"{who} with the skill {skill}" if skill else who
        there = "is" if step.people == 1 else "are"
        yield Impossible(
            kind="shared hours", process=routing.key, part=lot.part, operation=step.name,
            said=f"{routing.key}: {step.name} takes {work} min at {problem.places[index].key}, "
            f"which is open for at most {most} min at a time while {who} {there} there",
            otherwise=f"{work} min in common", needed=work, station=problem.places[index].key,
        )  # fmt: skip


def _mix_reasons(problem: Problem, routing: Routing, step: Step, lot: Lot) -> Iterator[Impossible]:
    if step.chain >= 0:
        limits = routing.limits[step.chain]
        need = max(lot.matrix_ug.get(s.index, 0) for s in routing.steps if s.chain == step.chain)
        first = next(s for s in routing.steps if s.chain == step.chain)
        unit = "pull" if routing.has_pulls else "part"
        if step.index == first.index and need > limits.mixed_ug:
            yield Impossible(
                kind="mix", process=routing.key, part=lot.part, operation=step.name,
                said=f"{routing.key}: one {unit} of {lot.part} takes {_grams(need)} g and at most "
                f"{_grams(limits.mixed_ug)} g may be mixed at once, losses taken off",
                otherwise="a staged pour or another resin",
                besides="a staged pour", needed=need,
            )  # fmt: skip
        if step.index == first.index and lot.cavities > limits.parts:
            yield Impossible(
                kind="batch", process=routing.key, part=lot.part, operation=step.name,
                said=f"{routing.key}: one {unit} of {lot.part} is {lot.cavities} parts and "
                f"{first.name} takes {limits.parts} together",
                otherwise=f"a limit of {lot.cavities}", needed=lot.cavities,
            )  # fmt: skip
        load = lot.loads_ug[step.chain]
        if step.index == first.index and load > limits.mass_ug:
            yield Impossible(
                kind="load", process=routing.key, part=lot.part, operation=step.name,
                said=f"{routing.key}: one {unit} of {lot.part} loads {_grams(load)} g and "
                f"{first.name} takes {_grams(limits.mass_ug)} g together",
                otherwise="that much", needed=load,
            )  # fmt: skip
    if step.pot_until >= 0:
        work = _path_min(routing, lot, step.index, step.pot_until)
        # However cool it gets: a mix that only the cool season allows waits for it.
        longest = step.pot_life_min * MILLION // step.slowest
        if work > longest:
            material = step.operation.material
            yield Impossible(
                kind="pot life", process=routing.key, part=lot.part, operation=step.name,
                said=f"{routing.key}: from {step.name} to the end of "
                f"{routing.steps[step.pot_until].name} takes at least {work} min and "
                f"{material} must be used within {longest} min"
                f"{' at the coolest the shop is' if step.pot >= 0 else ''}",
                otherwise="a cooler shop, a slower hardener or shorter work",
                besides="a cooler shop or shorter work",
                needed=-(-work * step.slowest // MILLION),
            )  # fmt: skip


def _path_min(routing: Routing, lot: Lot, start: int, end: int) -> int:
    """Return the least minutes from the end of one step to the end of a later one."""
    reach = {start: 0}
    for step in routing.steps[start + 1 : end + 1]:
        before = [reach[p] for p in step.preds if p in reach]
        if before:
            work = _least_minutes(step, lot, conditioning=False)
            reach[step.index] = max(before) + step.wait_min + work
    return reach.get(end, 0)


def _grams(micrograms: int) -> str:
    return f"{micrograms / MICROGRAMS:.1f}"


def _mould_reasons(problem: Problem) -> Iterator[Impossible]:
    """Yield where moulds are missing, or do not last."""
    pulls: dict[tuple[int, tuple[int, ...]], int] = {}
    for lot in problem.lots:
        routing = problem.routings[lot.routing]
        if not routing.uses_mould:
            continue
        if not lot.tools:
            too_cool = [f for f in problem.shop.moulds.values() if _would_serve(f, routing, lot)]
            if too_cool:
                most = max(f.greatest_c or 0 for f in too_cool)
                yield Impossible(
                    kind="heat", process=routing.key, part=lot.part, operation="",
                    said=f"{routing.key}: it heats the moulds of {lot.part} and they stand "
                    f"{most:f} °C",
                    otherwise="a cooler recipe, taking the part out before, or moulds that stand "
                    "it",
                    besides="taking the part out before",
                )  # fmt: skip
                continue
            yield Impossible(
                kind="mould", process=routing.key, part=lot.part, operation="",
                said=f"{routing.key}: there is no mould for {lot.part} and no process to make one",
                otherwise="a mould", needed=1,
            )  # fmt: skip
            continue
        key = (lot.routing, lot.tools)
        pulls[key] = pulls.get(key, 0) + lot.units
    for (routing_index, tools), wanted in pulls.items():
        proofs = 0 if _are_proofs(problem, routing_index) else 1
        left = sum(
            max(problem.tools[t].life_left - proofs * problem.tools[t].proof, 0) for t in tools
        )
        if wanted <= left:
            continue
        family = problem.families[problem.tools[tools[0]].family]
        # The first pulls of a new mould prove it and make nothing.
        life = (family.life_pulls or 0) - proofs * family.proof_pulls
        more = -(-(wanted - left) // life) if life else 1
        many = f"{more} more mould{'s' if more > 1 else ''}"
        yield Impossible(
            kind="life", process=problem.routings[routing_index].key, part=family.part,
            operation="",
            said=f"{problem.routings[routing_index].key}: {family.key} has {left} pulls left and "
            f"{wanted} are wanted",
            otherwise=f"{many}, or a process that makes them,", needed=more,
        )  # fmt: skip


def _are_proofs(problem: Problem, routing_index: int) -> bool:
    """Return whether a routing is that of pulls that prove moulds."""
    return any(lot.routing == routing_index and lot.proves >= 0 for lot in problem.lots)


def _would_serve(family: MouldFamily, routing: Routing, lot: Lot) -> bool:
    """Return whether only heat keeps moulds from serving."""
    return (family.part, family.process) == (lot.part, routing.key) and (
        family.greatest_c is not None and bool(family.moulds or family.made_by)
    )


def _reasons_alone(problem: Problem) -> Iterator[Impossible]:
    """Yield what cannot be done even with the whole shop to itself."""
    seen: set[tuple[int, str]] = set()
    for lot in problem.lots:
        if (lot.routing, lot.part) in seen:
            continue
        seen.add((lot.routing, lot.part))
        routing = problem.routings[lot.routing]
        try:
            dispatch_alone(problem, lot, 1)
        except Unplaceable as found:
            first, last = found.block.steps[0].name, found.block.steps[-1].name
            limits = [
                f"{s.name} at most {s.wait_max} min after what it follows"
                for s in found.block.steps
                if s.wait_max < NEVER
            ]
            yield Impossible(
                kind="alone", process=routing.key, part=lot.part, operation=first,
                said=f"{routing.key}: no hours allow "
                + (first if first == last else f"{first} to {last} in one go")
                + (f" ({', '.join(limits)})" if limits else ""),
                otherwise="a longer greatest wait, a longer pot life or longer hours",
                steps=tuple(s.name for s in found.block.steps),
            )  # fmt: skip
        except (HorizonTooShort, Stuck):
            yield Impossible(
                kind="alone", process=routing.key, part=lot.part, operation="",
                said=f"{routing.key}: one unit of {lot.part} alone never gets done: the people, "
                "stations and moulds it needs are never free together",
                otherwise="more hours in common",
            )  # fmt: skip
