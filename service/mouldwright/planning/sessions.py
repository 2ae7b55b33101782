"""The sessions of a plan: who goes in for what, from when to when, read off the tasks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from mouldwright.domain.hours.opening import Window
from mouldwright.domain.shop import Shop
from mouldwright.planning.ground import NO_SESSION, ground_of, operation_named, session_index
from mouldwright.planning.placed import Placed
from mouldwright.planning.plan import Task, WorkSession
from mouldwright.planning.problem import Problem

# Start, end, session, and whether the task began before now.
Piece = tuple[int, int, int, bool]
# Session, start and end of the work in it, and whether it began before now.
Run = tuple[int, int, int, bool]


def sessions_of(shop: Shop, tasks: Sequence[Task], *, now: int) -> tuple[WorkSession, ...]:
    """Return every session of a plan's tasks, by person and start.

    What ended before ``now`` is over, and so is its session.
    """
    if not shop.sessions or not tasks:
        return ()
    ground = ground_of(shop)
    until = max(task.end for task in tasks) + 1
    kinds: dict[tuple[str, str], int] = {}
    by_person: dict[str, list[Piece]] = {}
    for task in tasks:
        key = (task.process, task.operation)
        if key not in kinds:
            operation = operation_named(shop, *key)
            kinds[key] = NO_SESSION if operation is None else session_index(shop, ground, operation)
        for person in task.people:
            for start, end in task.spans:
                by_person.setdefault(person, []).append((start, end, kinds[key], task.start < now))
    found = []
    for person, pieces in by_person.items():
        if person not in shop.people or not any(piece[2] for piece in pieces):
            continue
        windows = shop.hours_of(shop.people[person]).windows(now, until)
        for session, start, end, begun in _runs(windows, pieces):
            gear = 0 if begun else ground.gear_up_min[session]
            clean = ground.clean_down_min[session]
            found.append(
                WorkSession(
                    session=ground.sessions[session],
                    person=person,
                    start=start - gear,
                    end=end + clean,
                    gear_up_min=gear,
                    clean_down_min=clean,
                )
            )
    return tuple(sorted(found, key=lambda s: (s.start, s.person, s.session)))


def session_minutes(problem: Problem, tasks: Iterable[Placed]) -> int:
    """Return the person-minutes that going in and coming out take."""
    ground = problem.ground
    if not ground.has_sessions:
        return 0
    by_person: dict[int, list[Piece]] = {}
    for task in tasks:
        for person in task.people:
            for start, end in task.spans or ((task.start, task.end),):
                by_person.setdefault(person, []).append((start, end, task.step.session, False))
    for running in problem.running:
        operation = operation_named(problem.shop, running.process, running.operation)
        kind = NO_SESSION
        if operation is not None:
            kind = session_index(problem.shop, ground, operation)
        for key in running.people:
            if key in problem.people:
                pieces = by_person.setdefault(problem.people.index(key), [])
                begun = running.start < problem.now
                pieces += [
                    (a - problem.now, b - problem.now, kind, begun) for a, b in running.spans
                ]
    total = 0
    for person, pieces in by_person.items():
        for session, _, _, begun in _runs(problem.windows[person], pieces):
            total += ground.clean_down_min[session] + (0 if begun else ground.gear_up_min[session])
    return total


def _runs(windows: Sequence[Window], pieces: list[Piece]) -> list[Run]:
    """Return the sessions among one person's pieces of work, opening by opening."""
    pieces.sort()
    found: list[Run] = []
    first = 0
    for opens, closes in windows:
        last: Run | None = None
        for start, end, session, begun in pieces[first:]:
            if start >= closes:
                break
            start, end = max(start, opens), min(end, closes)
            if start >= end:
                continue
            if last is not None and last[0] == session:
                last = (session, last[1], max(last[2], end), last[3])
                continue
            if last is not None and last[0]:
                found.append(last)
            last = (session, start, end, begun)
        if last is not None and last[0]:
            found.append(last)
        while first < len(pieces) and pieces[first][1] <= closes:
            first += 1
    return found
