"""A plan as entries of a calendar, each named by the work it is and never by when it is done."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from mouldwright.domain.calendar_event import CalendarEvent
from mouldwright.domain.hours.opening import local
from mouldwright.domain.place_titles import place_title
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import listed
from mouldwright.planning.plan import Plan, Task, WorkSession
from mouldwright.usecases.day_sheet import cautions_of, room_words


def events_of(key: str, shop: Shop, plan: Plan | None) -> tuple[CalendarEvent, ...]:
    """Return every entry: the tasks of a plan, what is closed, and the days of open orders.

    A task that pauses is an entry for each of its spans.

    Args:
        key: Of the shop.
        shop: With all its open orders.
        plan: The one that holds; None where there is none.
    """
    planned = () if plan is None else (*_tasks(key, shop, plan), *_goings(key, shop, plan))
    return (*planned, *_closures(key, shop), *_due_days(key, shop))


def _uid(shop: str, *what: object) -> str:
    """Return what names an entry: the same for the same work of the same shop."""
    said = "\x1f".join(str(each) for each in (shop, *what))
    return f"{hashlib.sha256(said.encode()).hexdigest()[:32]}@{shop}.mouldwright"


def _tasks(shop_key: str, shop: Shop, plan: Plan) -> Iterator[CalendarEvent]:
    for task, identity in zip(plan.tasks, identities(plan), strict=True):
        event = CalendarEvent(
            uid="",
            span=task.spans[0],
            title=_title(shop, task),
            notes=_notes(shop, task),
            place=", ".join(place_title(shop, name) for name in _places(task)),
            people=task.people,
            mould=task.mould,
            stations=task.stations,
        )
        for nth, span in enumerate(task.spans):
            goes_on = " (goes on)" if nth else ""
            yield replace(
                event,
                uid=_uid(shop_key, *identity, nth),
                span=span,
                title=f"{event.title}{goes_on}",
            )


def identities(plan: Plan) -> tuple[tuple[object, ...], ...]:
    """Return what each task of a plan is, in the plan's order; no two are alike.

    A task is its operation done for the first of its members: that stays when it is moved,
    given to someone else or put on another mould, and when more is batched with it. Work on a
    mould for nobody's order is what it is and the pull it is done before, counted back.
    """
    pulls: dict[str, list[Task]] = {}
    for task in sorted(plan.tasks, key=lambda each: each.start):
        if task.mould and task.members:
            pulls.setdefault(task.mould, []).append(task)
    bare = [_of_members(task) or _of_mould(pulls, task) for task in plan.tasks]
    order = sorted(
        range(len(bare)), key=lambda at: (plan.tasks[at].start, plan.tasks[at].end), reverse=True
    )
    met: Counter[tuple[object, ...]] = Counter()
    found: list[tuple[object, ...]] = [()] * len(bare)
    for at in order:
        # The last of several alike is the first counted: those before it pass away first.
        found[at] = (*bare[at], met[bare[at]])
        met[bare[at]] += 1
    return tuple(found)


def _of_members(task: Task) -> tuple[object, ...]:
    firsts = [
        (member.order, kind, min(ids))
        for member in task.members
        for kind, ids in (("pull", member.pulls), ("part", member.parts))
        if ids
    ]
    named = [(member.order, "order", 0) for member in task.members]
    # A part's task names its pull too, which many parts may share.
    parts = [each for each in firsts if each[1] == "part"]
    first = min(parts or firsts or named, default=None)
    return () if first is None else ("task", task.process, task.part, task.operation, *first)


def _of_mould(pulls: Mapping[str, list[Task]], task: Task) -> tuple[object, ...]:
    later = (each for each in pulls.get(task.mould or "", ()) if each.start >= task.end)
    following = next(later, None)
    before = () if following is None else _of_members(following)[4:]
    return ("mould", task.process, task.operation, task.mould or "", *before)


def _places(task: Task) -> tuple[str, ...]:
    return (*((task.mould,) if task.mould else ()), *task.stations)


def _title(shop: Shop, task: Task) -> str:
    sold = shop.parts.get(task.part) or shop.sets.get(task.part)
    name = f"{task.operation[:1].upper()}{task.operation[1:]}"
    if not task.members:
        return f"{name}: {place_title(shop, task.mould)}" if task.mould else name
    return f"{name}: {sold.title if sold else task.part}"


def _notes(shop: Shop, task: Task) -> str:
    """Return the lines of a task: for which order, whose hands, in what room, what to mind."""
    lines = [_member(each.order, each.pulls, each.parts) for each in task.members]
    names = [shop.people[key].title if key in shop.people else key for key in task.people]
    lines.append(f"By {listed(names)}." if names else "Nobody's hands are needed.")
    if task.mixed_g:
        lines.append(f"Mix {task.mixed_g:.1f} g; the day sheet has the card.")
    if room := room_words(shop, task):
        lines.append(f"In {room}.")
    lines += [f"Caution: {words}" for words in cautions_of(shop, task)]
    return "\n".join(lines)


def _member(order: str, pulls: tuple[int, ...], parts: tuple[int, ...]) -> str:
    what = [
        f"{one if len(ids) == 1 else one + 's'} {', '.join(str(each) for each in sorted(ids))}"
        for one, ids in (("pull", pulls), ("part", parts))
        if ids
    ]
    return f"Order {order}{': ' if what else ''}{', '.join(what)}."


def _goings(key: str, shop: Shop, plan: Plan) -> Iterator[CalendarEvent]:
    """Yield what a person's sessions take before their first task and after their last."""
    met: Counter[tuple[str, str, str]] = Counter()
    for each in sorted(plan.sessions, key=lambda s: s.start):
        day = local(each.start, plan.zone).date().isoformat()
        identity = (each.session, each.person, day)
        for verb, span in _turns(each):
            if span[0] < span[1]:
                yield CalendarEvent(
                    uid=_uid(key, "session", verb, *identity, met[identity]),
                    span=span,
                    title=f"{verb}: {shop.sessions[each.session].title}"
                    if each.session in shop.sessions
                    else verb,
                    people=(each.person,),
                )
        met[identity] += 1


def _turns(each: WorkSession) -> tuple[tuple[str, tuple[int, int]], ...]:
    return (
        ("Gear up", (each.start, each.start + each.gear_up_min)),
        ("Clean down", (each.end - each.clean_down_min, each.end)),
    )


def _closures(key: str, shop: Shop) -> Iterator[CalendarEvent]:
    for first, after in runs_of(shop.hours.closed):
        yield CalendarEvent(
            uid=_uid(key, "closed", first.isoformat()),
            days=(first, after),
            title="Closed",
            notes=f"{shop.name} is closed.",
            for_all=True,
        )


def runs_of(days: Iterable[date]) -> tuple[tuple[date, date], ...]:
    """Return days that follow each other as one: its first day, and the day after its last."""
    found: list[tuple[date, date]] = []
    for day in sorted(set(days)):
        if found and found[-1][1] == day:
            found[-1] = (found[-1][0], day + timedelta(days=1))
        else:
            found.append((day, day + timedelta(days=1)))
    return tuple(found)


def _due_days(key: str, shop: Shop) -> Iterator[CalendarEvent]:
    """Yield the day of each open order: the shop's own date, whatever zone it is read in."""
    for order in shop.orders:
        if order.due is None:
            continue
        due = order.due.astimezone(ZoneInfo(shop.zone))
        sold = shop.parts.get(order.part) or shop.sets.get(order.part)
        yield CalendarEvent(
            uid=_uid(key, "due", order.number),
            days=(due.date(), due.date() + timedelta(days=1)),
            title=f"Order {order.number} is due: {order.quantity} x "
            f"{sold.title if sold else order.part}",
            notes=f"By {due:%H:%M}.",
            is_busy=False,
        )
