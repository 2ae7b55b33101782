"""Small shops drawn at random, each of which can be planned.

What is drawn keeps within what can be done: no attended step is longer than a half day,
those who do a chain tied by waits keep the same hours, and a mix for one lasts.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from random import Random

import builders as build

from mouldwright.domain.hours.opening import DayTimes, OpeningHours, local
from mouldwright.domain.material import Material
from mouldwright.domain.order import Order, PartSet, SetPart
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Person, Shop, Station
from mouldwright.domain.structure.kinds import CastStructure

# A part of builders.part() is 20 x 5 x 100 mm: 10 cm3, 11 g of a resin of 1100 kg/m3.
PART_G = 11

_WEEKS = (
    build.ALWAYS,
    build.week("08:00-12:00 12:30-17:00"),
    build.week("08:30-12:30 13:15-17:15", fri="08:30-13:00"),
    build.week("07:00-15:00", sat="08:00-12:00"),
    build.week("06:00-14:00 14:00-22:00"),
    build.week("20:00-28:00"),
)
_PART_TIME = (
    build.week("", tue="09:00-13:00", thu="09:00-13:00"),
    build.week("13:00-17:00"),
    build.week("", sat="09:00-15:00", mon="10:00-14:00"),
)
# Ordinary weeks, and ones in which the clocks of Europe change.
_STARTS = ("2027-03-01", "2027-03-25", "2027-10-28", "2026-12-22", "2027-06-30")


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """A shop and the minute to plan it for."""

    shop: Shop
    now: int


def draw(rng: Random) -> Drawn:
    """Return a shop with one to three ways of making parts and one to four orders."""
    zone = rng.choice(("UTC", "Europe/Berlin", "Europe/London"))
    start = date.fromisoformat(rng.choice(_STARTS))
    hours = _hours(rng, zone, start)
    now = build.at(f"{start} {rng.randrange(24):02}:{rng.randrange(60):02}", zone)
    kinds = rng.sample((_pressed, _printed, _coated, _baked), rng.randint(1, 2))
    processes = [kind(rng) for kind in kinds]
    families = [_family(rng, process) for process in processes if process.uses_mould]
    sets = _sets(rng, processes)
    return Drawn(
        shop=build.shop(
            processes,
            _orders(rng, processes, sets, now),
            people=_people(rng),
            moulds=families,
            stations=_stations(rng),
            materials=_materials(rng),
            sets=sets,
            hours=hours,
            service_level=rng.choice((None, Decimal("0.8"))),
        ),
        now=now,
    )


def _hours(rng: Random, zone: str, start: date) -> OpeningHours:
    closed = [start + timedelta(days=rng.randrange(8)) for _ in range(rng.randrange(3))]
    one_off = {}
    if rng.random() < 0.3:
        one_off[start + timedelta(days=rng.randrange(8))] = "09:00-13:00"
    return build.opening(rng.choice(_WEEKS), zone=zone, closed=closed, one_off=one_off)


def _people(rng: Random) -> list[Person]:
    """Return one to three people: the first does all; a wet chain's people share hours."""
    people = [build.person("ana", ("wet", "finish", "print"))]
    if rng.random() < 0.6:
        people.append(build.person("ben", rng.choice((("wet",), ("wet", "finish"), ("print",)))))
    if rng.random() < 0.4:
        people.append(build.person("cleo", ("finish",), rng.choice((None, *_PART_TIME))))
    return people


def _stations(rng: Random) -> list[Station]:
    quiet: tuple[DayTimes, ...] | None = rng.choice((None, None, build.week("06:00-22:00")))
    return [
        build.station("press", rng.randint(1, 2)),
        build.station("clamps", rng.randint(1, 3)),
        build.station("printer", rng.randint(1, 2), weekly=quiet and build.ALWAYS),
        build.station("cabinet", 1, room=rng.choice((2, 3, 5))),
        build.station("oven", 1),
    ]


def _materials(rng: Random) -> list[Material]:
    return [
        build.mixed(
            pot_life=rng.randint(30, 60),
            most=rng.choice((2 * PART_G + 2, 3 * PART_G + 2, 100)),
            least=rng.choice((0, 20)),
            lost=2,
        )
    ]


def _after_pulls(rng: Random) -> list[Operation]:
    """Return some of the work on single parts that may follow a pull."""
    finish = {"per": "part", "skill": "finish"}
    work = [
        build.hands("trim", rng.randint(2, 40), interruptible=rng.random() < 0.5, **finish),
        build.alone("dry", rng.choice((30, 300, 720)), per="part", station="cabinet"),
        build.hands("inspect", rng.randint(1, 5), good_rate=Decimal("0.9"), **finish),
    ]
    return [operation for operation in work if rng.random() < 0.6]


def _pressed(rng: Random) -> Process:
    """Return a moulded process: mixed or not, pressed or not, cured, taken out."""
    mixes = rng.random() < 0.7
    operations = [build.hands("reset", rng.randint(1, 10), skill="wet")]
    if mixes:
        operations.append(
            build.hands(
                "mix",
                rng.randint(1, 5),
                per="batch",
                skill="wet",
                material="resin",
                pot_life_until="load",
                each=rng.choice((0, 1)),
            )
        )
    operations.append(build.hands("load", rng.randint(2, 8), skill="wet", each=rng.choice((0, 1))))
    holds = [build.hold("reset", "demould")]
    if rng.random() < 0.5:
        operations.append(
            build.hands("close", rng.randint(1, 8), skill="wet", station="press", wait_max_min=20)
        )
        if rng.random() < 0.5:
            holds.append(build.hold("close", "demould", "clamps"))
    operations.append(build.alone("cure", rng.choice((15, 90, 480, 1440, 2160))))
    operations.append(
        build.hands(
            "demould",
            rng.randint(1, 12),
            skill=rng.choice(("wet", "finish")),
            people=1,
        )
    )
    operations += _after_pulls(rng)
    return build.process(
        *operations,
        key="pressed",
        holds=holds,
        structure=CastStructure(matrix="resin"),
        conditioning=build.hands("wax", rng.randint(5, 25), per="conditioning", skill="wet"),
    )


def _printed(rng: Random) -> Process:
    """Return a process by plates: a batch held together from start to removal."""
    return build.process(
        build.hands(
            "start",
            rng.randint(2, 8),
            per="batch",
            skill="print",
            batch_parts=rng.randint(1, 4),
        ),
        build.alone("print", rng.randint(10, 60), per="batch", each=rng.randint(20, 200)),
        build.hands("remove", rng.randint(1, 5), per="batch", skill="print"),
        *_after_pulls(rng),
        key="printed",
        holds=[build.hold("start", "remove", "printer")],
    )


def _coated(rng: Random) -> Process:
    """Return a process of single parts with a window between two coats."""
    return build.process(
        build.hands("cut", rng.randint(2, 30), per="part", skill="finish", interruptible=True),
        build.hands("coat", rng.randint(2, 10), per="part", skill="wet"),
        # Up to the Tuesday after a long week-end of closed days, so that it can be met.
        build.hands(
            "recoat",
            rng.randint(2, 10),
            per="part",
            skill="wet",
            wait_min=rng.choice((60, 240)),
            wait_max_min=rng.choice((1440, 7200)) + 8640,
        ),
        build.hands("pack", 3, per="order", each=1, skill="finish"),
        key="coated",
    )


def _baked(rng: Random) -> Process:
    """Return a process whose parts share an oven load between single steps."""
    return build.process(
        build.hands("lay", rng.randint(3, 20), per="part", skill="wet"),
        build.alone(
            "bake",
            rng.choice((60, 300)),
            per="batch",
            station="oven",
            batch_parts=rng.randint(1, 4),
            each=rng.choice((0, 5)),
        ),
        build.hands("dress", rng.randint(2, 15), per="part", skill="finish"),
        key="baked",
    )


def _family(rng: Random, process: Process) -> MouldFamily:
    every = rng.choice((None, 2, 3))
    return build.moulds(
        rng.randint(1, 3),
        process=process.key,
        since=rng.randrange(3) if every else 0,
        cavities=rng.choice((1, 1, 2)),
        life_pulls=rng.choice((None, 40)),
        conditioned_every_pulls=every,
    )


def _sets(rng: Random, processes: list[Process]) -> list[PartSet]:
    if rng.random() < 0.75:
        return []
    return [
        PartSet(
            key="kit",
            title="kit",
            parts=tuple(
                SetPart(part="fin", process=p.key, count=rng.randint(1, 2)) for p in processes
            ),
            operations=(
                build.hands("fit", rng.randint(2, 12), per="part", skill="finish"),
                build.hands("label", 2, per="order", each=1, skill="finish"),
            ),
        )
    ]


def _orders(rng: Random, processes: list[Process], sets: list[PartSet], now: int) -> list[Order]:
    found = []
    for number in range(1, rng.randint(1, 4) + 1):
        sold = rng.choice((None, *sets))
        due = None
        if rng.random() < 0.7:
            due = local(now + rng.randint(-600, 8 * 1440), "UTC").astimezone(UTC)
        release: datetime | None = None
        if rng.random() < 0.2:
            release = local(now + rng.randint(0, 3000), "UTC").astimezone(UTC)
        found.append(
            build.order(
                str(number),
                rng.randint(1, 2 if sold else 5),
                part=sold.key if sold else "fin",
                process=None if sold else rng.choice(processes).key,
                due=due,
                release=release,
                weight=rng.randint(1, 4),
            )
        )
    return found


def draw_tiny(rng: Random) -> Drawn:
    """Return a shop of two to four pulls that ``small_search`` can search whole."""
    zone = rng.choice(("UTC", "Europe/Berlin"))
    start = date.fromisoformat(rng.choice(_STARTS))
    hours = build.opening(rng.choice(_WEEKS), zone=zone)
    now = build.at(f"{start} {rng.randrange(24):02}:{rng.randrange(60):02}", zone)
    process = build.process(
        build.hands("fill", rng.randint(5, 60), skill="wet", station=rng.choice((None, "press"))),
        build.alone("cure", rng.choice((20, 90, 300, 900, 1440))),
        build.hands(
            "demould",
            rng.randint(3, 40),
            skill=rng.choice(("wet", "finish")),
            wait_min=rng.choice((0, 0, 30)),
        ),
        build.hands(
            "trim", rng.randint(5, 90), per="part", skill="finish", interruptible=rng.random() < 0.5
        ),
        holds=[build.hold("fill", "demould")],
        conditioning=build.hands("wax", rng.randint(5, 30), per="conditioning", skill="wet"),
    )
    other = build.process(
        build.hands("cut", rng.randint(10, 120), per="part", skill=rng.choice(("wet", "finish"))),
        build.alone("rest", rng.choice((10, 400)), per="part"),
        build.hands("sand", rng.randint(10, 120), per="part", skill="finish", interruptible=True),
        key="cut",
    )
    people = [build.person("ana", ("wet", "finish"))]
    if rng.random() < 0.6:
        people.append(
            build.person("ben", ("finish",), rng.choice((None, build.week("09:00-15:00"))))
        )
    orders = []
    for number in range(1, rng.randint(1, 2) + 1):
        due = None
        if rng.random() < 0.6:
            due = local(now + rng.randint(0, 3 * 1440), "UTC").astimezone(UTC)
        orders.append(
            build.order(
                str(number),
                rng.randint(2, 3) if number == 1 else 1,
                process="cut" if number == 2 and rng.random() < 0.6 else "pressed",
                due=due,
                weight=rng.randint(1, 3),
            )
        )
    every = rng.choice((None, None, 1, 2))
    return Drawn(
        shop=build.shop(
            [process, other],
            orders,
            people=people,
            moulds=[build.moulds(rng.randint(1, 2), since=0, conditioned_every_pulls=every)],
            stations=[build.station("press")],
            hours=hours,
        ),
        now=now,
    )
