"""One member's way through some operations on the calendar, as early as hours allow.

Nothing else competes: this is how soon a single mould, plate or part can get through,
and how often a mould can go round when the cure ends at night and nobody is in.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from mouldwright.domain.hours.clock import fit, intersect, spans
from mouldwright.domain.hours.opening import Window
from mouldwright.domain.hours.week import MINUTES_A_WEEK, at_least, unrolled, week_of
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Person, Shop, Station

# Rounds of pushing steps later before a chain is taken to be impossible.
_MOST_PUSHES = 5_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """An operation on one member (or one batch of a stated size), with the hours it may use.

    Attributes:
        minutes: How long it takes.
        hours: Whole calendars to choose one from, one for each person who could do it;
            None where it runs at any time.
        wait_max_min: Greatest minutes from the predecessor's end; None without limit.
        age_from: Place of the step from whose end the least age counts.
        pot_life_from: Place of the step from whose end pot life runs to this one's end.
    """

    name: str
    minutes: int
    hours: tuple[tuple[Window, ...], ...] | None
    interruptible: bool = False
    wait_min: int = 0
    wait_max_min: int | None = None
    pot_life_from: int | None = None
    age_from: int | None = None
    age_min: int = 0
    pot_life_min: int = 0

    def after_upkeep(self, *, places: int, first: bool) -> Step:
        """Return the step with so many others put before its run; the first waits for no one."""
        source = None if self.pot_life_from is None else self.pot_life_from + places
        aged = None if self.age_from is None else self.age_from + places
        if first:
            return replace(self, pot_life_from=source, age_from=aged, wait_min=0, wait_max_min=None)
        return replace(self, pot_life_from=source, age_from=aged)

    def place(self, ready: int) -> Window | None:
        """Return the earliest (start, end) from ``ready`` on, None beyond the horizon."""
        if self.hours is None:
            return ready, ready + self.minutes
        found: list[Window] = []
        for windows in self.hours:
            if self.interruptible and self.minutes:
                pieces = spans(windows, ready, self.minutes)
                if pieces:
                    found.append((pieces[0][0], pieces[-1][1]))
            else:
                start = fit(windows, ready, self.minutes)
                if start is not None:
                    found.append((start, start + self.minutes))
        return min(found, key=lambda window: (window[1], -window[0]), default=None)


Calendar = Callable[[Person | Station], tuple[Window, ...]]


def steps_of(
    shop: Shop,
    process: Process,
    operations: Sequence[Operation],
    calendar: Calendar,
    *,
    members: Mapping[str, int],
) -> tuple[Step, ...]:
    """Return operations as steps.

    Args:
        shop: People and stations.
        process: Their routing, for holds.
        operations: Consecutive operations, in order.
        calendar: Hours of a person or station; a station without hours is never asked.
        members: Members in each operation, by name; 1 where left out.
    """
    names = [operation.name for operation in operations]
    steps = []
    place = process.serial_place
    serial = None if place is None else process.operations[place].name
    for at, operation in enumerate(operations):
        aged = operation.least_age_min and serial in names[:at]
        source = next(
            (o for o in operations if o.pot_life_until == operation.name and o.name in names), None
        )
        mix = shop.materials[source.material].mix if source and source.material else None
        least = operation.wait_min
        held = operation.station is None or any(
            hold.resource == operation.station and hold.first != operation.name
            for hold in process.holds
        )
        # With its station at hand an unattended step starts as its predecessor ends.
        at_once = not operation.attended and held
        steps.append(
            Step(
                name=operation.name,
                minutes=operation.duration_min(members.get(operation.name, 1)),
                hours=_hours(shop, operation, calendar),
                interruptible=operation.interruptible and operation.attended,
                wait_min=least,
                wait_max_min=least if at_once else operation.wait_max_min,
                age_from=names.index(serial or "") if aged else None,
                age_min=operation.least_age_min,
                pot_life_from=names.index(source.name) if source and mix else None,
                pot_life_min=mix.pot_life_min if mix else 0,
            )
        )
    return tuple(steps)


def earliest_run(steps: Sequence[Step], earliest: int) -> tuple[Window, ...] | None:
    """Return each step's (start, end), all as early as hours, waits and pot life allow.

    Where a step comes too late for its greatest wait (or pot life), the step it depends
    on is pushed later by no more than it must, until all hold.

    Returns:
        One window a step, or None where the horizon holds no such run.
    """
    lower = [earliest] * len(steps)
    for _ in range(_MOST_PUSHES):
        run: list[Window] = []
        pushed = False
        for i, step in enumerate(steps):
            ready = lower[i] if not run else max(lower[i], run[-1][1] + step.wait_min)
            if step.age_from is not None:
                ready = max(ready, run[step.age_from][1] + step.age_min)
            placed = step.place(ready)
            if placed is None:
                return None
            late = 0
            on = i
            if run and step.wait_max_min is not None:
                late, on = placed[0] - run[-1][1] - step.wait_max_min, i - 1
            if late <= 0 and step.pot_life_from is not None:
                on = step.pot_life_from
                late = placed[1] - run[on][1] - step.pot_life_min
            if late > 0:
                lower[on] = _pushed(steps[on], run[on], late)
                pushed = True
                break
            run.append(placed)
        if not pushed:
            return tuple(run)
    return None


def cycles_a_week(turns: Sequence[Sequence[Step]]) -> Fraction | None:
    """Return how often a week one unit gets round, for ever.

    Steps' hours are a week unrolled; each cycle starts once the one before has ended, and
    the same moment of the week coming round again closes the count exactly.

    Args:
        turns: The steps of one cycle; several where cycles differ by turn.

    Returns:
        Cycles a week; 0 where one never fits; None where a cycle takes no time.
    """
    seen: dict[tuple[int, int], tuple[int, int]] = {}
    ready, done = 0, 0
    while True:
        weeks, minute = divmod(ready, MINUTES_A_WEEK)
        run = earliest_run(turns[done % len(turns)], minute)
        if not run:
            return Fraction(0)
        start = weeks * MINUTES_A_WEEK + run[0][0]
        state = (start % MINUTES_A_WEEK, done % len(turns))
        if state in seen:
            before, began = seen[state]
            if start == began:
                return None
            return Fraction((done - before) * MINUTES_A_WEEK, start - began)
        seen[state] = (done, start)
        done += 1
        ready = weeks * MINUTES_A_WEEK + run[-1][1]


def weekly_calendar(shop: Shop, weeks: int) -> Calendar:
    """Return hours that repeat week by week, exceptions left out."""

    def hours(who: Person | Station) -> tuple[Window, ...]:
        weekly = shop.hours.weekly if who.weekly is None else who.weekly
        return unrolled(week_of(weekly), weeks)

    return hours


def dated_calendar(shop: Shop, now: int, last: int) -> Calendar:
    """Return real hours between two minutes: closed dates and one-off openings kept."""
    known: dict[str, tuple[Window, ...]] = {}

    def hours(who: Person | Station) -> tuple[Window, ...]:
        if who.weekly is None:
            if "" not in known:
                known[""] = shop.hours.windows(now, last)
            return known[""]
        key = f"{type(who).__name__} {who.key}"
        if key not in known:
            known[key] = shop.hours.with_weekly(who.weekly).windows(now, last)
        return known[key]

    return hours


def _hours(
    shop: Shop, operation: Operation, calendar: Calendar
) -> tuple[tuple[Window, ...], ...] | None:
    station = shop.stations.get(operation.station) if operation.station else None
    bound = calendar(station) if station is not None and station.weekly is not None else None
    if not operation.attended:
        return None if bound is None else (bound,)
    able = [calendar(person) for person in shop.with_skill(operation.skill)]
    crews = able if operation.people <= 1 else [at_least(able, operation.people)]
    if bound is not None:
        crews = [intersect(crew, bound) for crew in crews]
    return tuple(dict.fromkeys(crews))


def _pushed(step: Step, at: Window, late: int) -> int:
    """Return the least start from which the step ends ``late`` minutes later than it did."""
    if not step.interruptible or step.hours is None:
        return at[0] + late
    # Work that pauses may end much later for a start a little later: look for the least.
    low, high = at[0] + 1, at[0] + late
    while low < high:
        middle = (low + high) // 2
        placed = step.place(middle)
        if placed is not None and placed[1] < at[1] + late:
            low = middle + 1
        else:
            high = middle
    return low
