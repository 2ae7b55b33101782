"""The same months without the wire: quotes, plans and log by the use cases themselves.

A month over HTTP takes most of its time for requests, and two hundred of them half a day. Here
the same orders are promised, planned, lived and noted, and every plan is bounded in work, so that
a seed gives the same month on any machine.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from random import Random

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.order import Order
from mouldwright.domain.promise.revision import day_promised_ends
from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember, LoggedTask
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.planning.replan import replan
from mouldwright.planning.run import make_plan
from mouldwright.usecases.held import Held
from mouldwright.usecases.planned import finish_on_top
from mouldwright.wire.answers.plan import MemberAnswer, TaskAnswer, task_answers

from .life import Life, Told
from .live import DAY, Course, Month, Promise
from .mishaps import Mishaps

# Plans built each morning at most.
_TRIES = 12


@dataclass
class Bench:
    """A shop with its orders and its log as they are by now.

    Attributes:
        bare: With neither.
        through: By order, when each of its parts was through its last operation.
        bad: By order, its parts that are no good.
    """

    bare: Shop
    orders: list[Order] = field(default_factory=list)
    log: list[LogEntry] = field(default_factory=list)
    held: Plan | None = None
    through: dict[str, dict[int, int]] = field(default_factory=dict)
    bad: dict[str, set[int]] = field(default_factory=dict)

    @property
    def shop(self) -> Shop:
        """Return it as a shop."""
        return replace(self.bare, orders=tuple(self.orders), log=tuple(self.log))

    def ready(self, number: str) -> int | None:
        """Return the minute an order's last wanted good part was through; None until then."""
        order = next(order for order in self.orders if order.number == number)
        bad = self.bad.get(number, set())
        good = sorted(at for part, at in self.through.get(number, {}).items() if part not in bad)
        return good[order.quantity - 1] if len(good) >= order.quantity else None


def live_within(shop: Shop, course: Course, seed: int) -> Month:
    """Live a month without rough mishaps; the shop's processes end with work on single parts."""
    if shop.start is None:
        raise ValueError("a month begins at the start of a shop")
    bench, found = Bench(bare=shop), Month()
    life = Life(shop, Mishaps(shop, Random(seed), rough=False), course.by_clock)
    first, ahead = minute_of(shop.start), list[Told]()
    for day in range(course.days):
        now = first + day * DAY
        _accept(bench, course, day, now, found)
        told = [*ahead, *live_day(bench, life, now)]
        ahead = [each for each in told if each.minute >= now + DAY]
        note(bench, sorted((t for t in told if t.minute < now + DAY), key=when_told), found)
        found.days += 1
        for promise in found.promises:
            promise.ready = bench.ready(promise.order)
        to_come = any(when > day for *_, when in course.enquiries)
        if not to_come and all(promise.ready is not None for promise in found.promises):
            break
    found.passed = life.passed
    return found


def _accept(bench: Bench, course: Course, day: int, now: int, found: Month) -> None:
    for part, process, quantity, when in course.enquiries:
        if when != day:
            continue
        held = Held(plan=bench.held)
        ready = finish_on_top(bench.shop, part, process, quantity, now, held)
        number = f"Q{len(bench.orders) + 1}"
        due = local(day_promised_ends(bench.bare, ready.finish), bench.bare.zone)
        order = Order(number=number, part=part, process=process, quantity=quantity, due=due)
        bench.orders.append(order)
        found.promises.append(Promise(number, now, ready.finish))


def live_day(bench: Bench, life: Life, now: int) -> list[Told]:
    """Plan a day anew and live it; return what happened, some of it the day after."""
    if not bench.orders:
        return []
    if bench.held is None:
        bench.held = make_plan(bench.shop, now=now, seconds=math.inf, work_limit=_TRIES)
    else:
        found = replan(bench.shop, bench.held, now=now, seconds=math.inf, work_limit=_TRIES)
        bench.held = found.plan
    return life.day(task_answers(bench.held.tasks, bench.held.zone), now, now + DAY)


def note(bench: Bench, told: Iterable[Told], found: Month) -> None:
    """Note what happened in a bench's log."""
    for each in told:
        at = datetime.fromtimestamp(each.minute * 60, UTC)
        entry = LogEntry(
            number=len(bench.log) + 1,
            what=Happening(each.what),
            at=at,
            noted_at=at,
            people=(each.person,) if each.person else tuple(each.task.people if each.task else ()),
            task=None if each.task is None else _task(each.task),
            members=_members(each.members),
            mould=each.mould,
            until=None if each.until is None else at + timedelta(minutes=each.until - each.minute),
            cause=each.cause,
        )
        bench.log.append(entry)
        found.told[each.what] = found.told.get(each.what, 0) + 1
        found.tasks += each.what == "started"
        if each.task is None:
            continue
        process = bench.bare.processes.get(each.task.process)
        last = None if process is None else process.operations[-1].name
        for member in each.members if each.what == "scrapped" else each.task.members:
            if each.what == "scrapped":
                bench.bad.setdefault(member.order, set()).update(member.parts)
            elif each.what == "finished" and each.task.operation == last:
                through = bench.through.setdefault(member.order, {})
                through.update(dict.fromkeys(member.parts, each.minute))


def _task(task: TaskAnswer) -> LoggedTask:
    return LoggedTask(
        operation=task.operation,
        process=task.process,
        part=task.part,
        mould=task.mould,
        stations=tuple(task.stations),
        members=_members(task.members),
    )


def _members(members: Iterable[MemberAnswer]) -> tuple[LoggedMember, ...]:
    return tuple(
        LoggedMember(order=m.order, pulls=tuple(m.pulls), parts=tuple(m.parts)) for m in members
    )


def when_told(told: Told) -> tuple[int, bool]:
    """Return what to sort by: what ends is told before what begins in the same minute."""
    return told.minute, told.what == "started"
