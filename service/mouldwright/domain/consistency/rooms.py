"""Rooms and sessions: whether each names what exists, and work belongs to one session at most."""

from __future__ import annotations

from collections.abc import Iterator

from mouldwright.domain.consistency.finding import (
    Where,
    fault,
    routings,
    step,
    steps,
    unknown,
    warning,
)
from mouldwright.domain.errors import Fault
from mouldwright.domain.key_path import entries
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import listed


def room_faults(shop: Shop) -> Iterator[Fault]:
    """Yield the faults of rooms, of sessions, and of the work done in them."""
    for key, session in shop.sessions.items():
        yield from _in_room(shop, ("sessions", key), session.in_room, session.room_state)
        skills = {skill for person in shop.people.values() for skill in person.skills}
        if session.skill is not None and shop.people and session.skill not in skills:
            yield unknown(("sessions", key, "skill"), session.skill, "skill", skills)
    worked = []
    for where, operations in routings(shop):
        for operation in operations:
            at = step(where, operation)
            yield from _in_room(shop, at, operation.in_room, operation.room_state)
            yield from _session(shop, at, operation)
            worked.append(operation)
    for key, process in shop.processes.items():
        mine = [o for o in steps(process) if shop.session_of(o) is not None]
        shown = entries([used.name for used in process.consumables])
        for used, name in zip(process.consumables, shown, strict=True):
            if used.per == "session" and not mine:
                yield fault(
                    ("processes", key, "consumables", name, "per"),
                    "session",
                    "no operation of the process is of a session, so it would never be used.",
                    "Write a session for its skill or its room, or another per.",
                )
    for key, session in shop.sessions.items():
        if not any(session.holds(operation) for operation in worked):
            yield warning(
                ("sessions", key),
                None,
                "no attended operation is of this session.",
                "Name its skill, or its room and state, at an operation.",
            )


def _in_room(shop: Shop, at: Where, key: str | None, state: str | None) -> Iterator[Fault]:
    if key is None or state is None:
        return
    if key not in shop.rooms:
        yield unknown((*at, "in_room"), key, "room", shop.rooms)
    elif state not in [known.name for known in shop.rooms[key].states]:
        names = [known.name for known in shop.rooms[key].states]
        yield unknown((*at, "room_state"), state, f"state of {key}", names)


def _session(shop: Shop, at: Where, operation: Operation) -> Iterator[Fault]:
    mine = [session for session in shop.sessions.values() if session.holds(operation)]
    if len(mine) > 1:
        yield fault(
            at,
            None,
            f"it would be of two sessions: {listed([s.key for s in mine])}.",
            "Leave its room or its skill out of one of them.",
        )
    elif mine and operation.interruptible:
        yield warning(
            (*at, "interruptible"),
            "true",
            f"work of the session {mine[0].key} does not pause: one would have to go in again.",
            "Split it into steps that fit one opening, or leave this out.",
        )
