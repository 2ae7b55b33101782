"""What work stands on besides people, stations and moulds: rooms in a state, and sessions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Shop
from mouldwright.domain.warmth import MILLION
from mouldwright.planning.clocks import setting_materials

# Work of no session.
NO_SESSION = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The rooms and sessions of a shop, by index.

    Attributes:
        rooms: Keys of the rooms.
        states: For each room, the names of its states.
        settle_min: For each room and state, minutes until work in another state may begin.
        sessions: Keys of the sessions; the first stands for work of none.
        gear_up_min: For each session, a person's minutes going in.
        clean_down_min: For each session, a person's minutes coming out.
    """

    rooms: tuple[str, ...] = ()
    states: tuple[tuple[str, ...], ...] = ()
    settle_min: tuple[tuple[int, ...], ...] = ()
    sessions: tuple[str, ...] = ("",)
    gear_up_min: tuple[int, ...] = (0,)
    clean_down_min: tuple[int, ...] = (0,)

    @property
    def has_sessions(self) -> bool:
        """Return whether any work costs going in and coming out."""
        return len(self.sessions) > 1

    def room_of(self, operation: Operation) -> tuple[int, int] | None:
        """Return the room an operation needs and the state it must be in, by index."""
        if operation.in_room is None or operation.room_state is None:
            return None
        room = self.rooms.index(operation.in_room)
        return room, self.states[room].index(operation.room_state)

    def overhead_min(self, session: int) -> int:
        """Return the minutes going in and coming out of a session."""
        return self.gear_up_min[session] + self.clean_down_min[session]


def ground_of(shop: Shop) -> Ground:
    """Return the rooms and sessions of a shop."""
    rooms, sessions = shop.rooms.values(), shop.sessions.values()
    return Ground(
        rooms=tuple(shop.rooms),
        states=tuple(tuple(state.name for state in room.states) for room in rooms),
        settle_min=tuple(
            tuple(room.settles_min(state.name) for state in room.states) for room in rooms
        ),
        sessions=("", *shop.sessions),
        gear_up_min=(0, *(session.gear_up_min for session in sessions)),
        clean_down_min=(0, *(session.clean_down_min for session in sessions)),
    )


def session_index(shop: Shop, ground: Ground, operation: Operation) -> int:
    """Return the session an operation is work of; NO_SESSION where it costs nothing to go in."""
    session = shop.session_of(operation)
    return NO_SESSION if session is None else ground.sessions.index(session.key)


def operation_named(shop: Shop, process: str, name: str) -> Operation | None:
    """Return an operation of a process (its upkeep too) or of a set, None where it has none."""
    found: Iterable[Operation] = ()
    if process in shop.processes:
        own = shop.processes[process]
        found = (*own.operations, *([own.conditioning] if own.conditioning else []))
    elif process in shop.sets:
        found = shop.sets[process].operations
    return next((operation for operation in found if operation.name == name), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Footing:
    """What one operation stands on.

    Attributes:
        room: The room it needs and the state that must be in, by index; None for none.
        session: The session it is work of.
        cure: Clock its minutes go by; -1 for the clock on the wall.
        pot: Clock that the pot life of what it mixes goes by; -1 likewise.
        fastest: The fastest its clock ever goes, in millionths of the wall's.
        slowest: The slowest the clock of its pot life ever goes.
    """

    room: tuple[int, int] | None = None
    session: int = NO_SESSION
    cure: int = -1
    pot: int = -1
    fastest: int = MILLION
    slowest: int = MILLION


def footing_of(shop: Shop, ground: Ground, operation: Operation) -> Footing:
    """Return what an operation stands on.

    Raises:
        HardLimit: if it waits for a cure that the shop is never warm enough for.
    """
    setting = setting_materials(shop)
    cure = pot = -1
    fastest = slowest = MILLION
    temperatures = [] if shop.temperatures is None else shop.temperatures.seasons
    warms = [warm for season in temperatures for warm in (season.day_c, season.night_c)]
    if operation.cures in setting:
        warmth = shop.materials[operation.cures or ""].warmth
        assert warmth is not None  # asked by setting_materials
        cure = 2 * setting.index(operation.cures or "") + 1
        fastest = max(warmth.cure_speed(warm) for warm in warms)
        if not fastest:
            raise HardLimit(
                [
                    f"{operation.name}: {operation.cures} does not cure below "
                    f"{warmth.least_c:f} °C and the shop is never warmer than {max(warms):f} °C; "
                    "a warmer shop would do, or a post-cure in an oven."
                ]
            )
    if operation.material in setting:
        warmth = shop.materials[operation.material or ""].warmth
        assert warmth is not None  # asked by setting_materials
        pot = 2 * setting.index(operation.material or "")
        slowest = min(warmth.speed(warm) for warm in warms)
    return Footing(
        room=ground.room_of(operation),
        session=session_index(shop, ground, operation),
        cure=cure,
        pot=pot,
        fastest=fastest,
        slowest=slowest,
    )
