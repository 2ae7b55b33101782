"""One task of the board opened, as its page and its dialog show it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from mouldwright.domain.place_titles import place_title
from mouldwright.domain.quote import in_words
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import lasting, listed
from mouldwright.planning.plan import OrderOutcome, Plan, Task
from mouldwright.usecases.board import Move, Verdict
from mouldwright.usecases.day_sheet import cautions_of, operation_of, room_words, whole_task
from mouldwright.usecases.task_facts import Cause, TaskFacts
from mouldwright.web.view_models.day_sheet import MixView, mix_view
from mouldwright.web.words import at_minute, moment

# What work on a mould for nobody's order is for.
_MOULD_WORK = {
    "upkeep": "it keeps the mould fit",
    "making": "it makes the mould",
    "proof": "it proves the mould and is not sold",
}

_CAUSES = {
    "step": "the step before",
    "mould": "the pull before on {}",
    "station": "the work before on {}",
    "person": "what {} does before",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskView:
    """A task opened.

    Attributes:
        key: "t12", as the board has it.
        facts: Name and value, in order.
        orders: Numbers of its orders.
        after: What it comes after: words, key of that task, and how long after in words.
        next: Key of the next step of its pull; empty where there is none.
        waits: How long its pull then stands, in words.
        start: Its local start as a field holds it: 2027-03-04T10:40.
        with_rest: Whether what follows is to move along.
        moulds: Moulds it could be moved to.
        people: Key, name, and whether they do it.
        has_hands: Whether people are needed.
        may_move: Whether it is of an order; upkeep goes with its mould.
    """

    key: str
    title: str
    when: str
    facts: tuple[tuple[str, str], ...]
    orders: tuple[str, ...]
    mix: MixView | None
    cautions: tuple[str, ...]
    after: tuple[tuple[str, str, str], ...]
    next: str
    next_words: str
    waits: str
    start: str
    with_rest: bool
    mould: str
    moulds: tuple[tuple[str, str], ...]
    people: tuple[tuple[str, str, bool], ...]
    has_hands: bool
    may_move: bool


def task_view(shop: Shop, plan: Plan, facts: TaskFacts, move: Move | None = None) -> TaskView:
    """Return the view of a task; its form holds a move that was tried, else how it stands."""
    task = facts.task
    zone = plan.zone
    family = next(
        (f for f in shop.moulds.values() if task.mould and task.mould.rpartition(" ")[0] == f.key),
        None,
    )
    of_family = [] if family is None else [family.name(mould) for mould in family.moulds]
    doing = task.people if move is None or move.people is None else move.people
    following = None if facts.before is None else plan.tasks[facts.before]
    return TaskView(
        key=f"t{facts.place}",
        title=task_title(shop, task),
        when=when_of(task, zone),
        facts=tuple(_facts(shop, plan, task)),
        orders=tuple(dict.fromkeys(member.order for member in task.members)),
        mix=mix_view(shop, zone, whole_task(shop, plan, facts.place)),
        cautions=tuple(in_words(caution) for caution in cautions_of(shop, task)),
        after=tuple(_cause(shop, plan, cause) for cause in facts.after),
        next="" if facts.before is None else f"t{facts.before}",
        next_words="" if following is None else f"{following.operation}, {_from(following, zone)}",
        waits=lasting(facts.stands_min) if facts.stands_min else "",
        start=field_time(task.start if move is None else move.start, zone),
        with_rest=move is not None and move.with_rest,
        mould=(move.mould if move else None) or task.mould or "",
        moulds=tuple((name, place_title(shop, name)) for name in of_family),
        people=tuple(
            (person.key, person.title, person.key in doing) for person in shop.people.values()
        ),
        has_hands=bool(task.people),
        may_move=bool(task.members),
    )


def field_time(minute: int, zone: str) -> str:
    """Return a minute as a field for date and time holds it."""
    return f"{at_minute(minute, zone):%Y-%m-%dT%H:%M}"


def task_title(shop: Shop, task: Task) -> str:
    """Return what a task is: "Load, stabiliser foil"."""
    part = shop.parts.get(task.part) or shop.sets.get(task.part)
    name = task.operation.capitalize()
    return f"{name}, {part.title.lower()}" if part else name


def when_of(task: Task, zone: str) -> str:
    """Return from when to when, the day said once where both are on it."""
    start, end = at_minute(task.start, zone), at_minute(task.end, zone)
    last = end if end.date() == start.date() else None
    if last is None and end - start < timedelta(hours=12) and end.hour == 0 and end.minute == 0:
        last = end
    return f"{moment(start)} to {f'{end:%H:%M}' if last else moment(end)}"


def _from(task: Task, zone: str) -> str:
    return f"from {moment(at_minute(task.start, zone))}"


def _facts(shop: Shop, plan: Plan, task: Task) -> list[tuple[str, str]]:
    zone = plan.zone
    worked = sum(b - a for a, b in task.spans)
    found = [("When", f"{when_of(task, zone)}, {lasting(worked)}")]
    if len(task.spans) > 1:
        pauses = "; ".join(
            f"{moment(at_minute(a, zone))} to {at_minute(b, zone):%H:%M}" for a, b in task.spans
        )
        found.append(("Worked", pauses))
    names = [shop.people[key].title if key in shop.people else key for key in task.people]
    found.append(("Who", listed(names) if names else "nobody needed"))
    for member in task.members:
        what = f"order {member.order}"
        if member.pulls:
            what += f", {'pull' if len(member.pulls) == 1 else 'pulls'} {_listed(member.pulls)}"
        if member.parts:
            what += f", {'part' if len(member.parts) == 1 else 'parts'} {_listed(member.parts)}"
        found.append(("Of", what))
    if not task.members:
        work = shop.mould_work(task.process, task.operation, task.mould or "")
        found.append(("Of", f"no order: {_MOULD_WORK[work]}"))
    process = shop.processes.get(task.process)
    found.append(("Made by", process.title if process else task.process))
    if task.mould:
        found.append(("Mould", place_title(shop, task.mould)))
    if task.stations:
        takes = ", ".join(place_title(shop, name) for name in task.stations)
        found.append(("Takes", takes))
    room = room_words(shop, task)
    if room:
        found.append(("Room", room))
    found += [("Session", words) for words in _sessions(shop, plan, task)]
    return found


def _sessions(shop: Shop, plan: Plan, task: Task) -> Iterator[str]:
    """Yield the sessions a task is of: who gears up when, and is out again by when."""
    for each in plan.sessions:
        inside = each.start <= task.start and task.end <= each.end
        operation = operation_of(shop, task)
        mine = shop.session_of(operation) if operation else None
        if each.person in task.people and inside and mine and mine.key == each.session:
            who = shop.people[each.person].title if each.person in shop.people else each.person
            start, end = at_minute(each.start, plan.zone), at_minute(each.end, plan.zone)
            yield f"{mine.title}: {who} gears up {start:%H:%M}, cleaned down {end:%H:%M}"


def _listed(ids: tuple[int, ...]) -> str:
    if len(ids) > 2 and ids[-1] - ids[0] == len(ids) - 1:
        return f"{ids[0]} to {ids[-1]}"
    return ", ".join(map(str, ids))


def _cause(shop: Shop, plan: Plan, cause: Cause) -> tuple[str, str, str]:
    name = shop.people[cause.key].title if cause.key in shop.people else cause.key
    other = plan.tasks[cause.place]
    words = f"{_CAUSES[cause.what].format(name)}: {other.operation}"
    if other.members:
        words += f" of {listed(list(dict.fromkeys(m.order for m in other.members)))}"
    how = "as it ends" if cause.since_min == 0 else f"{lasting(cause.since_min)} after it ends"
    return words, f"t{cause.place}", how


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictView:
    """What a move does, in words.

    Attributes:
        title: Where it would stand.
        breaks: Every rule it breaks.
        more: How many more it breaks than are shown.
        orders: What it does to orders.
        along: How many tasks move with it.
    """

    title: str
    breaks: tuple[str, ...]
    more: int
    orders: tuple[str, ...]
    along: int


MOST_BREAKS = 8


def verdict_view(shop: Shop, plan: Plan, move: Move, verdict: Verdict) -> VerdictView:
    """Return a verdict in words."""
    moved = verdict.moved[0]
    return VerdictView(
        title=f"{moved.operation.capitalize()}, {when_of(moved, plan.zone)}",
        breaks=tuple(_sentence(words) for words in verdict.breaks[:MOST_BREAKS]),
        more=max(0, len(verdict.breaks) - MOST_BREAKS),
        orders=tuple(_order(before, after, plan.zone) for before, after in verdict.orders),
        along=len(verdict.moved) - 1,
    )


def _sentence(words: str) -> str:
    return words[0].upper() + words[1:] + ("" if words.endswith(".") else ".")


def _order(before: OrderOutcome, after: OrderOutcome, zone: str) -> str:
    later = after.finish - before.finish
    ready = moment(at_minute(after.finish, zone))
    words = f"Order {after.number} ready {ready}, {lasting(abs(later))} "
    words += "later" if later > 0 else "sooner"
    if after.late_min:
        return f"{words}: late by {lasting(after.late_min)}."
    return f"{words}; still in time." if after.due is not None else f"{words}."
