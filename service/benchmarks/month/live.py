"""Lives a month: each morning a plan, each day its work and its mishaps, each evening the log."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from random import Random

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.shop import Shop
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.wire.answers.plan import TaskAnswer
from mouldwright.wire.log import LoggedMember, LoggedTask
from mouldwright.wire.service.log import NoteAsk

from .house import House, open_house
from .life import Life, Told
from .mishaps import Mishaps
from .reading import minute
from .watch import watch

DAY = 1440
Say = Callable[[str], None]


@dataclass
class Promise:
    """A date given at acceptance.

    Attributes:
        ready: Minute the order was ready; None while it is not.
    """

    order: str
    given: int
    promised: int
    ready: int | None = None


@dataclass
class Month:
    """What came of a month."""

    promises: list[Promise] = field(default_factory=list)
    days: int = 0
    told: dict[str, int] = field(default_factory=dict)
    moved: int = 0
    tasks: int = 0
    pulls: int = 0
    passed: int = 0


@dataclass(frozen=True, kw_only=True)
class Course:
    """How a month is to go.

    Attributes:
        days: Calendar days lived.
        seconds: How long each morning's plan is looked for.
        rough: See ``mishaps.Mishaps``.
        by_clock: See ``life.Life``.
        enquiries: Part, process, quantity and the day, from 0, on which it is accepted.
        every: Days between two looks through the whole log.
        stops_when_ready: Whether the month is over once all that was promised is ready.
    """

    days: int = 28
    seconds: float = 0.2
    rough: bool = True
    by_clock: bool = False
    enquiries: tuple[tuple[str, str, int, int], ...] = ()
    every: int = 7
    stops_when_ready: bool = False


def live(shop: Shop, course: Course, seed: int, say: Say) -> Month:
    """Live a month at a shop.

    Raises:
        Broken: if something that must hold does not.
    """
    if shop.start is None:
        raise ValueError("a month begins at the start of a shop")
    found = Month()
    # What is drawn apart is the seed's, however the work is planned.
    apart = {kind: Random(f"{seed} {kind}") for kind in ("illness", "delivery", "mould")}
    life = Life(shop, Mishaps(shop, Random(seed), course.rough, apart), course.by_clock)
    with open_house(KeptScenarios().toml(shop), shop.start) as house:
        ahead: list[Told] = []
        for day in range(course.days):
            _accept(house, course, day, found)
            ahead = _day(house, shop, life, course, found, ahead, say)
            found.days += 1
            over = course.stops_when_ready and _is_over(course, day, found)
            if over or (day + 1) % course.every == 0 or day + 1 == course.days:
                found.tasks, found.pulls = watch(house.shop, shop)
            if over:
                break
    found.passed = life.passed
    return found


def _accept(house: House, course: Course, day: int, found: Month) -> None:
    for part, process, quantity, when in course.enquiries:
        if when != day:
            continue
        quote = house.shop.quotes.make(part, quantity, process=process, customer="an invented one")
        accepted = house.shop.quotes.accept(house.shop.quotes.send(quote))
        finish = quote.value.quote.finish
        if finish is not None:
            found.promises.append(
                Promise(
                    accepted.order.number,
                    minute_of(house.clock()),
                    minute(finish),
                )
            )


def _day(
    house: House,
    shop: Shop,
    life: Life,
    course: Course,
    found: Month,
    ahead: list[Told],
    say: Say,
) -> list[Told]:
    """Live from now to the same time tomorrow; return what is told only later."""
    now = minute_of(house.clock())
    until = now + DAY
    ill = [
        life.ill(person, now, until)
        for person in shop.people
        if any(a < until for a, _ in life.open_hours(person, now, until)) and life.mishaps.is_ill()
    ]
    _tell(house, [t for t in (*ahead, *ill) if t.minute <= now], found)
    _late_deliveries(house, life.mishaps, found)
    for waits in house.shop.runs.list():
        # What the log and the orders asked for would be looked for ten seconds long.
        if waits.state == "waiting":
            house.shop.runs.cancel(waits.id)
    asked = house.shop.runs.start(seconds=course.seconds)
    house.work()
    run = house.shop.runs.read(asked.value.id).value
    if run.state != "done":
        raise RuntimeError(f"the plan of {house.clock():%a %d %b} ended as {run.state}: {run}")
    plan = house.shop.plan.read().value.plan
    told = life.day(plan.tasks, now, until)
    due = sorted((t for t in (*ahead, *told) if now < t.minute < until), key=_when)
    _tell(house, [t for t in told if t.minute <= now], found)
    _tell(house, due, found)
    house.clock.now = shop.start + timedelta(minutes=until - minute_of(shop.start))  # type: ignore[operator]  # checked above
    _look_ready(house, found)
    bad = [t.what for t in (*due, *ill) if t.what not in {"started", "finished"}]
    say(
        f"{local(now, shop.zone):%a %d %b}  {sum(t.what == 'finished' for t in due):3d} done"
        + (f"; {', '.join(bad)}" if bad else "")
    )
    return [t for t in (*ahead, *told) if t.minute >= until]


def _is_over(course: Course, day: int, found: Month) -> bool:
    to_come = any(when > day for *_, when in course.enquiries)
    return not to_come and all(p.ready is not None for p in found.promises)


def _when(told: Told) -> tuple[int, bool]:
    # What ends is told before what begins in the same minute.
    return told.minute, told.what == "started"


def _tell(house: House, told: list[Told], found: Month) -> None:
    for each in sorted(told, key=_when):
        at = house.clock.now + timedelta(minutes=each.minute - minute_of(house.clock.now))
        house.clock.now = max(house.clock.now, at)
        people = [each.person] if each.person else (each.task.people if each.task else [])
        house.shop.log.note(
            NoteAsk(
                what=each.what,  # type: ignore[arg-type]  # one of those the service takes
                at=at,
                people=people,
                task=None if each.task is None else _task(each.task),
                members=[
                    LoggedMember(order=m.order, pulls=m.pulls, parts=m.parts) for m in each.members
                ],
                mould=each.mould,
                until=None
                if each.until is None
                else at + timedelta(minutes=each.until - each.minute),
                cause=each.cause,
            )
        )
        found.told[each.what] = found.told.get(each.what, 0) + 1


def _task(task: TaskAnswer) -> LoggedTask:
    return LoggedTask(
        operation=task.operation,
        process=task.process,
        part=task.part,
        mould=task.mould,
        stations=task.stations,
        members=[LoggedMember(order=m.order, pulls=m.pulls, parts=m.parts) for m in task.members],
    )


def _late_deliveries(house: House, mishaps: Mishaps, found: Month) -> None:
    late = mishaps.late_delivery()
    if late is None:
        return
    material, days = late
    house.shop.log.note(
        NoteAsk(
            what="delivery late",
            at=house.clock.now,
            material=material,
            until=house.clock.now + timedelta(days=days),
        )
    )
    found.told["delivery late"] = found.told.get("delivery late", 0) + 1


def _look_ready(house: House, found: Month) -> None:
    """Note which promised orders are through: all their good parts are there."""
    for promise in found.promises:
        if promise.ready is None:
            promise.ready = _ready(house, promise.order)


def _ready(house: House, number: str) -> int | None:
    """Return the minute an order's last wanted good part was through; None while it is not."""
    wanted = house.shop.orders.read(number).value.quantity
    good = [p.serial for p in house.shop.ledgers.parts(order=number).parts if p.stands == "good"]
    if len(good) < wanted:
        return None
    traces = [house.shop.ledgers.part(serial) for serial in good]
    through = sorted(max(minute_of(s.ended) for s in t.steps if s.ended) for t in traces)
    return through[wanted - 1]
