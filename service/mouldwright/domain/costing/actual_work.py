"""Minutes that an order really took: hands and stations, by the log's tasks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.costing.labour import hour_cost_of, mean_hour_cost
from mouldwright.domain.hours.clock import intersect, open_minutes, union
from mouldwright.domain.hours.opening import Window, minute_of
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.quantity import exact
from mouldwright.domain.record.done import DoneTask
from mouldwright.domain.record.log import LoggedMember
from mouldwright.domain.record.pulls import Pull
from mouldwright.domain.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """Hands' time on an order in one operation.

    Attributes:
        hours: Person-hours, of a task shared with other orders the order's share.
        cost: Money for them; None where an hour of it has no cost.
        reckoned_hours: What the same tasks take by their standard.
        timed: Tasks whose start and end were noted.
        untimed: Tasks taken at their standard time, as one of the two was not.
    """

    operation: str
    hours: Fraction
    cost: Fraction | None
    reckoned_hours: Fraction
    timed: int
    untimed: int


def share_of(done: DoneTask, order: str) -> Fraction:
    """Return an order's share of a task: of its pulls, else of its parts."""
    counts = {m.order: Fraction(0) for m in done.task.members}
    for member in done.task.members:
        counts[member.order] += _weight(member)
    whole = sum(counts.values(), Fraction(0))
    return counts.get(order, Fraction(0)) / whole if whole else Fraction(0)


def worked(
    shop: Shop, operation: Operation, tasks: Iterable[DoneTask], order: str, parts_each: int
) -> Worked:
    """Return the hands' time that an order took in one operation.

    Args:
        shop: Its people and what their hours cost.
        operation: Attended.
        tasks: All that were done of it with something of the order in them.
        order: Its number.
        parts_each: Parts of a pull.
    """
    hours, reckoned, cost = Fraction(0), Fraction(0), Fraction(0)
    timed = untimed = 0
    unknown = False
    for done in tasks:
        if done.state == "running":
            continue
        share = share_of(done, order)
        crew = done.people or ("",) * operation.people
        standard = Fraction(operation.duration_min(size_of(operation, done, parts_each)))
        minutes = noted_min(shop, operation, done)
        timed, untimed = (timed + 1, untimed) if minutes is not None else (timed, untimed + 1)
        took = standard if minutes is None else minutes
        reckoned += standard * operation.people * share / 60
        for person in crew:
            rate = _rate(shop, operation, person)
            hours += took * share / 60
            unknown = unknown or rate is None
            cost += took * share / 60 * (rate or 0)
    return Worked(
        operation=operation.name,
        hours=hours,
        cost=None if unknown else cost,
        reckoned_hours=reckoned,
        timed=timed,
        untimed=untimed,
    )


def upkeep_share(pulls: Iterable[Pull], conditioned: Iterable[DoneTask], order: str) -> Fraction:
    """Return how many conditionings of moulds fall to an order.

    Each is shared by the pulls that the mould gave since the one before, which made it due; one
    that no pull went before falls to nobody.
    """
    found = Fraction(0)
    taken = [p for p in pulls if p.ended is not None]
    since: dict[str, list[DoneTask]] = {}
    for done in sorted(conditioned, key=lambda each: each.last_known):
        mould = done.task.mould or ""
        before = since.setdefault(mould, [])
        theirs = [
            p
            for p in taken
            if p.mould == mould
            and p.ended is not None
            and p.ended <= done.last_known
            and (not before or p.ended > before[-1].last_known)
        ]
        before.append(done)
        if theirs:
            found += Fraction(sum(1 for p in theirs if p.order == order), len(theirs))
    return found


def station_hours(
    shop: Shop, station: str, tasks: Iterable[tuple[Operation, DoneTask]], order: str
) -> tuple[Fraction, int]:
    """Return the hours that an order kept units of a station busy, and the tasks not timed.

    Each task counts once for all in it, and an order's share of it; at a station with room for
    several that enter singly the time anything of the order was in it.
    """
    minutes, untimed = Fraction(0), 0
    inside: list[Window] = []
    has_room = bool(shop.stations[station].room)
    for operation, done in tasks:
        if done.state == "running":
            continue
        if done.began is None or done.ended is None:
            untimed += 1
            minutes += operation.duration_min(size_of(operation, done, 1)) * share_of(done, order)
        elif has_room and operation.per in ("pull", "part"):
            inside.append((minute_of(done.began), minute_of(done.ended)))
        else:
            minutes += exact(done.worked_min or 0) * share_of(done, order)
    return (minutes + open_minutes(union(inside))) / 60, untimed


def _weight(member: LoggedMember) -> Fraction:
    return Fraction(len(member.pulls) or len(member.parts) or 1)


def size_of(operation: Operation, done: DoneTask, parts_each: int) -> int:
    """Return the members that an operation's time goes by."""
    if operation.per == "pull":
        return parts_each
    if operation.per in ("part", "conditioning"):
        return 1
    return sum(len(member.parts) or len(member.pulls) * parts_each for member in done.task.members)


def noted_min(shop: Shop, operation: Operation, done: DoneTask) -> Fraction | None:
    """Return the minutes really worked; of what may pause those within its people's hours."""
    if done.began is None or done.ended is None:
        return None
    window = (minute_of(done.began), minute_of(done.ended))
    known = [shop.people[key] for key in done.people if key in shop.people]
    if operation.interruptible and known:
        hours = shop.hours_of(known[0]).windows(*window)
        within = open_minutes(intersect(hours, (window,)))
        return Fraction(within or window[1] - window[0])
    return exact(done.worked_min or 0)


def _rate(shop: Shop, operation: Operation, person: str) -> Fraction | None:
    if person in shop.people:
        return hour_cost_of(shop.people[person], shop)
    return mean_hour_cost(shop, operation.skill)
