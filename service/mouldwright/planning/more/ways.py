"""Other ways to take one order: another mould, a closed morning opened, another process."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from mouldwright.domain.hours.opening import DayTimes, OpeningHours, instant_of, local
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.gains import OptionKind
from mouldwright.planning.more.changes import families_in_use, mould_change

# What a morning is no longer than; common practice, no source.
MORNING_MIN = 240
# No closed day further ahead than this is offered.
_LOOKED_AHEAD_DAYS = 370


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A shop that takes one order in another way.

    Attributes:
        shop: With the order in it.
        process: The process the order is made by then; None for a set.
        cost: What it costs once, whatever the plan; None where that is not known.
        by_hours: Whether it costs the hours worked in what was closed before.
    """

    key: str
    kind: OptionKind
    title: str
    note: str
    shop: Shop
    process: str | None
    cost: Fraction | None = None
    cost_words: str = ""
    by_hours: bool = False


def ways_of(
    shop: Shop, order: Order, processes: Sequence[str], *, now: int, finish: int
) -> tuple[Way, ...]:
    """Return the ways to take an order otherwise that are worth a plan.

    Args:
        shop: With the order in it.
        order: The order.
        processes: Keys of the other processes that may make its part.
        now: Minutes since the epoch.
        finish: Minute it is ready as asked.
    """
    return (
        *_moulds(shop, order),
        *_openings(shop, order, now=now, finish=finish),
        *_processes(shop, order, processes),
    )


def _moulds(shop: Shop, order: Order) -> Iterator[Way]:
    for family in families_in_use(replace(shop, orders=(order,))):
        change = mould_change(shop, family)
        yield Way(
            key=change.key,
            kind="mould",
            title=change.title,
            note=change.note,
            shop=change.shop,
            process=order.process,
            cost=change.cost,
            cost_words=f"{change.cost_words}, which stays",
        )


def _openings(shop: Shop, order: Order, *, now: int, finish: int) -> Iterator[Way]:
    """Yield the morning of the next closed day, and of the last one before the order is ready.

    Who has hours of their own and is not in then comes in as well.
    """
    if not shop.hours.ever_open:
        return
    morning = _morning(shop.hours)
    closed = list(_closed_days(shop.hours, morning, now=now, until=finish))
    for day in dict.fromkeys((*closed[:1], *closed[-1:])):
        hours = replace(shop.hours, one_off={**shop.hours.one_off, day: morning})
        people = {
            key: replace(person, comes_in={**person.comes_in, day: morning})
            for key, person in shop.people.items()
            if person.weekly is not None and not person.weekly[day.weekday()]
        }
        titles = ", ".join(person.title for person in people.values())
        too = f", and {titles}, with hours of their own" if people else ""
        yield Way(
            key=f"opening {day.isoformat()}",
            kind="opening",
            title=f"opening on {day:%A} {day.day} {day:%B} from {_clock(morning[0][0])} "
            f"to {_clock(morning[0][1])}",
            note=f"all who keep the shop's hours would be in{too}",
            shop=replace(shop, hours=hours, people={**shop.people, **people}),
            process=order.process,
            cost_words="the hours worked in it, at what an hour costs, overhead with it",
            by_hours=True,
        )


def _morning(hours: OpeningHours) -> DayTimes:
    opens, closes = min(min(day) for day in hours.weekly if day)
    return ((opens, min(closes, opens + MORNING_MIN)),)


def _closed_days(hours: OpeningHours, morning: DayTimes, *, now: int, until: int) -> Iterator[date]:
    """Yield the days the week leaves closed, until a minute: Saturdays, else all there are.

    A date that is closed for itself stays so.
    """
    resting = [day for day in range(7) if not hours.weekly[day]]
    wanted = {5} if 5 in resting else set(resting)
    day, last = local(now, hours.zone).date(), local(until, hours.zone).date()
    last = min(last, day + timedelta(days=_LOOKED_AHEAD_DAYS))
    while day <= last:
        free = day.weekday() in wanted and day not in hours.closed and day not in hours.one_off
        if free and instant_of(day, morning[0][0], hours.zone) >= now:
            yield day
        day += timedelta(days=1)


def _processes(shop: Shop, order: Order, processes: Sequence[str]) -> Iterator[Way]:
    for key in processes:
        others = tuple(each for each in shop.orders if each.number != order.number)
        yield Way(
            key=f"process {key}",
            kind="process",
            title=f"{shop.processes[key].title} in place of {shop.process(order.process).title}"
            if order.process is not None
            else shop.processes[key].title,
            note="another process makes another part: ask whether it will do",
            shop=replace(shop, orders=(*others, replace(order, process=key))),
            process=key,
            cost_words="what it costs to make so, less what it costs as asked",
        )


def _clock(minute: int) -> str:
    return f"{minute // 60:02d}:{minute % 60:02d}"
