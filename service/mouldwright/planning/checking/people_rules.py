"""Rules about people and hours: who may, when, how many, and never two things at once."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from itertools import pairwise
from math import ceil
from zoneinfo import ZoneInfo

from mouldwright.domain.process.heat import Heat
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Person, Shop
from mouldwright.planning.checking.ledger import Ledger
from mouldwright.planning.checking.warmth_rules import judge_cure, sets_by_warmth
from mouldwright.planning.plan import Task

Span = tuple[int, int]


def open_spans(shop: Shop, who: Person | None, first: int, last: int) -> list[Span]:
    """Return when a person (or the shop) is in, worked out minute by local minute of each day.

    Own hours replace the shop's week and its one-off openings, but for dates on which somebody is
    supposed to come in; closed dates bind all.
    """
    zone = ZoneInfo(shop.hours.zone)
    own = who.weekly if who is not None else None
    day: date = datetime.fromtimestamp(first * 60, zone).date() - timedelta(days=2)
    end: date = datetime.fromtimestamp(last * 60, zone).date() + timedelta(days=1)
    spans: list[Span] = []
    while day <= end:
        if day not in shop.hours.closed:
            times = (own or shop.hours.weekly)[day.weekday()]
            if own is None and day in shop.hours.one_off:
                times = shop.hours.one_off[day]
            if who is not None and own is not None and day in who.comes_in:
                times = who.comes_in[day]
            for opens, closes in times:
                spans.append((_utc_minute(day, opens, zone, 0), _utc_minute(day, closes, zone, 1)))
        day += timedelta(days=1)
    return _joined(spans)


def _utc_minute(day: date, minute: int, zone: ZoneInfo, fold: int) -> int:
    wall = datetime(day.year, day.month, day.day) + timedelta(minutes=minute)
    first = wall.replace(tzinfo=zone, fold=0)
    second = wall.replace(tzinfo=zone, fold=1)
    # Offsets that differ mean the time comes twice (later offset smaller) or not at all.
    twice = first.utcoffset() != second.utcoffset() and (
        (first.utcoffset() or timedelta()) > (second.utcoffset() or timedelta())
    )
    chosen = second if fold and twice else first
    return int(chosen.astimezone(UTC).timestamp()) // 60


def _joined(spans: list[Span]) -> list[Span]:
    found: list[Span] = []
    for start, end in sorted(spans):
        if start >= end:
            continue
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((start, end))
    return found


def _shared(spans: list[list[Span]]) -> list[Span]:
    """Return when all of them are open at once."""
    common = spans[0]
    for other in spans[1:]:
        merged = []
        for a, b in common:
            at = max(bisect_right(other, (a, 1 << 60)) - 1, 0)
            while at < len(other) and other[at][0] < b:
                start, end = max(a, other[at][0]), min(b, other[at][1])
                if start < end:
                    merged.append((start, end))
                at += 1
        common = merged
    return common


class Presence:
    """Who is in when, worked out once a person over the plan's whole length."""

    def __init__(self, ledger: Ledger) -> None:
        """Look from the plan's now to its last end."""
        tasks = ledger.plan.tasks
        self._first = min([ledger.plan.now, *(task.start for task in tasks)]) - 1440
        self._last = max([ledger.plan.now, *(task.end for task in tasks)]) + 1440
        self._shop = ledger.shop
        self._away = ledger.told.away
        self._known: dict[tuple[str, ...], list[Span]] = {}

    def of(self, people: tuple[str, ...]) -> list[Span]:
        """Return when all of those people are in together."""
        key = tuple(sorted(people))
        if key not in self._known:
            self._known[key] = _shared([self._in(person) for person in key])
        return self._known[key]

    def _in(self, person: str) -> list[Span]:
        """Return when someone is in: in their hours, and not away as the log tells."""
        spans = open_spans(self._shop, self._shop.people[person], self._first, self._last)
        for left, back in self._away.get(person, ()):
            spans = [
                (a, b)
                for start, end in spans
                for a, b in ((start, min(end, left)), (max(start, back), end))
                if a < b
            ]
        return spans


def judge_people(ledger: Ledger) -> None:
    """Add every complaint about people, hours and pauses."""
    presence = Presence(ledger)
    busy: dict[str, list[Task]] = defaultdict(list)
    for task in ledger.plan.tasks:
        operation = ledger.operation(task)
        if operation is None:
            continue
        wanted = operation.people if operation.attended else 0
        was = ledger.is_history(task)
        if (len(set(task.people)) != wanted or len(task.people) != wanted) and not was:
            ledger.complaints.append(
                f"{ledger.what(task)} has {len(set(task.people))} people, not {wanted}"
            )
        strangers = [p for p in task.people if p not in ledger.shop.people]
        if strangers:
            ledger.complaints.append(f"{ledger.what(task)} names {strangers[0]}, who is not here")
            continue
        for person in task.people:
            if task.start < task.end:
                busy[person].append(task)
            known = ledger.shop.people[person].skills
            if operation.skill and operation.skill not in known and not was:
                ledger.complaints.append(
                    f"{ledger.what(task)}: {person} has not the skill {operation.skill}"
                )
        if not ledger.is_running(task):
            if task.people:
                pauses = operation.interruptible and not _in_session(ledger, operation)
                _in_hours(ledger, task, presence.of(task.people), pauses)
            elif len(task.spans) != 1:
                ledger.complaints.append(f"{ledger.what(task)} pauses and is unattended")
            _length(ledger, task, operation)
    for person, tasks in busy.items():
        tasks.sort(key=lambda task: (task.start, task.end))
        for earlier, later in pairwise(tasks):
            both = ledger.is_history(earlier) and ledger.is_history(later)
            if later.start < earlier.end and not both:
                ledger.complaints.append(
                    f"{person} is in two places: {ledger.what(earlier)} and {ledger.what(later)}"
                )


def _in_hours(ledger: Ledger, task: Task, spans: list[Span], interruptible: bool) -> None:
    """Judge that work lies in open time, and pauses only and exactly when it closes."""
    if not interruptible and len(task.spans) != 1:
        ledger.complaints.append(f"{ledger.what(task)} pauses and may not")
        return
    for start, end in task.spans:
        at = bisect_right(spans, (start, 1 << 60)) - 1
        if at < 0 or end > spans[at][1] or start < spans[at][0]:
            ledger.complaints.append(
                f"{ledger.what(task)} is worked outside the hours of {', '.join(task.people)}"
            )
            return
    for (_, paused), (resumed, _) in pairwise(task.spans):
        closing = any(close == paused for _, close in spans)
        reopening = min((opens for opens, _ in spans if opens >= paused), default=None)
        if not closing or resumed != reopening:
            ledger.complaints.append(
                f"{ledger.what(task)} pauses at {ledger.at(paused)} and resumes at "
                f"{ledger.at(resumed)}, which is not as hours close and reopen"
            )


def _in_session(ledger: Ledger, operation: Operation) -> bool:
    """Return whether an operation is work one gears up for: it does not pause."""
    where = (operation.in_room, operation.room_state)
    return any(
        operation.skill == s.skill if s.skill else where == (s.in_room, s.room_state)
        for s in ledger.shop.sessions.values()
    )


def _heated(heat: Heat) -> int:
    """Return the whole minutes of a post-cure: up at its ramp, held, and down again."""
    rise = Fraction(heat.hold_c) - Fraction(heat.from_c)
    hours = rise / Fraction(heat.ramp_c_per_h)
    hours += rise / Fraction(heat.cool_c_per_h or heat.ramp_c_per_h)
    return ceil(hours * 60 + Fraction(heat.hold_min))


def _length(ledger: Ledger, task: Task, operation: Operation) -> None:
    """Judge how long a task lasts: fixed minutes and those for each of its members."""
    members = 1
    if operation.per == "conditioning":
        family = ledger.family(task.mould)
        members = family.cavities if family is not None else 1
    elif operation.per != "part":
        members = sum(
            ledger.going_on(chain) if operation.per == "order" else chain.members(pulls, parts)
            for chain, pulls, parts in ledger.chains_of(task)
        )
    exact = operation.fixed_min + operation.each_min * members
    whole = int(-(-exact // 1))
    if operation.heat is not None:
        whole = _heated(operation.heat)
    if sets_by_warmth(ledger.shop, operation.cures):
        judge_cure(ledger, task, operation, members)
        return
    worked = sum(end - start for start, end in task.spans)
    if worked != whole:
        ledger.complain(task, f"lasts {worked} min, not {whole}")
