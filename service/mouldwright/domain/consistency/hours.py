"""People and hours: whether someone can do each operation, and whether it fits a day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from functools import cached_property
from itertools import combinations, islice

from mouldwright.domain.consistency.finding import Where, fault, least_members, routings, step
from mouldwright.domain.errors import Fault, nearest
from mouldwright.domain.hours.clock import intersect, longest
from mouldwright.domain.hours.opening import MINUTES_A_DAY, OpeningHours, Window, local, minute_of
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.shop import Person, Shop

# Any Monday will do where the scenario does not say when it starts.
_SOME_MONDAY = date(2027, 1, 4)
_DAYS_OF_THE_WEEK = 14
_DAYS_WITH_EXCEPTIONS = 400
_MOST_GROUPS = 300


def hours_faults(shop: Shop) -> Iterator[Fault]:
    """Yield operations that nobody can do, or that no opening is long enough for."""
    attended = [
        (where, step(where, operation), operation)
        for where, operations in routings(shop)
        for operation in operations
        if operation.attended
    ]
    if not attended:
        return
    if not shop.people:
        yield fault(
            ("people",),
            None,
            "there are attended operations and nobody to do them.",
            "Add [people.name] with skills and wage_per_hour.",
        )
        return
    calendars = _Calendars(shop)
    if not any(calendars.longest_of((person,), None) for person in shop.people.values()):
        yield fault(
            ("shop", "hours"),
            None,
            "nobody is ever at work: the shop has no opening and no person has hours.",
            'Write hours, such as mon = ["08:30-12:30", "13:15-17:15"].',
        )
        return
    for where, at, operation in attended:
        yield from _doable(shop, calendars, where, at, operation)


def _doable(
    shop: Shop, calendars: _Calendars, where: Where, at: Where, operation: Operation
) -> Iterator[Fault]:
    able = shop.with_skill(operation.skill)
    if not able:
        skills = {skill for person in shop.people.values() for skill in person.skills}
        yield fault(
            (*at, "skill"),
            operation.skill,
            "nobody has this skill.",
            f"{nearest(str(operation.skill), skills)} Or give it to one of the people.",
        )
        return
    if len(able) < operation.people:
        with_it = f" with the skill {operation.skill}" if operation.skill else ""
        yield fault(
            (*at, "people"),
            operation.people,
            f"there are only {len(able)} people{with_it}.",
            f"Write at most {len(able)}, or give more people the skill.",
        )
        return
    yield from _fits(shop, calendars, where, at, operation, able)


def _fits(
    shop: Shop,
    calendars: _Calendars,
    where: Where,
    at: Where,
    operation: Operation,
    able: tuple[Person, ...],
) -> Iterator[Fault]:
    session = shop.session_of(operation)
    needed = operation.duration_min(least_members(shop, where, operation))
    if session is not None:
        needed += session.gear_up_min + session.clean_down_min
    opening = max(
        (
            calendars.longest_of(group, operation.station)
            for group in islice(combinations(able, operation.people), _MOST_GROUPS)
        ),
        default=0,
    )
    key = "attended_min" if operation.fixed_min else "attended_each_min"
    who = operation.skill or "someone"
    many = f"{operation.people} people " if operation.people > 1 else ""
    station = f" and {operation.station} open" if operation.station else ""
    if opening == 0:
        yield fault(
            (*at, key),
            needed,
            f"{many}for {who} are never at work at once{station}."
            if many
            else f"nobody for {who} is ever at work{station}.",
            "Open longer, or let their hours meet.",
        )
    elif needed > opening and (session is not None or not operation.interruptible):
        yield fault(
            (*at, key),
            needed,
            f"it takes at least {needed} min without a pause"
            f"{', going in and coming out counted,' if session else ''} and the longest opening of "
            f"{many}{who}{station} is {opening} min.",
            "Split it into steps, or open longer."
            if session
            else "Write interruptible = true, split it into steps, or open longer.",
        )


@dataclass(frozen=True)
class _Calendars:
    """The windows of people and stations, each worked out once.

    A week as it always is comes first. Only where that is too short does a year with its
    closed dates and one-off openings matter, so a closure at the start hides nothing.
    """

    shop: Shop

    @cached_property
    def _windows(self) -> dict[tuple[str, str, bool], tuple[Window, ...]]:
        return {}

    def longest_of(self, group: tuple[Person, ...], station: str | None) -> int:
        """Return the longest opening all of them share, with the station's, in minutes."""
        best = 0
        for usual in (True, False):
            shared: tuple[Window, ...] | None = None
            for person in group:
                windows = self._of("person", person.key, usual)
                shared = windows if shared is None else intersect(shared, windows)
            kept = self.shop.stations.get(station) if station else None
            if kept is not None and kept.weekly is not None and shared is not None:
                shared = intersect(shared, self._of("station", kept.key, usual))
            best = max(best, longest(shared or ()))
        return best

    def _of(self, kind: str, key: str, usual: bool) -> tuple[Window, ...]:
        at = (kind, key, usual)
        if at not in self._windows:
            hours = self.shop.hours
            if kind == "person":
                hours = self.shop.hours_of(self.shop.people[key])
            else:
                weekly = self.shop.stations[key].weekly
                hours = hours if weekly is None else hours.with_weekly(weekly)
            self._windows[at] = self._over(hours, usual)
        return self._windows[at]

    def _over(self, hours: OpeningHours, usual: bool) -> tuple[Window, ...]:
        if usual:
            hours = OpeningHours(weekly=hours.weekly, zone=hours.zone)
            first, days = _SOME_MONDAY, _DAYS_OF_THE_WEEK
        else:
            if not hours.one_off:
                return ()
            start = self.shop.start
            first = local(minute_of(start), hours.zone).date() if start else min(hours.one_off)
            days = _DAYS_WITH_EXCEPTIONS
        begin = int(datetime.combine(first, time(), tzinfo=UTC).timestamp() // 60)
        return hours.windows(begin, begin + days * MINUTES_A_DAY)
