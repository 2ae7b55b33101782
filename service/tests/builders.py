"""Small shops in a few words, for tests.

A shop here is open all day every day in UTC unless told otherwise, so that a test states
only what it is about. Minutes and amounts may be given as int or text and become Decimal.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from mouldwright.domain.hours.opening import DayTimes, OpeningHours, minute_of
from mouldwright.domain.material import Material, Mix
from mouldwright.domain.money import Currency
from mouldwright.domain.order import Order, PartSet
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.shape import Rectangle
from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Hold, Process
from mouldwright.domain.process.rework import Rework
from mouldwright.domain.room import Room, RoomState, Session
from mouldwright.domain.shop import Person, Shop, Station
from mouldwright.domain.structure.kinds import Structure
from mouldwright.planning.plan import Member, Objective, OrderOutcome, Plan, Task

Amount = int | str | Decimal

ALWAYS: tuple[DayTimes, ...] = (((0, 1440),),) * 7
# A Monday; the week after it has no clock change anywhere in Europe.
MONDAY = datetime(2027, 3, 1, tzinfo=UTC)


def times(text: str) -> DayTimes:
    """Return openings from "08:00-12:00 12:30-17:00"; empty text is a closed day."""
    found = []
    for piece in text.split():
        opens, closes = piece.split("-")
        found.append((_minute_of_day(opens), _minute_of_day(closes)))
    return tuple(found)


def week(
    weekdays: str = "08:00-12:00 12:30-17:00", sat: str = "", sun: str = "", **days: str
) -> tuple[DayTimes, ...]:
    """Return a weekly pattern, a day apart where named: ``week(fri="08:00-12:00")``."""
    texts = [days.get(day, weekdays) for day in ("mon", "tue", "wed", "thu", "fri")]
    return tuple(times(text) for text in (*texts, sat, sun))


def opening(
    weekly: tuple[DayTimes, ...] = ALWAYS,
    *,
    zone: str = "UTC",
    closed: Iterable[date] = (),
    one_off: Mapping[date, str] | None = None,
) -> OpeningHours:
    """Return opening hours in a zone."""
    return OpeningHours(
        weekly=weekly,
        zone=zone,
        closed=frozenset(closed),
        one_off={day: times(text) for day, text in (one_off or {}).items()},
    )


def at(text: str, zone: str = "UTC") -> int:
    """Return the minute of a local time such as "2027-03-01 08:00"."""
    return minute_of(datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone)))


def instant(text: str, zone: str = "UTC") -> datetime:
    """Return the zone-aware instant of a local time such as "2027-03-01 08:00"."""
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone))


def hands(name: str, minutes: Amount, *, per: str = "pull", **more: Any) -> Operation:
    """Return an attended operation; ``each=`` is its minutes a member."""
    return _operation(name, minutes, per, attended=True, more=more)


def alone(name: str, minutes: Amount, *, per: str = "pull", **more: Any) -> Operation:
    """Return an unattended operation; ``each=`` is its minutes a member."""
    return _operation(name, minutes, per, attended=False, more=more)


def hold(first: str, last: str, resource: str = "mould") -> Hold:
    """Return a hold, of a mould unless a station is named."""
    return Hold(resource=resource, first=first, last=last)


def process(
    *operations: Operation,
    key: str = "pressed",
    holds: Iterable[Hold] = (),
    reworks: Iterable[Rework] = (),
    structure: Structure | None = None,
    **more: Any,
) -> Process:
    """Return a process of these operations, its reworks laid out among them."""
    return Process.laid_out(
        key=key,
        title=key,
        structure=structure,
        operations=operations,
        holds=tuple(holds),
        reworks=tuple(reworks),
        **more,
    )


def rework(share: Amount, *operations: Operation, found_at: str = "inspect", **more: Any) -> Rework:
    """Return a rework of parts found wanting at an inspection."""
    more.setdefault("name", "mend")
    return Rework(found_at=found_at, share=Decimal(share), operations=operations, **more)


def part(key: str = "fin", made_by: Iterable[str] = ("pressed",), **more: Any) -> Part:
    """Return a small flat part."""
    more.setdefault("section", Rectangle(width_mm=20.0, height_mm=5.0))
    return Part(key=key, title=key, span_mm=100.0, made_by=tuple(made_by), **more)


def moulds(
    count: int = 1,
    *,
    key: str = "fin-mould",
    part: str = "fin",
    process: str = "pressed",
    since: int = 0,
    pulls: int = 0,
    **more: Any,
) -> MouldFamily:
    """Return a family of like moulds, each with ``since`` pulls since it was conditioned."""
    return MouldFamily(
        key=key,
        part=part,
        process=process,
        moulds=tuple(
            Mould(number=str(n), pulls=pulls, pulls_since_conditioning=since)
            for n in range(1, count + 1)
        ),
        **more,
    )


def person(
    key: str, skills: Iterable[str] = (), weekly: tuple[DayTimes, ...] | None = None
) -> Person:
    """Return a person; without hours of their own they keep the shop's."""
    return Person(
        key=key, title=key, skills=frozenset(skills), wage_per_hour=Decimal(15), weekly=weekly
    )


def station(key: str, count: int = 1, **more: Any) -> Station:
    """Return a station."""
    return Station(key=key, title=key, count=count, **more)


def mixed(
    key: str = "resin", *, pot_life: int = 30, most: Amount = 1000, least: Amount = 0,
    lost: Amount = 0,
) -> Material:  # fmt: skip
    """Return a mixed material of two like components."""
    return Material(
        key=key,
        title=key,
        density_kg_m3=1100.0,
        modulus_gpa=3.0,
        mix=Mix(
            parts={f"{key}-a": Decimal(100), f"{key}-b": Decimal(100)},
            pot_life_min=pot_life,
            most_mixed_g=Decimal(most),
            least_mixed_g=Decimal(least),
            lost_g=Decimal(lost),
        ),
    )


def order(
    number: str = "1",
    quantity: int = 1,
    *,
    part: str = "fin",
    process: str | None = "pressed",
    due: datetime | None = None,
    **more: Any,
) -> Order:
    """Return an order."""
    return Order(number=number, part=part, quantity=quantity, process=process, due=due, **more)


def room(key: str, settle: int = 0, **states: int | None) -> Room:
    """Return a room with these states; minutes to settle after one are its own, None the room's."""
    return Room(
        key=key,
        title=key,
        states=tuple(RoomState(name=name, settle_min=own) for name, own in states.items()),
        settle_min=settle,
    )


def session(key: str, gear_up: int, clean_down: int, **told: str) -> Session:
    """Return a session told by ``skill``, or by ``in_room`` and ``room_state``."""
    return Session(key=key, title=key, gear_up_min=gear_up, clean_down_min=clean_down, **told)


def shop(
    processes: Process | Iterable[Process],
    orders: Iterable[Order] = (),
    *,
    people: Iterable[Person] = (),
    moulds: Iterable[MouldFamily] = (),
    stations: Iterable[Station] = (),
    rooms: Iterable[Room] = (),
    sessions: Iterable[Session] = (),
    materials: Iterable[Material] = (),
    parts: Iterable[Part] = (),
    sets: Iterable[PartSet] = (),
    hours: OpeningHours | None = None,
    **more: Any,
) -> Shop:
    """Return a shop; parts not given are made up from the orders and moulds that name them.

    Starts equal the quantity unless a ``service_level`` and good rates say otherwise.
    """
    made = (processes,) if isinstance(processes, Process) else tuple(processes)
    orders, families, sets = tuple(orders), tuple(moulds), tuple(sets)
    parts = {p.key: p for p in parts}
    set_keys = {s.key for s in sets}
    named = [
        *(o.part for o in orders),
        *(f.part for f in families),
        *(p.part for s in sets for p in s.parts),
    ]
    for key in named:
        if key not in parts and key not in set_keys:
            parts[key] = part(key, made_by=[p.key for p in made])
    return Shop(
        name="A test shop",
        currency=Currency("EUR"),
        hours=hours or opening(),
        people={p.key: p for p in people},
        stations={s.key: s for s in stations},
        rooms={r.key: r for r in rooms},
        sessions={s.key: s for s in sessions},
        materials={m.key: m for m in materials},
        parts=parts,
        sets={s.key: s for s in sets},
        moulds={f.key: f for f in families},
        processes={p.key: p for p in made},
        orders=orders,
        **more,
    )


def task(
    operation: str,
    start: int,
    end: int,
    *people: str,
    mould: str | None = None,
    stations: Iterable[str] = (),
    pull: int | None = None,
    part_id: int | None = None,
    order: str = "1",
    process: str = "pressed",
    part: str = "fin",
    spans: Iterable[tuple[int, int]] | None = None,
    members: Iterable[Member] | None = None,
    mixed_g: float | None = None,
) -> Task:
    """Return a task of one pull, one part of it, or of the ``members`` given."""
    if members is None:
        pulls = () if pull is None else (pull,)
        parts = () if part_id is None else (part_id,)
        members = (Member(order=order, pulls=pulls, parts=parts),)
    return Task(
        operation=operation,
        process=process,
        part=part,
        spans=tuple(spans) if spans else ((start, end),),
        people=people,
        mould=mould,
        stations=tuple(stations),
        members=tuple(members),
        mixed_g=mixed_g,
    )


def plan(shop: Shop, now: int, tasks: Iterable[Task], *, starts: Mapping[str, int]) -> Plan:
    """Return a plan of these tasks whose finishes and objective are added up here.

    Args:
        shop: Whose orders give due dates and weights.
        now: Minute the plan is made for.
        tasks: All of them.
        starts: Parts begun, by order number.
    """
    tasks = tuple(tasks)
    outcomes = []
    late = 0
    for one in shop.orders:
        ends = [t.end for t in tasks if any(m.order == one.number for m in t.members)]
        due = None if one.due is None else minute_of(one.due)
        outcome = OrderOutcome(
            number=one.number, finish=max(ends), due=due, starts=starts[one.number]
        )
        outcomes.append(outcome)
        late += one.weight * outcome.late_min
    return Plan(
        now=now,
        zone=shop.zone,
        tasks=tasks,
        orders=tuple(outcomes),
        objective=Objective(
            weighted_late_min=late,
            finish_min=max((o.finish for o in outcomes), default=now) - now,
            attended_min=sum(
                len(t.people) * sum(end - start for start, end in t.spans) for t in tasks
            ),
        ),
    )


def _minute_of_day(text: str) -> int:
    hour, minute = text.split(":")
    return int(hour) * 60 + int(minute)


def _operation(
    name: str, minutes: Amount, per: str, *, attended: bool, more: dict[str, Any]
) -> Operation:
    return Operation(
        name=name,
        per=per,
        attended=attended,
        fixed_min=Decimal(minutes),
        each_min=Decimal(more.pop("each", 0)),
        **more,
    )
