"""A day sheet as its page shows it: one line for what is done in one go."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from zoneinfo import ZoneInfo

from mouldwright.domain.place_titles import places_together
from mouldwright.domain.quote import in_words
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import lasting, listed
from mouldwright.planning.plan import Member
from mouldwright.usecases.day_sheet import DaySheet, DayStep, DayTask, room_words
from mouldwright.usecases.ticks import Ticked, Ticks
from mouldwright.web.view_models.in_hand import InHandView
from mouldwright.web.words import at_minute, count, long_day, moment

# What work on a mould for nobody's order is for.
_MOULD_WORK = {
    "upkeep": "keeps the mould fit",
    "making": "makes the mould",
    "proof": "proves the mould, not to be sold",
}

# What fits a page of paper in one column, two, three and four; see _weight.
ON_PAPER = (("loose", 14), ("full", 50), ("crowded", 96), ("packed", 150))
MOST_CROWDED = "packed fullest"
LEAST_GAP_MIN = 5
NOT_TICKED = Ticked(state="to do")


@dataclass(frozen=True, slots=True, kw_only=True)
class MixView:
    """What goes on the scale.

    Attributes:
        rows: Material and grams, in the order they go in.
        total: Grams of all of them.
        besides: What is weighed for each pull besides: material, grams, pulls in words.
        use_by: Time of day by which it must be used up.
    """

    rows: tuple[tuple[str, str], ...]
    total: str
    besides: tuple[tuple[str, str, str], ...]
    use_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LineView:
    """One line of the sheet; a gap has only its words.

    Attributes:
        tools: Moulds, or stations where there are none.
        note: Orders with their pulls or parts, who else, pauses.
        by: The last it may begin; empty where nothing limits it.
        places: Of its tasks in the plan, parted by commas.
        ticked: How it stands by the log.
        told: The same in words; empty for what is to do.
    """

    start: str
    end: str
    what: str
    tools: tuple[str, ...]
    note: str
    mix: MixView | None
    cautions: str
    gap: str = ""
    by: str = ""
    places: str = ""
    ticked: Ticked = NOT_TICKED
    told: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayView:
    """The sheet.

    Attributes:
        hours: When the person is there, in words.
        cautions: In sentences, for the head of the sheet.
        crowding: "loose", "full", "crowded", "packed" or "packed fullest": how it is set on
            paper.
        next_title: The next day with work.
        next_more: How many steps more that day has.
        closes: When the last of all people goes.
        tonight: What is left running or standing then.
    """

    person: str
    person_key: str
    title: str
    hours: str
    lines: tuple[LineView, ...]
    cautions: tuple[str, ...]
    crowding: str
    next_title: str
    next_lines: tuple[LineView, ...]
    next_more: int
    closes: str
    tonight: tuple[InHandView, ...]
    steps: int


def day_view(
    shop: Shop,
    zone: str,
    sheet: DaySheet,
    tonight: tuple[InHandView, ...] = (),
    ticks: Ticks | None = None,
) -> DayView:
    """Return the page's view of a day.

    Args:
        shop: Its people, parts and materials.
        zone: The plan's.
        sheet: The day.
        tonight: What is left alone as the last one goes, as it is shown.
        ticks: What was done by the log.
    """
    lines = tuple(_with_gaps(shop, zone, sheet, ticks or Ticks(())))
    weight = _weight(lines, sheet)
    crowding = next((name for name, most in ON_PAPER if weight <= most), MOST_CROWDED)
    return DayView(
        person=shop.people[sheet.person].title,
        person_key=sheet.person,
        title=long_day(sheet.day),
        hours=_hours(zone, sheet),
        lines=lines,
        cautions=tuple(in_words(caution) for caution in sheet.cautions),
        crowding=crowding,
        next_title="" if sheet.next_day is None else _next(sheet.day, sheet.next_day),
        next_lines=tuple(_line(shop, zone, step) for step in sheet.next_steps),
        next_more=sheet.next_more,
        closes="" if sheet.closes is None else _clock(sheet.closes, zone),
        tonight=tonight,
        steps=len(sheet.steps),
    )


def _weight(lines: Sequence[LineView], sheet: DaySheet) -> float:
    """Return how much paper a day takes, in lines: mixes, cautions and the next day's included."""
    body = sum(1 + 2 * bool(line.mix) + 0.5 * bool(line.cautions) for line in lines)
    after = 0.5 * len(sheet.next_steps) + 0.6 * len(sheet.tonight)
    return body + after + 0.5 * len(sheet.cautions)


def _next(day: date, after: date) -> str:
    word = "Tomorrow" if (after - day).days == 1 else "Next"
    return f"{word}, {long_day(after)}"


def _hours(zone: str, sheet: DaySheet) -> str:
    if not sheet.hours:
        return "not in"
    spans = [f"{_clock(a, zone)} to {_clock(b, zone)}" for a, b in sheet.hours]
    return ", ".join(spans)


def _clock(minute: int, zone: str) -> str:
    return f"{at_minute(minute, zone):%H:%M}"


def _with_gaps(shop: Shop, zone: str, sheet: DaySheet, ticks: Ticks) -> Iterable[LineView]:
    last: int | None = None
    lines = [
        (step.start, step.end, _ticked(_line(shop, zone, step), zone, sheet, step, ticks))
        for step in sheet.steps
    ]
    lines += _goings(shop, zone, sheet)
    for start, end, line in sorted(lines, key=lambda each: each[:2]):
        if last is not None and start - last >= LEAST_GAP_MIN:
            yield _gap(zone, sheet, last, start)
        yield line
        last = end


def _goings(shop: Shop, zone: str, sheet: DaySheet) -> list[tuple[int, int, LineView]]:
    """Return a line for every gearing up and cleaning down."""
    found = []
    for each in sheet.sessions:
        title = shop.sessions[each.session].title if each.session in shop.sessions else each.session
        for start, end, words in (
            (each.start, each.start + each.gear_up_min, "gear up"),
            (each.end - each.clean_down_min, each.end, "clean down"),
        ):
            if start < end:
                words = f"{_clock(start, zone)} to {_clock(end, zone)}: {words}, {title}."
                found.append((start, end, _plain_line(words)))
    return found


def _gap(zone: str, sheet: DaySheet, start: int, end: int) -> LineView:
    free = sum(max(0, min(b, end) - max(a, start)) for a, b in sheet.hours)
    words = f"{_clock(start, zone)} to {_clock(end, zone)}"
    words += ": break" if not free else f": nothing booked, {lasting(free)}"
    if free and free < end - start:
        words += " besides the break"
    return _plain_line(f"{words}.")


def _plain_line(words: str) -> LineView:
    return LineView(start="", end="", what="", tools=(), note="", mix=None, cautions="", gap=words)


def _line(shop: Shop, zone: str, step: DayStep) -> LineView:
    first, last = step.tasks[0], step.tasks[-1]
    moulds = dict.fromkeys(each.task.mould for each in step.tasks if each.task.mould)
    # A mix is for moulds, and is in none.
    moulds = moulds or dict.fromkeys(first.moulds)
    units = dict.fromkeys(unit for each in step.tasks for unit in each.task.stations)
    return LineView(
        start=_clock(step.start, zone),
        end=_clock(step.end, zone),
        what=first.task.operation.capitalize(),
        tools=places_together(shop, moulds) or places_together(shop, units),
        note=_note(shop, step, goes_on=last.goes_on),
        mix=mix_view(shop, zone, first),
        cautions=", ".join(first.cautions),
        by=_by(zone, step),
    )


def _ticked(line: LineView, zone: str, sheet: DaySheet, step: DayStep, ticks: Ticks) -> LineView:
    """Return a line with how it stands by the log."""
    ticked = ticks.line([each.task for each in step.tasks])
    told = ""
    if ticked.state != "to do":
        at = ticked.ended or ticked.began
        told = "Done" if ticked.state == "done" else "Begun"
        if at is not None:
            local_at = at.astimezone(ZoneInfo(zone))
            same_day = local_at.date() == sheet.day
            told += f" {local_at:%H:%M}" if same_day else f" {moment(local_at)}"
    return replace(
        line, places=",".join(str(t.place) for t in step.tasks), ticked=ticked, told=told
    )


def _by(zone: str, step: DayStep) -> str:
    if step.begin_by is None:
        return ""
    by, start = at_minute(step.begin_by, zone), at_minute(step.start, zone)
    return f"{by:%H:%M}" if by.date() == start.date() else moment(by)


def _note(shop: Shop, step: DayStep, *, goes_on: bool) -> str:
    first = step.tasks[0]
    words = list(_members(step.tasks))
    if not words:
        task = first.task
        work = shop.mould_work(task.process, task.operation, task.mould or "")
        words = [_MOULD_WORK[work]]
    part = shop.parts.get(first.task.part) or shop.sets.get(first.task.part)
    if part is not None and first.task.members:
        words.insert(0, part.title)
    room = room_words(shop, first.task)
    if room:
        words.append(f"in {room[:1].lower()}{room[1:]}")
    if first.beside:
        others = listed([shop.people[key].title for key in first.beside if key in shop.people])
        words.append(f"with {others}")
    if first.began_before:
        words.append("begun before today")
    if goes_on:
        words.append("goes on the next day")
    elif len(first.task.spans) > 1 and not first.began_before:
        words.append("pauses while you are away")
    return ", ".join(words)


def _members(tasks: Iterable[DayTask]) -> Iterable[str]:
    pulls: dict[str, list[int]] = {}
    parts: dict[str, list[int]] = {}
    for each in tasks:
        for member in each.task.members:
            _count(pulls, member, member.pulls)
            _count(parts, member, member.parts)
    for order in dict.fromkeys((*pulls, *parts)):
        words = f"order {order}"
        if parts.get(order):
            words += f" {_numbers('part', parts[order])}"
        elif pulls.get(order):
            words += f" {_numbers('pull', pulls[order])}"
        yield words


def _count(found: dict[str, list[int]], member: Member, ids: Sequence[int]) -> None:
    found.setdefault(member.order, []).extend(ids)


def _numbers(kind: str, ids: Sequence[int]) -> str:
    numbers = sorted(set(ids))
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"{kind}s {numbers[0]} to {numbers[-1]}"
    return f"{kind if len(numbers) == 1 else kind + 's'} {', '.join(map(str, numbers))}"


def mix_view(shop: Shop, zone: str, each: DayTask) -> MixView | None:
    """Return what goes on the scale for a task, None where it mixes nothing."""
    if each.mix is None:
        return None
    return MixView(
        rows=tuple(
            (_material(shop, key), _grams(grams)) for key, grams in each.mix.components_g.items()
        ),
        total=_grams(each.mix.total_g),
        besides=tuple(
            (
                _material(shop, weighed.material),
                _grams(Decimal(weighed.each_g)),
                f"each of {count(weighed.pulls, 'pull')}" if weighed.pulls > 1 else "for the pull",
            )
            for weighed in each.weighed
        ),
        use_by="" if each.use_by is None else _clock(each.use_by, zone),
    )


def _material(shop: Shop, key: str) -> str:
    return shop.materials[key].title if key in shop.materials else key


def _grams(grams: Decimal) -> str:
    return f"{grams:,.1f}"
