"""Rooms whose states exclude each other, and sessions: what going in and coming out costs."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.process.operation import Operation


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomState:
    """A state a room is worked in: dust, wet, paint.

    Attributes:
        settle_min: From the end of work in it until work in another state may begin; None
            where the room's own minutes hold.
    """

    name: str
    settle_min: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A room that is in one state at a time.

    Attributes:
        settle_min: What settling takes after a state that says nothing of its own.
    """

    key: str
    title: str
    states: tuple[RoomState, ...]
    settle_min: int = 0

    def settles_min(self, state: str) -> int:
        """Return the minutes from the end of work in a state until another may begin.

        Raises:
            KeyError: if the room has no such state.
        """
        for known in self.states:
            if known.name == state:
                return self.settle_min if known.settle_min is None else known.settle_min
        raise KeyError(state)


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """Work that one gears up for and cleans down after, told by its skill or its room.

    Within one opening a person's tasks of it that follow each other, with no other work
    between, are one session: geared up for directly before the first of them, cleaned down
    from directly after the last.

    Attributes:
        skill: Work that asks for it is of this session; None where the room tells.
        in_room: Key of the room; None where the skill tells.
        room_state: The state of that room.
        gear_up_min: Minutes of the person going in.
        clean_down_min: Minutes of the person coming out.
    """

    key: str
    title: str
    skill: str | None = None
    in_room: str | None = None
    room_state: str | None = None
    gear_up_min: int = 0
    clean_down_min: int = 0

    def holds(self, operation: Operation) -> bool:
        """Return whether an operation is work of this session."""
        if not operation.attended:
            return False
        if self.skill is not None:
            return operation.skill == self.skill
        return (operation.in_room, operation.room_state) == (self.in_room, self.room_state)
