"""From tasks placed to a plan that can be shown: names in place of indices."""

from __future__ import annotations

from collections.abc import Sequence

from mouldwright.domain.hours.opening import Window
from mouldwright.planning.placed import Item, Placed, Progress
from mouldwright.planning.plan import Member, Objective, OrderOutcome, Plan, Task
from mouldwright.planning.problem import Lot, Problem
from mouldwright.planning.routing import ORDER, PART, UNIT, Keep, Step
from mouldwright.planning.sessions import session_minutes, sessions_of
from mouldwright.planning.shapes import ALL
from mouldwright.planning.timelines import LONG_AGO


def objective_of(problem: Problem, tasks: Sequence[Placed]) -> Objective:
    """Return what a set of tasks is worth."""
    finishes = finishes_of(problem, tasks)
    late = sum(
        demand.weight * max(0, finish - demand.due)
        for demand, finish in zip(problem.demands, finishes, strict=True)
        if demand.due is not None
    )
    attended = sum((b - a) * len(t.people) for t in problem.running for a, b in t.spans)
    for task in tasks:
        if task.people:
            worked = (
                task.end - task.start
                if task.spans is None
                else sum(end - start for start, end in task.spans)
            )
            attended += worked * len(task.people)
    attended += session_minutes(problem, tasks)
    return Objective(weighted_late_min=late, finish_min=max([0, *finishes]), attended_min=attended)


def weighted_finishes(problem: Problem, tasks: Sequence[Placed]) -> int:
    """Return the sum over orders of weight x minutes from now to the order's finish."""
    finishes = finishes_of(problem, tasks)
    return sum(d.weight * f for d, f in zip(problem.demands, finishes, strict=True))


def finishes_of(problem: Problem, tasks: Sequence[Placed]) -> list[int]:
    """Return when each order's last task ends, in minutes from now."""
    finishes = [LONG_AGO] * len(problem.demands)
    index = {demand.number: i for i, demand in enumerate(problem.demands)}
    for running in problem.running:
        for member in running.members:
            if member.order in index:
                i = index[member.order]
                finishes[i] = max(finishes[i], running.end - problem.now)
    for task in tasks:
        for lot in {item[0] for item in task.items}:
            order = problem.lots[lot].order
            if order >= 0 and task.end > finishes[order]:
                finishes[order] = task.end
    return [0 if finish == LONG_AGO else finish for finish in finishes]


def without_idle_upkeep(tasks: Sequence[Placed]) -> list[Placed]:
    """Return the tasks without the conditioning that no pull followed."""
    last_use: dict[int, int] = {}
    for task in tasks:
        if task.tool >= 0 and task.items:
            last_use[task.tool] = max(last_use.get(task.tool, -1), task.start)
    return [t for t in tasks if t.items or t.tool < 0 or t.start < last_use.get(t.tool, -1)]


def assemble(
    problem: Problem,
    tasks: Sequence[Placed],
    progress: Progress,
    unit_names: Sequence[str],
) -> Plan:
    """Return the plan, tasks in the order of their starts."""
    kept = without_idle_upkeep(tasks)
    written = [*problem.running, *(_written(problem, t, progress, unit_names) for t in kept)]
    written.sort(key=lambda t: (t.start, t.end, t.process, t.operation, t.mould or "", t.people))
    finishes = finishes_of(problem, kept)
    return Plan(
        now=problem.now,
        zone=problem.zone,
        tasks=tuple(written),
        orders=tuple(
            OrderOutcome(
                number=demand.number,
                finish=finish + problem.now,
                due=None if demand.due is None else demand.due + problem.now,
                starts=demand.starts,
            )
            for demand, finish in zip(problem.demands, finishes, strict=True)
        ),
        objective=objective_of(problem, kept),
        sessions=sessions_of(problem.shop, written, now=problem.now),
    )


def _written(problem: Problem, task: Placed, progress: Progress, unit_names: Sequence[str]) -> Task:
    now = problem.now
    spans: tuple[Window, ...] = task.spans or ((task.start, task.end),)
    stations = [unit_names[task.unit]] if task.unit >= 0 else []
    tool = task.tool
    if task.lot < 0:
        family = problem.families[problem.tools[tool].family]
        process, part = family.process, family.part
    else:
        lot = problem.lots[task.lot]
        routing = problem.routings[lot.routing]
        process, part = routing.key, lot.part
        if lot.builds >= 0:
            tool = lot.builds
        elif lot.proves >= 0:
            tool = lot.proves
        elif tool < 0 and task.step.level == UNIT:
            # What is done to a pull before its mould is taken is for that mould all the same.
            _, unit, _ = task.items[0]
            tool = progress.tool_of[task.lot][unit]
        for k in task.step.within:
            stations += [
                unit_names[unit]
                for unit in _held(problem, routing.keeps[k], task, progress)
                if unit_names[unit] not in stations
            ]
    return Task(
        operation=task.step.name,
        process=process,
        part=part,
        spans=tuple((a + now, b + now) for a, b in spans),
        people=tuple(problem.people[p] for p in task.people),
        mould=problem.tools[tool].name if tool >= 0 else None,
        stations=tuple(stations),
        members=members_named(problem, task.step, task.items),
        mixed_g=task.mixed_ug / 1_000_000 if task.mixed_ug else None,
    )


def _held(problem: Problem, keep: Keep, task: Placed, progress: Progress) -> list[int]:
    """Return the station units a hold keeps while a task runs."""
    if keep.station < 0:
        return []
    found = []
    for lot, unit, part in task.items:
        cavities = problem.lots[lot].cavities
        units = range(problem.lots[lot].units) if unit == ALL else (unit,)
        if keep.level == ORDER:
            keys = [0]
        elif keep.level == PART:
            parts = range(cavities) if part == ALL else (part,)
            keys = [u * cavities + p for u in units for p in parts]
        else:
            keys = list(units)
        found += [
            progress.kept[(lot, keep.index, key)]
            for key in keys
            if (lot, keep.index, key) in progress.kept
        ]
    return list(dict.fromkeys(found))


def living_units(lot: Lot) -> list[int]:
    """Return the units of a lot of which some part goes on."""
    if not lot.ended:
        return list(range(lot.units))
    each = range(lot.cavities)
    return [
        unit
        for unit in range(lot.units)
        if any(unit * lot.cavities + which not in lot.ended for which in each)
    ]


def members_named(problem: Problem, step: Step, items: Sequence[Item]) -> tuple[Member, ...]:
    """Return the members with their ids: pulls, a pull and a part, or parts."""
    by_order: dict[int, tuple[list[int], list[int]]] = {}
    for lot_index, unit, part in items:
        lot = problem.lots[lot_index]
        if lot.order < 0:
            return ()
        pulls, parts = by_order.setdefault(lot.order, ([], []))
        units = living_units(lot) if unit == ALL else [unit]
        if lot.numbers.has_pulls:
            pulls += [lot.numbers.pull(u) for u in units]
        if step.level == PART or not lot.numbers.has_pulls:
            first = part if part != ALL else 0
            parts += [lot.numbers.parts(u)[first] for u in units]
        elif step.level == ORDER:
            parts += [
                lot.numbers.parts(u)[j]
                for u in units
                for j in range(lot.cavities)
                if u * lot.cavities + j not in lot.ended
            ]
    return tuple(
        Member(order=problem.demands[order].number, pulls=tuple(pulls), parts=tuple(parts))
        for order, (pulls, parts) in by_order.items()
    )
