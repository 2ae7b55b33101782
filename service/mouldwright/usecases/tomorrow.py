"""A day at the bench on one page, in the order of the hands: demould before anything is loaded.

What is to be started before going home stands last, for it runs through the night.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, Task
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.day_sheet import (
    DayTask,
    bounds_of,
    last_goes,
    operation_of,
    whole_task,
)
from mouldwright.usecases.in_hand import InHand, in_hand, latest_starts
from mouldwright.usecases.promise_lists import read_plan
from mouldwright.usecases.services import Services

Hand = Literal["demould", "condition", "mix", "load", "oven", "other", "before going home"]
IN_ORDER: tuple[Hand, ...] = (
    *("demould", "condition", "mix", "load", "oven", "other", "before going home"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchTask:
    """A task of the day.

    Attributes:
        begin_by: The last minute it may begin at; None where nothing limits it.
        until: When what it starts is over, for what runs by itself after it; else None.
    """

    seen: DayTask
    begin_by: int | None
    until: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchPart:
    """Like work of the day."""

    hand: Hand
    tasks: tuple[BenchTask, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchDay:
    """A day at the bench.

    Attributes:
        parts: In the order of the hands; those without work are left out.
        opens: Minute at which the first comes; None where nobody does.
        closes: Minute at which the last goes.
        overnight: What runs or stands as the first comes.
        cautions: Of all that is done, each once.
    """

    day: date
    zone: str
    parts: tuple[BenchPart, ...]
    opens: int | None
    closes: int | None
    overnight: tuple[InHand, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchDayRead:
    """A day of a shop that is kept.

    Attributes:
        version: Of the plan.
        is_current: Whether the plan is of the shop and its orders as they are.
    """

    shop: Shop
    plan: Plan
    version: int
    is_current: bool
    found: BenchDay


def kept_bench_day(services: Services, shop: str, day: date | None) -> BenchDayRead:
    """Return a day by the plan that holds; the next with work where none is named.

    Raises:
        Unknown: if there is no such shop, or no plan.
    """
    read = read_plan(services.units, shop)
    kept = read_booked(services.units, shop, services.written).without()
    plan = read.kept.plan
    when = day or next_day(plan, minute_of(services.clock()))
    return BenchDayRead(
        shop=kept,
        plan=plan,
        version=read.kept.version,
        is_current=read.is_current,
        found=bench_day(kept, plan, when),
    )


def next_day(plan: Plan, now: int) -> date:
    """Return the next local day after today on which someone works, else the day after today."""
    midnight = bounds_of(local(now, plan.zone).date(), plan.zone)[1]
    starts = (t.start for t in plan.tasks if t.people and t.start >= midnight)
    return local(min(starts, default=midnight), plan.zone).date()


def bench_day(shop: Shop, plan: Plan, day: date) -> BenchDay:
    """Return a day of the plan in the order of the hands."""
    window = bounds_of(day, plan.zone)
    closes, limits = last_goes(shop, window), latest_starts(shop, plan)
    found: dict[Hand, list[BenchTask]] = {}
    order = sorted(range(len(plan.tasks)), key=lambda at: (plan.tasks[at].start, at))
    for place in order:
        task = plan.tasks[place]
        if not window[0] <= task.start < window[1] or not _takes_hands(shop, plan, task):
            continue
        following = _after(plan.tasks, task)
        until = None if following is None else following.end
        if until is not None and (closes is None or until <= closes):
            until = None
        each = BenchTask(
            seen=whole_task(shop, plan, place), begin_by=limits.get(place), until=until
        )
        found.setdefault(_hand(shop, task, following, until), []).append(each)
    tasks = [each for several in found.values() for each in several]
    opens = min(_comings(shop, window), default=None)
    return BenchDay(
        day=day,
        zone=plan.zone,
        parts=tuple(
            BenchPart(hand=hand, tasks=tuple(found[hand])) for hand in IN_ORDER if hand in found
        ),
        opens=opens,
        closes=closes,
        overnight=()
        if opens is None
        else tuple(each for each in in_hand(shop, plan, opens) if _since_before(each, opens)),
        cautions=tuple(dict.fromkeys(words for each in tasks for words in each.seen.cautions)),
    )


def _since_before(each: InHand, opens: int) -> bool:
    return each.task.start < opens and not each.is_attended


def _comings(shop: Shop, window: tuple[int, int]) -> Iterator[int]:
    for person in shop.people.values():
        yield from (start for start, _ in shop.hours_of(person).windows(*window))


def _takes_hands(shop: Shop, plan: Plan, task: Task) -> bool:
    """Return whether it takes someone: an oven is loaded, though nobody is planned for it."""
    if task.people:
        return True
    if not _is_hot(shop, task):
        return False
    mine = _works(task)
    before = (each for each in plan.tasks if each.end == task.start and each.people)
    return not any(mine & _works(each) for each in before)


def _hand(shop: Shop, task: Task, following: Task | None, until: int | None) -> Hand:
    """Return what kind of work a task is."""
    process = shop.processes.get(task.process)
    if not task.members:
        return "condition"
    if task.mixed_g:
        return "mix"
    holds = [hold for hold in process.holds if hold.resource == "mould"] if process else []
    if any(task.operation == hold.last for hold in holds):
        return "demould"
    if _is_hot(shop, task) or (following is not None and _is_hot(shop, following)):
        return "oven"
    if until is not None and not task.mould:
        return "before going home"
    return "load" if task.mould else "other"


def _is_hot(shop: Shop, task: Task) -> bool:
    operation = operation_of(shop, task)
    return operation is not None and operation.heat is not None


def _after(tasks: Sequence[Task], task: Task) -> Task | None:
    """Return what runs by itself straight after a task, on the same pulls or parts."""
    if not task.people:
        return None
    mine = _works(task)
    later = (each for each in tasks if each.start == task.end and not each.people)
    return next((each for each in later if mine & _works(each)), None)


def _works(task: Task) -> set[tuple[str, str, int]]:
    return {
        (member.order, kind, each)
        for member in task.members
        for kind, ids in (("pull", member.pulls), ("part", member.parts))
        for each in ids
    }
