"""Rooms and sessions as rows of the board: which state a room is in, who is geared up when."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from mouldwright.domain.room import Room
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import lasting
from mouldwright.figures.board import BoardBar, BoardRow
from mouldwright.figures.time_scale import moment
from mouldwright.planning.plan import Plan, WorkSession


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Work in one state of a room without a hole."""

    state: str
    start: int
    end: int


def room_rows(shop: Shop, plan: Plan) -> tuple[BoardRow, ...]:
    """Return a row for every room, and for every person in every kind of session planned."""
    rooms = [
        BoardRow(key=_room_key(room), title=room.title, is_ground=True)
        for room in shop.rooms.values()
    ]
    stints = [
        BoardRow(
            key=f"session {session.key} {person.key}",
            title=session.title,
            note=person.title,
            is_ground=True,
        )
        for session in shop.sessions.values()
        for person in shop.people.values()
        if any((s.session, s.person) == (session.key, person.key) for s in plan.sessions)
    ]
    return (*rooms, *stints)


def room_bars(shop: Shop, plan: Plan, shown: tuple[int, int]) -> Iterable[BoardBar]:
    """Yield what stands on those rows between two minutes."""
    found = [
        *(bar for room in shop.rooms.values() for bar in _of_room(shop, plan, room)),
        *(_of_session(shop, plan, at, stint) for at, stint in enumerate(plan.sessions)),
    ]
    for bar in found:
        if bar.spans[-1][1] > shown[0] and bar.spans[0][0] < shown[1]:
            yield bar


def _room_key(room: Room) -> str:
    return f"room {room.key}"


def _of_room(shop: Shop, plan: Plan, room: Room) -> Iterator[BoardBar]:
    place = list(shop.rooms).index(room.key)
    stretches = _stretches(shop, plan, room.key)
    known = [state.name for state in room.states]
    for at, stretch in enumerate(stretches):
        yield BoardBar(
            key=f"room-{place}-{at}",
            row=_room_key(room),
            spans=((stretch.start, stretch.end),),
            kind="state",
            mark=known.index(stretch.state) if stretch.state in known else None,
            labels=(stretch.state,),
            name=f"{room.title} is in the state {stretch.state}, "
            f"{moment(stretch.start, plan.zone)} to {moment(stretch.end, plan.zone)}",
        )
    for at, (before, after) in enumerate(pairwise(stretches)):
        settles = room.settles_min(before.state)
        if before.state != after.state and settles:
            yield BoardBar(
                key=f"settles-{place}-{at}",
                row=_room_key(room),
                spans=((before.end, before.end + settles),),
                kind="state",
                labels=(f"settles, {lasting(settles)}", "settles"),
                name=f"{room.title} settles after {before.state}, {lasting(settles)}",
            )


def _stretches(shop: Shop, plan: Plan, room: str) -> list[_Stretch]:
    """Return the work in a room by its state, joined where it overlaps or follows on."""
    work = []
    for task in plan.tasks:
        operation = shop.operation_named(task.process, task.operation)
        if operation is not None and operation.in_room == room and operation.room_state:
            work.append((task.start, task.end, operation.room_state))
    found: list[_Stretch] = []
    for start, end, state in sorted(work):
        last = found[-1] if found else None
        if last is not None and last.state == state and start <= last.end:
            found[-1] = _Stretch(state, last.start, max(last.end, end))
        else:
            found.append(_Stretch(state, start, end))
    return found


def _of_session(shop: Shop, plan: Plan, at: int, stint: WorkSession) -> BoardBar:
    title = shop.sessions[stint.session].title if stint.session in shop.sessions else stint.session
    person = shop.people[stint.person].title if stint.person in shop.people else stint.person
    return BoardBar(
        key=f"session-{at}",
        row=f"session {stint.session} {stint.person}",
        spans=((stint.start, stint.end),),
        edges=(
            (stint.start, stint.start + stint.gear_up_min),
            (stint.end - stint.clean_down_min, stint.end),
        ),
        kind="state",
        labels=("geared up",),
        name=f"{person} in {title}, {moment(stint.start, plan.zone)} to "
        f"{moment(stint.end, plan.zone)}: {lasting(stint.gear_up_min)} to gear up, "
        f"{lasting(stint.clean_down_min)} to clean down",
    )
