"""Day sheets on paper: for each person what to do when, what to weigh, squares to tick.

A person's day stands on one page as far as it can be read there: the template sets it as large as
it fits, and over several pages only where the smallest type that is read at a bench does not do.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any

from mouldwright.documents.setting import Paper, set_on_paper
from mouldwright.domain.hours.opening import local
from mouldwright.domain.hours.spoken import spoken_day
from mouldwright.domain.place_titles import places_together
from mouldwright.domain.quote import in_words
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import listed
from mouldwright.planning.plan import Task
from mouldwright.usecases.day_sheet import DaySheet, DayStep, DayTask, day_sheets, room_words
from mouldwright.usecases.papers import DayAsked


def day_pdf(asked: DayAsked, *, paper: Paper = "a4") -> bytes:
    """Return the day sheets of several people as a PDF; the same gives the same bytes."""
    sheets = day_sheets(asked.shop, asked.plan, asked.people, asked.day)
    data = {
        "shop": asked.shop.name,
        "day": spoken_day(asked.day),
        "standing": asked.standing,
        "sheets": [_sheet(asked.shop, asked.plan.zone, sheet) for sheet in sheets],
    }
    return set_on_paper("day", data, paper=paper)


def _sheet(shop: Shop, zone: str, sheet: DaySheet) -> dict[str, Any]:
    hours = ", ".join(f"{_clock(a, zone)} to {_clock(b, zone)}" for a, b in sheet.hours)
    following = "" if sheet.next_day is None else spoken_day(sheet.next_day)
    return {
        "name": shop.people[sheet.person].title,
        "hours": hours or "not in",
        "cautions": [in_words(each) for each in sheet.cautions],
        "steps": [_step(shop, zone, step) for step in sheet.steps],
        "closes": "" if sheet.closes is None else _clock(sheet.closes, zone),
        "tonight": [
            f"{_said(shop, (each.task,))}, "
            f"{'stands since' if each.is_over else 'until'} {_moment(each.task.end, zone)}"
            for each in sheet.tonight
        ],
        "next_day": following,
        "next_steps": [
            f"{_clock(step.start, zone)}  {_said(shop, tuple(each.task for each in step.tasks))}"
            for step in sheet.next_steps
        ],
        "next_more": sheet.next_more,
    }


def _step(shop: Shop, zone: str, step: DayStep) -> dict[str, Any]:
    first = step.tasks[0]
    places = _places(each.task for each in step.tasks)
    return {
        "start": _clock(step.start, zone),
        "end": _clock(step.end, zone),
        "what": _what(shop, first.task, places or first.moulds),
        "places": places_together(shop, places),
        "note": _note(shop, step, places),
        "by": "" if step.begin_by is None else _clock(step.begin_by, zone),
        "mix": _mix(shop, zone, first),
    }


def _mix(shop: Shop, zone: str, seen: DayTask) -> dict[str, Any] | None:
    if seen.mix is None:
        return None
    rows = [
        (shop.material_title(key), f"{grams:f}") for key, grams in seen.mix.components_g.items()
    ]
    besides = [
        f"{shop.material_title(each.material)} {each.each_g:.1f} g"
        + (f" for each of {each.pulls} pulls" if each.pulls > 1 else "")
        for each in seen.weighed
    ]
    return {
        "rows": rows,
        "total": f"{seen.mix.total_g:f}",
        "besides": besides,
        "use_by": "" if seen.use_by is None else _clock(seen.use_by, zone),
        "moulds": places_together(shop, seen.moulds),
    }


def _note(shop: Shop, step: DayStep, places: Collection[str]) -> str:
    orders = _unlike(m.order for each in step.tasks for m in each.task.members)
    said = [f"order {', '.join(orders)}"] if orders else []
    beside = _unlike(who for each in step.tasks for who in each.beside)
    if beside:
        names = [shop.people[key].title if key in shop.people else key for key in beside]
        said.append(f"with {listed(names)}")
    if room := room_words(shop, step.tasks[0].task):
        said.append(room)
    # As many moulds as pulls say by themselves how many there are.
    if len(step.tasks) > 1 and len(step.tasks) != len(places):
        said.append(f"{len(step.tasks)} times")
    if step.tasks[0].began_before:
        said.append("goes on from before")
    if step.tasks[-1].goes_on:
        said.append("goes on next time")
    return ", ".join(said)


def _what(shop: Shop, task: Task, places: Collection[str]) -> str:
    """Return what is done, with what it makes where no mould that is named says so."""
    name = f"{task.operation[:1].upper()}{task.operation[1:]}"
    if not task.members or any(name.partition(" ")[0] in shop.moulds for name in places):
        return name
    sold = shop.parts.get(task.part) or shop.sets.get(task.part)
    return f"{name}, {sold.title if sold else task.part}"


def _places(tasks: Iterable[Task]) -> tuple[str, ...]:
    each = (name for task in tasks for name in ((task.mould,) if task.mould else task.stations))
    return tuple(dict.fromkeys(each))


def _said(shop: Shop, tasks: tuple[Task, ...]) -> str:
    places = _places(tasks)
    inside = ", ".join(places_together(shop, places))
    return _what(shop, tasks[0], places) + (f" [{inside}]" if inside else "")


def _unlike(words: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(words))


def _clock(minute: int, zone: str) -> str:
    return f"{local(minute, zone):%H:%M}"


def _moment(minute: int, zone: str) -> str:
    at = local(minute, zone)
    return f"{spoken_day(at)[:-5]}, {at:%H:%M}"
