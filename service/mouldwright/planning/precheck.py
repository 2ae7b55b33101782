"""What can never be planned, found before any search and said with what would help."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import comb

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.clock import intersect, longest
from mouldwright.domain.hours.opening import Window
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.warmth import MILLION
from mouldwright.planning.alone import dispatch_alone
from mouldwright.planning.construct import HorizonTooShort, Stuck, Unplaceable
from mouldwright.planning.nearest import nearest_changes
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import (
    BATCH,
    MICROGRAMS,
    NEVER,
    PART,
    Block,
    Routing,
    Step,
    duration_min,
    least_min,
)

# Above so many teams the longest opening is taken from those with the most hours.
MOST_TEAMS = 200


def refuse_impossible(problem: Problem, *, thorough: bool = True) -> None:
    """Raise HardLimit with every reason why no plan can exist.

    Args:
        problem: The problem.
        thorough: Whether to look for the nearest changes that would make it possible.

    Raises:
        HardLimit: if some work can never be done, whatever the search.
    """
    reasons: list[str] = []
    seen: set[tuple[int, str]] = set()
    for lot in problem.lots:
        if (lot.routing, lot.part) in seen:
            continue
        seen.add((lot.routing, lot.part))
        reasons += _reasons(problem, lot)
    reasons += _mould_reasons(problem)
    if not reasons:
        reasons += _reasons_alone(problem, thorough=thorough)
    if reasons:
        raise HardLimit(dict.fromkeys(reasons))


def _reasons(problem: Problem, lot: Lot) -> Iterator[str]:
    """Yield what can be seen from one lot's steps one by one."""
    routing = problem.routings[lot.routing]
    steps = list(routing.steps)
    if routing.conditioning is not None and lot.tools:
        steps.append(routing.conditioning)
    for step in steps:
        work = _least_minutes(step, lot, conditioning=step is routing.conditioning)
        yield from _people_reasons(problem, routing, step, work)
        yield from _station_reasons(problem, routing, step, lot, work)
        if step.age_min > step.wait_max and step.preds == (step.age_of,):
            yield (
                f"{routing.key}: {step.name} may start at most {step.wait_max} min after "
                f"{routing.steps[step.age_of].name}, and its parts must be {step.age_min} min old "
                f"by then; a greatest wait of {step.age_min} min would do."
            )
        if step.wait_max < step.wait_min:
            yield (
                f"{routing.key}: {step.name} may start at most {step.wait_max} min and at "
                f"least {step.wait_min} min after what it follows; a greatest wait of "
                f"{step.wait_min} min would do."
            )
    for step in routing.steps:
        yield from _mix_reasons(problem, routing, step, lot)


def _least_minutes(step: Step, lot: Lot, *, conditioning: bool) -> int:
    if conditioning:
        return duration_min(step.operation, 0)
    if step.level == BATCH:
        return least_min(step, lot.cavities)
    return lot.durations[step.index]


def _people_reasons(problem: Problem, routing: Routing, step: Step, work: int) -> Iterator[str]:
    if step.crew < 0:
        return
    crew = problem.crews[step.crew]
    skill = step.operation.skill
    able = f"with the skill {skill}" if skill else "at all"
    if len(crew) < step.people:
        yield (
            f"{routing.key}: {step.name} needs {step.people} people {able} at once and the shop "
            f"has {len(crew)}; {step.people - len(crew)} more would do."
        )
        return
    most = _longest_together(problem, crew, step.people) - problem.ground.overhead_min(step.session)
    if step.interruptible and most > 0:
        return
    if work > most or most == 0:
        who = f"{step.people} people {able}" if step.people > 1 else f"anyone {able}"
        yield (
            f"{routing.key}: {step.name} takes {work} min without a pause, and the longest "
            f"opening of {who} is {most} min; an opening of {work} min would do, or make it "
            "interruptible, or split it."
        )


def _longest_together(problem: Problem, crew: Sequence[int], count: int) -> int:
    """Return the longest opening that so many of a crew share, in minutes."""
    if count == 1:
        return max(longest(problem.windows[p]) for p in crew)
    people = list(crew)
    if comb(len(people), count) > MOST_TEAMS:
        people = sorted(people, key=lambda p: -longest(problem.windows[p]))[: count + 3]
    best = 0
    for team in combinations(people, count):
        shared: Sequence[Window] = problem.windows[team[0]]
        for person in team[1:]:
            shared = intersect(shared, problem.windows[person])
        best = max(best, longest(shared))
    return best


def _station_reasons(
    problem: Problem, routing: Routing, step: Step, lot: Lot, work: int
) -> Iterator[str]:
    for index in step.hours_of:
        if step.crew >= 0 and step.people == 1:
            yield from _shared_reasons(problem, routing, step, index, work)
        most = longest(problem.places[index].windows or ())
        if work > most:
            yield (
                f"{routing.key}: {step.name} takes {work} min and {problem.places[index].key} is "
                f"open for at most {most} min; hours of {work} min would do."
            )
    for index in {step.station, *(routing.keeps[k].station for k in step.starts_holds)} - {-1}:
        place = problem.places[index]
        parts = 1 if step.level == PART else lot.cavities
        if not place.units:
            yield (
                f"{routing.key}: {step.name} needs {place.key}, of which there is none; "
                "one would do."
            )
        elif place.room and parts > place.room:
            yield (
                f"{routing.key}: {step.name} brings {parts} parts at once and {place.key} has "
                f"room for {place.room}; room for {parts} would do."
            )


def _shared_reasons(
    problem: Problem, routing: Routing, step: Step, index: int, work: int
) -> Iterator[str]:
    """Yield where a station is never open long enough while someone who can is there."""
    opening = problem.places[index].windows or ()
    most = max(
        (longest(intersect(problem.windows[p], opening)) for p in problem.crews[step.crew]),
        default=0,
    )
    if most < (1 if step.interruptible else work):
        skill = step.operation.skill
        who = f"someone with the skill {skill}" if skill else "someone"
        yield (
            f"{routing.key}: {step.name} takes {work} min at {problem.places[index].key}, which is "
            f"open for at most {most} min at a time while {who} is there; {work} min in common "
            "would do."
        )


def _mix_reasons(problem: Problem, routing: Routing, step: Step, lot: Lot) -> Iterator[str]:
    if step.chain >= 0:
        limits = routing.limits[step.chain]
        need = max(lot.matrix_ug.get(s.index, 0) for s in routing.steps if s.chain == step.chain)
        first = next(s for s in routing.steps if s.chain == step.chain)
        unit = "pull" if routing.has_pulls else "part"
        if step.index == first.index and need > limits.mixed_ug:
            yield (
                f"{routing.key}: one {unit} of {lot.part} takes {_grams(need)} g and at most "
                f"{_grams(limits.mixed_ug)} g may be mixed at once, losses taken off; a staged "
                "pour or another resin would do."
            )
        if step.index == first.index and lot.cavities > limits.parts:
            yield (
                f"{routing.key}: one {unit} of {lot.part} is {lot.cavities} parts and {first.name} "
                f"takes {limits.parts} together; a limit of {lot.cavities} would do."
            )
        load = lot.loads_ug[step.chain]
        if step.index == first.index and load > limits.mass_ug:
            yield (
                f"{routing.key}: one {unit} of {lot.part} loads {_grams(load)} g and "
                f"{first.name} takes {_grams(limits.mass_ug)} g together; that much would do."
            )
    if step.pot_until >= 0:
        work = _path_min(routing, lot, step.index, step.pot_until)
        # However cool it gets: a mix that only the cool season allows waits for it.
        longest = step.pot_life_min * MILLION // step.slowest
        if work > longest:
            material = step.operation.material
            yield (
                f"{routing.key}: from {step.name} to the end of "
                f"{routing.steps[step.pot_until].name} takes at least {work} min and "
                f"{material} must be used within {longest} min"
                f"{' at the coolest the shop is' if step.pot >= 0 else ''}; a cooler shop, a "
                "slower hardener or shorter work would do."
            )


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


def _mould_reasons(problem: Problem) -> Iterator[str]:
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
                yield (
                    f"{routing.key}: it heats the moulds of {lot.part} and they stand {most:f} °C; "
                    "a cooler recipe, taking the part out before, or moulds that stand it would do."
                )
                continue
            yield (
                f"{routing.key}: there is no mould for {lot.part} and no process to make one; "
                "a mould would do."
            )
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
        life = family.life_pulls or 0
        more = -(-(wanted - left) // life) if life else 1
        yield (
            f"{problem.routings[routing_index].key}: {family.key} has {left} pulls left and "
            f"{wanted} are wanted; {more} more mould{'s' if more > 1 else ''} would do, or a "
            "process that makes them."
        )


def _are_proofs(problem: Problem, routing_index: int) -> bool:
    """Return whether a routing is that of pulls that prove moulds."""
    return any(lot.routing == routing_index and lot.proves >= 0 for lot in problem.lots)


def _change(problem: Problem, lot: Lot, block: Block, *, thorough: bool) -> str:
    """Return what would let a block be placed: the least of each limit, where one alone would."""
    near = nearest_changes(problem, lot, block) if thorough else []
    if not near:
        return "a longer greatest wait, a longer pot life or longer hours"
    return ", ".join(near) + " or longer hours"


def _would_serve(family: MouldFamily, routing: Routing, lot: Lot) -> bool:
    """Return whether only heat keeps moulds from serving."""
    return (family.part, family.process) == (lot.part, routing.key) and (
        family.greatest_c is not None and bool(family.moulds or family.made_by)
    )


def _reasons_alone(problem: Problem, *, thorough: bool) -> Iterator[str]:
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
            yield (
                f"{routing.key}: no hours allow "
                + (first if first == last else f"{first} to {last} in one go")
                + (f" ({', '.join(limits)})" if limits else "")
                + f"; {_change(problem, lot, found.block, thorough=thorough)} would do."
            )
        except (HorizonTooShort, Stuck):
            yield (
                f"{routing.key}: one unit of {lot.part} alone never gets done: the people, "
                "stations and moulds it needs are never free together; more hours in common "
                "would do."
            )
