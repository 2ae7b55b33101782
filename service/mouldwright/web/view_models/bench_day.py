"""A day in the order of the hands as its page shows it: like work in one line."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from mouldwright.domain.quote import in_words
from mouldwright.domain.shown import listed
from mouldwright.usecases.tomorrow_told import (
    BenchDayTold,
    BenchPartTold,
    BenchTaskTold,
    MixTold,
)
from mouldwright.web.view_models.in_hand import InHandView, in_hand_view
from mouldwright.web.words import moment


@dataclass(frozen=True, slots=True, kw_only=True)
class CardView:
    """A mix card: material and grams in the order they go in, and what else to weigh."""

    rows: tuple[tuple[str, str], ...]
    total: str
    besides: tuple[str, ...]
    moulds: tuple[str, ...]
    use_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkView:
    """Like work, done once or several times.

    Attributes:
        times: When, with the mould it is done on where it is on one.
        by: The last the first of them may begin; empty where nothing limits it.
        until: When what it starts is over, for what runs on through the night.
    """

    what: str
    who: str
    orders: str
    room: str
    times: tuple[tuple[str, str], ...]
    by: str
    until: str
    card: CardView | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PartView:
    """Like work of the day under its heading."""

    title: str
    key: str
    rows: tuple[WorkView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchDayView:
    """The sheet."""

    hours: str
    parts: tuple[PartView, ...]
    cautions: tuple[str, ...]
    overnight: tuple[InHandView, ...]


def bench_day_view(shop: str, version: int, told: BenchDayTold) -> BenchDayView:
    """Return the view of a day; ``shop`` is the shop's key."""
    hours = "Nobody is in."
    if told.opens is not None and told.closes is not None:
        hours = f"The first comes {told.opens:%H:%M}, the last goes {told.closes:%H:%M}."
    return BenchDayView(
        hours=hours,
        parts=tuple(_part(told.day, part) for part in told.parts),
        cautions=tuple(in_words(caution) for caution in told.cautions),
        overnight=tuple(in_hand_view(shop, version, told.day, each) for each in told.overnight),
    )


def _part(day: date, part: BenchPartTold) -> PartView:
    groups: dict[tuple[object, ...], list[BenchTaskTold]] = {}
    for task in part.tasks:
        # A mix is a card of its own.
        alone = task.place if task.mix is not None else -1
        groups.setdefault((task.operation, task.what, alone), []).append(task)
    rows = tuple(_row(day, tasks) for tasks in groups.values())
    return PartView(title=part.title, key=part.hand.replace(" ", "-"), rows=rows)


def _row(day: date, tasks: list[BenchTaskTold]) -> WorkView:
    first = tasks[0]
    limits = [each.begin_by for each in tasks if each.begin_by is not None]
    ends = [each.runs_until for each in tasks if each.runs_until is not None]
    what = f"{first.operation[:1].upper()}{first.operation[1:]}"
    return WorkView(
        what=f"{what}, {first.what}" if first.what else what,
        who=listed(list(dict.fromkeys(name for each in tasks for name in each.people))),
        orders=", ".join(dict.fromkeys(order for each in tasks for order in each.orders)),
        room=first.room,
        times=_times(tasks),
        by=_at(day, min(limits)) if limits else "",
        until=_at(day, max(ends)) if ends else "",
        card=None if first.mix is None else _card(first.mix),
    )


def _times(tasks: list[BenchTaskTold]) -> tuple[tuple[str, str], ...]:
    if all(each.where for each in tasks):
        return tuple((f"{each.start:%H:%M}", each.where) for each in tasks)
    if len(tasks) == 1:
        return ((f"{tasks[0].start:%H:%M} to {tasks[0].end:%H:%M}", ""),)
    last = max(each.end for each in tasks)
    return ((f"{tasks[0].start:%H:%M} to {last:%H:%M}, {len(tasks)} times", ""),)


def _card(mix: MixTold) -> CardView:
    return CardView(
        rows=tuple((each.title, f"{each.grams:f}") for each in mix.components),
        total=f"{mix.total_g:f}",
        besides=tuple(
            f"{each.title} {each.grams:f} g"
            + (f" for each of {each.pulls} pulls" if each.pulls > 1 else "")
            for each in mix.besides
        ),
        moulds=mix.moulds,
        use_by="" if mix.use_by is None else f"{mix.use_by:%H:%M}",
    )


def _at(day: date, at: datetime) -> str:
    return f"{at:%H:%M}" if at.date() == day else moment(at)
