"""Rooms and sessions as they are written down."""

from __future__ import annotations

from mouldwright.domain import room as domain
from mouldwright.wire.model import Key, Model, Text, key, title_from
from mouldwright.wire.numbers import MinutesUp, wrong


class RoomState(Model):
    """A state a room is worked in."""

    name: Text = key("What it is called; operations ask for it by this name.")
    settle_min: MinutesUp | None = key(
        "From the end of work in it until work in another state may begin; left out, the room's.",
        default=None,
        unit="min",
    )


class Room(Model):
    """A room that is in one state at a time; the table's key is its name everywhere else."""

    title: Text | None = key("As people read it; left out, made from the key.", default=None)
    states: list[RoomState] = key("The states that exclude each other.")
    settle_min: MinutesUp = key(
        "What settling takes after a state that says nothing of its own.", default=0, unit="min"
    )

    def model_post_init(self, _context: object) -> None:
        """Want at least one state, and each once."""
        names = [state.name for state in self.states]
        if not names:
            raise wrong(
                "the room has no states.", 'Write at least one: { name = "dust" }.', key="states"
            )
        if twice := sorted({name for name in names if names.count(name) > 1}):
            raise wrong(
                f"two states are called {twice[0]}.", "Give each its own name.", key="states"
            )

    def room(self, name: str) -> domain.Room:
        """Return the room of that key."""
        return domain.Room(
            key=name,
            title=self.title or title_from(name),
            states=tuple(domain.RoomState(**dict(state)) for state in self.states),
            settle_min=self.settle_min,
        )

    @classmethod
    def of(cls, room: domain.Room) -> Room:
        """Return the room as it would be written."""
        return cls.written(
            title=None if room.title == title_from(room.key) else room.title,
            states=[
                RoomState.written(name=state.name, settle_min=state.settle_min)
                for state in room.states
            ],
            settle_min=room.settle_min,
        )


class Session(Model):
    """Work that one gears up for and cleans down after."""

    title: Text | None = key("As people read it; left out, made from the key.", default=None)
    skill: Text | None = key("Work that asks for this skill is of it.", default=None)
    in_room: Key | None = key("Or: work in this room is of it, in the state below.", default=None)
    room_state: Text | None = key("The state of that room.", default=None)
    gear_up_min: MinutesUp = key("Minutes of each person going in.", default=0, unit="min")
    clean_down_min: MinutesUp = key("Minutes of each person coming out.", default=0, unit="min")

    def model_post_init(self, _context: object) -> None:
        """Want a skill, or a room in a state, one of the two."""
        by_room = self.in_room is not None or self.room_state is not None
        if by_room == (self.skill is not None):
            raise wrong(
                "a session is told by a skill, or by a room and its state.",
                'Write skill = "wet", or in_room and room_state.',
                key="skill",
            )
        if by_room and (self.in_room is None or self.room_state is None):
            raise wrong(
                "a room and its state go together.",
                "Write both.",
                key="in_room" if self.in_room is None else "room_state",
            )

    def session(self, name: str) -> domain.Session:
        """Return the session of that key."""
        values = dict(self)
        values["title"] = self.title or title_from(name)
        return domain.Session(key=name, **values)

    @classmethod
    def of(cls, session: domain.Session) -> Session:
        """Return the session as it would be written."""
        return cls.written(
            title=None if session.title == title_from(session.key) else session.title,
            skill=session.skill,
            in_room=session.in_room,
            room_state=session.room_state,
            gear_up_min=session.gear_up_min,
            clean_down_min=session.clean_down_min,
        )
