"""A shop of two moulds, a right plan for it written by hand, and ways to make that plan wrong."""

from __future__ import annotations

from dataclasses import replace

import builders as build

from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import CastStructure
from mouldwright.planning.plan import Member, Plan, Task

Tasks = dict[str, Task]
NOW = build.at("2027-03-01 08:00")
# A part of builders.part() is 20 x 5 x 100 mm = 10 cm3; of a resin of 1100 kg/m3, 11 g.
TWO_PARTS_G = 2 * 11 + 3


def clock(text: str, day: int = 1) -> int:
    """Return the minute of a time of day, on the first of March 2027 (a Monday) or later."""
    return build.at(f"2027-03-{day:02} {text}")


def bench_shop(**more: object) -> Shop:
    """Two moulds, one mix, a cure, and work on single parts that may pause over lunch."""
    pressed = build.process(
        build.hands("reset", 5, skill="wet"),
        build.hands("mix", 4, per="batch", skill="wet", material="resin", pot_life_until="load"),
        build.hands("load", 10, skill="wet", wait_max_min=15),
        build.alone("cure", 60),
        build.hands("demould", 5, skill="finish"),
        build.hands("trim", 60, per="part", skill="finish", interruptible=True, wait_min=10),
        build.hands("coat", 5, per="part", skill="wet", wait_max_min=120),
        build.alone("dry", 100, per="part", station="cabinet"),
        holds=[build.hold("reset", "demould"), build.hold("load", "demould", "clamps")],
        structure=CastStructure(matrix="resin"),
        conditioning=build.hands("wax", 20, per="conditioning", skill="wet"),
    )
    given = {
        "people": [build.person("ana", ("wet", "finish")), build.person("ben", ("finish",))],
        "moulds": [build.moulds(2), build.moulds(1, key="other-mould", part="rudder")],
        "stations": [build.station("clamps", 2), build.station("cabinet", 1, room=1)],
        "materials": [build.mixed(pot_life=30, most=TWO_PARTS_G, lost=3)],
        "hours": build.opening(build.week()),
        **more,
    }
    return build.shop(pressed, [build.order("1", 2)], **given)


def bench_tasks() -> Tasks:
    """Return a right plan of two pulls side by side, by name of operation and pull."""
    both = [Member(order="1", pulls=(1, 2))]

    def pull(name: str, n: int, start: str, end: str, *people: str, clamped: bool = False) -> Task:
        units = [f"clamps {n}"] if clamped else []
        return build.task(
            name, clock(start), clock(end), *people, mould=f"fin-mould {n}", stations=units, pull=n
        )

    def part(name: str, n: int, start: str, end: str, *people: str, **more: object) -> Task:
        return build.task(name, clock(start), clock(end), *people, pull=n, part_id=n, **more)

    lunch = [(clock("11:30"), clock("12:00")), (clock("12:30"), clock("13:00"))]
    return {
        "reset 1": pull("reset", 1, "08:00", "08:05", "ana"),
        "reset 2": pull("reset", 2, "08:05", "08:10", "ana"),
        "mix": build.task(
            "mix", clock("08:10"), clock("08:14"), "ana", members=both, mixed_g=TWO_PARTS_G
        ),
        "load 1": pull("load", 1, "08:14", "08:24", "ana", clamped=True),
        "load 2": pull("load", 2, "08:24", "08:34", "ana", clamped=True),
        "cure 1": pull("cure", 1, "08:24", "09:24", clamped=True),
        "cure 2": pull("cure", 2, "08:34", "09:34", clamped=True),
        "demould 1": pull("demould", 1, "09:24", "09:29", "ben", clamped=True),
        "demould 2": pull("demould", 2, "09:34", "09:39", "ben", clamped=True),
        "trim 1": part("trim", 1, "09:39", "10:39", "ben"),
        "trim 2": part("trim", 2, "11:30", "13:00", "ben", spans=lunch),
        "coat 1": part("coat", 1, "10:39", "10:44", "ana"),
        "coat 2": part("coat", 2, "13:00", "13:05", "ana"),
        "dry 1": part("dry", 1, "10:44", "12:24", stations=["cabinet 1"]),
        "dry 2": part("dry", 2, "13:05", "14:45", stations=["cabinet 1"]),
    }


def planned(shop: Shop, tasks: Tasks, starts: int = 2) -> Plan:
    """Return the plan of these tasks, its own sums right."""
    return build.plan(shop, NOW, tasks.values(), starts={"1": starts})


def moved(tasks: Tasks, name: str, minutes: int) -> Tasks:
    spans = tuple((start + minutes, end + minutes) for start, end in tasks[name].spans)
    return {**tasks, name: replace(tasks[name], spans=spans)}


def changed(tasks: Tasks, name: str, **changes: object) -> Tasks:
    return {**tasks, name: replace(tasks[name], **changes)}


def without(tasks: Tasks, *names: str) -> Tasks:
    return {name: task for name, task in tasks.items() if name not in names}


def worked(tasks: Tasks, name: str, *spans: tuple[str, str]) -> Tasks:
    return changed(tasks, name, spans=tuple((clock(a), clock(b)) for a, b in spans))


def on_both(tasks: Tasks, n: int, **changes: object) -> Tasks:
    """Return the tasks with every pull task of one pull changed."""
    for name in (f"{step} {n}" for step in ("reset", "load", "cure", "demould")):
        tasks = changed(tasks, name, **changes)
    return tasks
