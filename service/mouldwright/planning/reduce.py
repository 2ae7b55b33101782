"""When a shop's problem is plain flow, and the way back from flow to named hands and moulds.

A problem is plain flow where nothing is lost by forgetting names: every attended step
takes any one of the same people in the same hours, steps follow each other one by one
without batches, waits or pauses, and moulds and stations are pools of equal copies.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Sequence
from heapq import heappop, heappush

from mouldwright.planning.attempt import Attempt, value_of
from mouldwright.planning.flow.instance import FlowHold, FlowInstance, FlowOrder, FlowStep, Starts
from mouldwright.planning.placed import Placed, Progress
from mouldwright.planning.policy import Policy
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import BATCH, NEVER, ORDER, PART, UNIT, Keep, Routing
from mouldwright.planning.shapes import ALL

# Hours are given to this many times what a first plan and the due dates need, and this more.
TIMES = 3
MORE_MIN = 60 * 1440


def as_flow(problem: Problem, finish_min: int) -> FlowInstance | None:
    """Return the problem as plain flow, or None where it is not quite that.

    The weights make the flow's value lexicographic: no finish outweighs a minute late.

    Args:
        problem: The problem.
        finish_min: Finish of a plan that is known; hours are given well past it.
    """
    crew = _one_crew(problem)
    if crew is None or problem.has_begun or not problem.lots:
        return None
    if not all(_is_flow(problem, lot) for lot in problem.lots):
        return None
    dues = [demand.due for demand in problem.demands if demand.due is not None]
    end = min(TIMES * max([finish_min, *dues]) + MORE_MIN, problem.horizon)
    windows = tuple(
        (opens, min(closes, end), persons)
        for (opens, closes), persons in _openings(problem, crew)
        if opens < end
    )
    pools: dict[str, int] = {}
    orders = []
    longest = 0
    for lot in problem.lots:
        routing, demand = problem.routings[lot.routing], problem.demands[lot.order]
        holds = []
        for pool, copies, first, last in _uses(problem, lot, routing):
            pools[pool] = copies
            holds.append(FlowHold(pool=pool, first=first, last=last))
        longest = max(longest, sum(lot.durations))
        orders.append(
            FlowOrder(
                id=demand.number,
                quantity=lot.units,
                release=lot.release,
                due=demand.due,
                weight=demand.weight,
                steps=tuple(
                    FlowStep(
                        name=step.name,
                        duration_min=lot.durations[step.index],
                        attended=step.crew >= 0,
                    )
                    for step in routing.steps
                ),
                holds=tuple(holds),
            )
        )
    try:
        return FlowInstance(
            origin=0,
            windows=windows,
            pools=pools,
            orders=tuple(orders),
            lateness_weight=end + longest + 1,
            finish_weight=1,
        )
    except ValueError:
        return None


def late_bound(instance: FlowInstance, bound: int) -> int:
    """Return what a bound on a flow's value says about weighted minutes late alone.

    No plan within the instance's hours ends later than a minute before its lateness
    weight, so what is left of the bound after taking that off is lateness.
    """
    weight = instance.lateness_weight
    return max(0, -(-(bound - (weight - 1)) // weight))


def _one_crew(problem: Problem) -> tuple[int, ...] | None:
    """Return the people who do everything, if they are the same for all.

    They may keep different hours as long as no opening of one overlaps another's in part:
    then an opening has so many people from its first minute to its last.
    """
    crews = {
        frozenset(problem.crews[step.crew])
        for lot in problem.lots
        for step in problem.routings[lot.routing].steps
        if step.crew >= 0
    }
    if len(crews) != 1:
        return None
    crew = tuple(sorted(crews.pop()))
    ends = [closes for (_, closes), _ in _openings(problem, crew)]
    starts = [opens for (opens, _), _ in _openings(problem, crew)]
    return crew if all(a <= b for a, b in zip(ends, starts[1:], strict=False)) else None


def _openings(problem: Problem, crew: Sequence[int]) -> list[tuple[tuple[int, int], int]]:
    """Return the crew's different openings in order, with how many people each has."""
    counted = Counter(window for person in crew for window in problem.windows[person])
    return sorted(counted.items())


def _is_flow(problem: Problem, lot: Lot) -> bool:
    """Return whether a lot goes through its steps one by one, each by one person or none."""
    routing = problem.routings[lot.routing]
    if lot.order < 0 or lot.after_lots or lot.skips or len(problem.demands[lot.order].lots) != 1:
        return False
    if any(
        problem.tools[t].built_by >= 0
        or problem.tools[t].proof
        or problem.tools[t].life_left < NEVER
        or (routing.conditioning is not None and _is_conditioned(problem, t))
        for t in lot.tools
    ):
        return False
    if any(keep.level in (BATCH, ORDER) for keep in routing.keeps):
        return False
    for step in routing.steps:
        plain = (
            step.level in (UNIT, PART)
            and (step.level == UNIT or lot.cavities == 1)
            and step.people <= 1
            and not step.interruptible
            and not step.hours_of
            and step.room is None
            and not step.session
            and step.cure < 0
            and step.wait_min == 0
            and step.age_min == 0
            and step.wait_max >= NEVER
            and step.pot_life_min >= NEVER
            and step.preds == ((step.index - 1,) if step.index else ())
        )
        starts_unattended = step.crew < 0 and (step.station >= 0 or step.starts_holds)
        if not plain or starts_unattended:
            return False
    if not routing.steps or routing.steps[0].crew < 0:
        return False
    if any(problem.places[station].room for station in _stations(routing)):
        return False
    # What takes no time takes nothing of a pool either, and counting then does not see it.
    return all(
        copies == 1 or any(lot.durations[first : last + 1])
        for _, copies, first, last in _uses(problem, lot, routing)
    )


def _is_conditioned(problem: Problem, tool: int) -> bool:
    family = problem.families[problem.tools[tool].family]
    return bool(problem.tools[tool].every < NEVER or family.coats or family.coats_every)


def _stations(routing: Routing) -> set[int]:
    used = {keep.station for keep in routing.keeps} | {step.station for step in routing.steps}
    return used - {-1}


def _uses(problem: Problem, lot: Lot, routing: Routing) -> list[tuple[str, int, int, int]]:
    """Return pool, copies, first and last step of everything a unit of a lot keeps."""
    found = []
    for keep in routing.keeps:
        pool, copies = _pool(problem, lot, keep)
        found.append((pool, copies, keep.first, keep.last))
    for step in routing.steps:
        if step.station >= 0:
            place = problem.places[step.station]
            found.append((f"station {step.station}", len(place.units), step.index, step.index))
    return found


def _pool(problem: Problem, lot: Lot, keep: Keep) -> tuple[str, int]:
    if keep.station >= 0:
        return f"station {keep.station}", len(problem.places[keep.station].units)
    return f"moulds {lot.tools[0] if lot.tools else -1}", len(lot.tools)


def from_flow(problem: Problem, starts: Starts) -> Attempt:
    """Return a flow's plan with named people, moulds and station units.

    Counted right, intervals can always be handed to single copies in the order of their
    starts.
    """
    progress = Progress(problem)
    placed: list[Placed] = []
    for lot, units in zip(problem.lots, starts, strict=True):
        routing = problem.routings[lot.routing]
        for unit, row in enumerate(units):
            for step, start in zip(routing.steps, row, strict=True):
                placed.append(
                    Placed(
                        step=step,
                        lot=lot.index,
                        items=((lot.index, unit, 0 if step.level == PART else ALL),),
                        start=start,
                        end=start + lot.durations[step.index],
                        people=(),
                        spans=None,
                    )
                )
    placed.sort(key=lambda task: (task.start, task.end, task.lot, task.items, task.step.index))
    _hand_to_people(problem, placed)
    _hand_out_copies(problem, starts, placed, progress)
    return Attempt(
        value=value_of(problem, placed),
        tasks=placed,
        progress=progress,
        policy=Policy(rank=(), batch_target=(), patience_min=(), gate=(), name="flow"),
    )


def _hand_to_people(problem: Problem, placed: Sequence[Placed]) -> None:
    """Give every attended task to whoever of the crew is free, those to ask first in front."""
    free_at: dict[int, int] = {}
    for task in placed:
        if task.step.crew >= 0:
            for person in problem.crews[task.step.crew]:
                here = _is_in(problem, person, task.start)
                if here and free_at.get(person, 0) <= task.start:
                    task.people = (person,)
                    free_at[person] = task.end
                    break


def _is_in(problem: Problem, person: int, minute: int) -> bool:
    windows = problem.windows[person]
    at = bisect_right(windows, (minute, NEVER)) - 1
    return at >= 0 and minute < windows[at][1]


def _hand_out_copies(
    problem: Problem, starts: Starts, placed: Sequence[Placed], progress: Progress
) -> None:
    """Give every hold and every stay at a station one copy of its pool."""
    unit_base = [0]
    for place in problem.places:
        unit_base.append(unit_base[-1] + len(place.units))
    stays: dict[str, list[tuple[int, int, int, int, int]]] = {}
    names: dict[str, Sequence[int]] = {}
    for lot in problem.lots:
        routing = problem.routings[lot.routing]
        uses: list[tuple[str, Sequence[int], int, int, int]] = []
        for keep in routing.keeps:
            pool, _ = _pool(problem, lot, keep)
            copies: Sequence[int] = lot.tools
            if keep.station >= 0:
                copies = range(unit_base[keep.station], unit_base[keep.station + 1])
            uses.append((pool, copies, keep.first, keep.last, keep.index))
        for step in routing.steps:
            if step.station >= 0:
                copies = range(unit_base[step.station], unit_base[step.station + 1])
                uses.append((f"station {step.station}", copies, step.index, step.index, -1))
        for pool, copies, first, last, keep_index in uses:
            names[pool] = copies
            for unit, row in enumerate(starts[lot.index]):
                end = row[last] + lot.durations[last]
                key = keep_index if keep_index >= 0 else -1 - first
                stays.setdefault(pool, []).append((row[first], end, lot.index, unit, key))
    single: dict[tuple[int, int, int], int] = {}
    for pool, rows in stays.items():
        for row, copy in _handed(rows, names[pool]):
            _, _, lot_index, unit, key = row
            keeps = problem.routings[problem.lots[lot_index].routing].keeps
            if key < 0:
                single[(lot_index, unit, -1 - key)] = copy
            elif keeps[key].station < 0:
                progress.tool_of[lot_index][unit] = copy
            else:
                progress.kept[(lot_index, key, unit)] = copy
    for task in placed:
        _, unit, _ = task.items[0]
        task.unit = single.get((task.lot, unit, task.step.index), -1)
        if task.step.level == UNIT:
            task.tool = progress.tool_of[task.lot][unit]


def _handed(
    rows: Sequence[tuple[int, int, int, int, int]], copies: Sequence[int]
) -> list[tuple[tuple[int, int, int, int, int], int]]:
    """Return each stay with its copy, the lowest that is free."""
    free = list(range(len(copies)))
    busy: list[tuple[int, int]] = []
    found = []
    for row in sorted(rows):
        while busy and busy[0][0] <= row[0]:
            heappush(free, heappop(busy)[1])
        place = heappop(free)
        heappush(busy, (row[1], place))
        found.append((row, copies[place]))
    return found
