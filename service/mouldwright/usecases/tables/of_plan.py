"""Tables of a plan: its tasks, and one day of them for each person."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from mouldwright.domain.place_titles import place_title
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, Task
from mouldwright.usecases.day_sheet import DayTask, cautions_of, day_sheets, room_words
from mouldwright.usecases.tables.sheet import (
    Cell,
    Column,
    at,
    listed,
    moment,
    number,
    text,
    whole,
)

TASKS: tuple[Column, ...] = (
    text("operation", "what is done"),
    text("process", "key of the process or set"),
    text("part", "key of the part or set"),
    text("part_title", "the same, as people read it"),
    moment("start", "its first minute"),
    moment("end", "the minute after its last"),
    whole("worked_min", "minutes really worked, pauses left out"),
    whole("spans", "stretches it is worked in"),
    text("people", "keys of those whose hands are in it"),
    text("mould", "name of the mould"),
    text("mould_title", "the same, as people read it"),
    text("stations", "units held meanwhile"),
    text("orders", "numbers of the orders"),
    text("pulls", "order and pull of each"),
    text("parts", "order and part of each"),
    number("mixed_g", "grams mixed"),
)
DAY: tuple[Column, ...] = (
    text("person", "key of the person"),
    text("name", "what they are called"),
    moment("start", "from when"),
    moment("end", "until when"),
    text("operation", "what is done"),
    text("part_title", "of what"),
    text("where", "mould, else stations, as people read them"),
    text("room", "room and its state"),
    text("orders", "numbers of the orders"),
    text("beside", "who else does it"),
    number("mixed_g", "grams to mix"),
    text("weigh", "each component and its grams"),
    moment("use_by", "when the mix must be used up"),
    moment("begin_by", "the last it may begin, by a greatest wait or a pot life"),
    text("cautions", "what to mind"),
)


def task_rows(shop: Shop, plan: Plan) -> tuple[tuple[Cell, ...], ...]:
    """Return the rows of a plan's tasks, the first to begin first."""
    tasks = sorted(plan.tasks, key=lambda each: (each.start, each.end, each.operation))
    return tuple(_task(shop, plan.zone, each) for each in tasks)


def _task(shop: Shop, zone: str, task: Task) -> tuple[Cell, ...]:
    return (
        task.operation,
        task.process,
        task.part,
        _title(shop, task),
        at(task.start, zone),
        at(task.end, zone),
        sum(end - start for start, end in task.spans),
        len(task.spans),
        listed(task.people),
        task.mould,
        place_title(shop, task.mould) if task.mould else None,
        listed(task.stations),
        listed(_orders(task)),
        listed([f"{m.order}/{pull}" for m in task.members for pull in m.pulls]),
        listed([f"{m.order}/{part}" for m in task.members for part in m.parts]),
        None if task.mixed_g is None else round(task.mixed_g, 2),
    )


def day_rows(
    shop: Shop, plan: Plan, day: date, people: Sequence[str]
) -> tuple[tuple[Cell, ...], ...]:
    """Return the rows of a day, person by person in the order of the day."""
    return tuple(
        _seen(shop, plan.zone, sheet.person, task)
        for sheet in day_sheets(shop, plan, people, day)
        for step in sheet.steps
        for task in step.tasks
    )


def _seen(shop: Shop, zone: str, person: str, seen: DayTask) -> tuple[Cell, ...]:
    task = seen.task
    names = [shop.people[key].title if key in shop.people else key for key in seen.beside]
    return (
        person,
        shop.people[person].title,
        at(seen.start, zone),
        at(seen.end, zone),
        task.operation,
        _title(shop, task),
        listed(list(_where(shop, task))),
        room_words(shop, task),
        listed(_orders(task)),
        listed(names),
        None if task.mixed_g is None else round(task.mixed_g, 2),
        listed(_weigh(shop, seen)),
        at(seen.use_by, zone),
        at(seen.begin_by, zone),
        listed(cautions_of(shop, task)),
    )


def _weigh(shop: Shop, seen: DayTask) -> list[str]:
    found = []
    if seen.mix is not None:
        weighed = seen.mix.components_g.items()
        found += [f"{shop.material_title(key)} {grams} g" for key, grams in weighed]
    found += [
        f"{shop.material_title(each.material)} {each.each_g:.1f} g x {each.pulls}"
        for each in seen.weighed
    ]
    return found


def _where(shop: Shop, task: Task) -> Iterator[str]:
    for name in (task.mould,) if task.mould else task.stations:
        yield place_title(shop, name)


def _orders(task: Task) -> list[str]:
    return list(dict.fromkeys(member.order for member in task.members))


def _title(shop: Shop, task: Task) -> str:
    sold = shop.parts.get(task.part) or shop.sets.get(task.part)
    return sold.title if sold else task.part
