"""A day at the bench as it is told: in titles and local times, to a page, a program, a terminal."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from mouldwright.domain.hours.opening import local
from mouldwright.domain.place_titles import place_title
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.day_sheet import room_words
from mouldwright.usecases.today_told import TaskInHand, in_hand_told
from mouldwright.usecases.tomorrow import BenchDay, BenchTask, Hand

HAND_WORDS: dict[Hand, str] = {
    "demould": "Demould",
    "condition": "Condition moulds",
    "mix": "Mix",
    "load": "Load",
    "oven": "Load the oven",
    "other": "Besides",
    "before going home": "Start before going home",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighedTold:
    """Something to put on the scale.

    Attributes:
        grams: Of all of it; of each pull, for what is not mixed.
        pulls: For how many pulls it is weighed; 0 for a component of a mix.
    """

    title: str
    grams: Decimal
    pulls: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MixTold:
    """A mix card.

    Attributes:
        components: In the order they go in, adding up to the total.
        besides: What else to weigh for the pulls of the mix.
        moulds: What the mix is for.
        use_by: By when it must be used up.
    """

    total_g: Decimal
    components: tuple[WeighedTold, ...]
    besides: tuple[WeighedTold, ...]
    moulds: tuple[str, ...]
    use_by: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchTaskTold:
    """A task of the day.

    Attributes:
        place: In the plan's tasks, from 0.
        what: Title of the part or set; empty for the upkeep of a mould.
        where: What people call its mould, or else its stations.
        room: The room and its state; empty for none.
        begin_by: The last it may begin; None where nothing limits it.
        runs_until: When what it starts is over, where that runs on after the last one goes.
    """

    place: int
    operation: str
    process: str
    what: str
    where: str
    room: str
    orders: tuple[str, ...]
    people: tuple[str, ...]
    start: datetime
    end: datetime
    begin_by: datetime | None
    runs_until: datetime | None
    mix: MixTold | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchPartTold:
    """Like work of the day, under its heading."""

    hand: str
    title: str
    tasks: tuple[BenchTaskTold, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchDayTold:
    """A day at the bench; see ``tomorrow.BenchDay``."""

    day: date
    opens: datetime | None
    closes: datetime | None
    overnight: tuple[TaskInHand, ...]
    parts: tuple[BenchPartTold, ...]
    cautions: tuple[str, ...]


def bench_day_told(shop: Shop, plan: Plan, found: BenchDay) -> BenchDayTold:
    """Return a day as it is told."""
    zone = found.zone

    def at(minute: int | None) -> datetime | None:
        return None if minute is None else local(minute, zone)

    return BenchDayTold(
        day=found.day,
        opens=at(found.opens),
        closes=at(found.closes),
        overnight=tuple(in_hand_told(shop, plan, each) for each in found.overnight),
        parts=tuple(
            BenchPartTold(
                hand=part.hand,
                title=HAND_WORDS[part.hand],
                tasks=tuple(_task(shop, zone, each) for each in part.tasks),
            )
            for part in found.parts
        ),
        cautions=found.cautions,
    )


def _task(shop: Shop, zone: str, each: BenchTask) -> BenchTaskTold:
    task = each.seen.task
    sold = shop.parts.get(task.part) or shop.sets.get(task.part)
    places = (task.mould,) if task.mould else task.stations
    return BenchTaskTold(
        place=each.seen.place,
        operation=task.operation,
        process=task.process,
        what=(sold.title if sold else task.part) if task.members else "",
        where=", ".join(place_title(shop, name) for name in places),
        room=room_words(shop, task),
        orders=_unlike(member.order for member in task.members),
        people=tuple(shop.people[k].title if k in shop.people else k for k in task.people),
        start=local(task.start, zone),
        end=local(task.end, zone),
        begin_by=None if each.begin_by is None else local(each.begin_by, zone),
        runs_until=None if each.until is None else local(each.until, zone),
        mix=_mix(shop, zone, each),
    )


def _mix(shop: Shop, zone: str, each: BenchTask) -> MixTold | None:
    seen = each.seen
    if seen.mix is None:
        return None
    return MixTold(
        total_g=seen.mix.total_g,
        components=tuple(
            WeighedTold(title=shop.material_title(key), grams=grams, pulls=0)
            for key, grams in seen.mix.components_g.items()
        ),
        besides=tuple(
            WeighedTold(
                title=shop.material_title(other.material),
                grams=Decimal(f"{other.each_g:.1f}"),
                pulls=other.pulls,
            )
            for other in seen.weighed
        ),
        moulds=tuple(place_title(shop, name) for name in seen.moulds),
        use_by=None if seen.use_by is None else local(seen.use_by, zone),
    )


def _unlike(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(words))
