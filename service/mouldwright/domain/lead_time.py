"""When an order could be ready by the rate alone: a quick promise without a plan.

The first parts go through the whole routing on the real calendar; the others follow at
the sustained rate over open time. Nothing already booked is in it; a plan replaces it.
Cures last as long as in a mean day of the season.
Where no mould is at hand and the shop makes its own, the first is made before.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.costing.occurrence import Routing
from mouldwright.domain.costing.tooling import lives_left, tooling_for
from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.clock import longest, open_minutes, spans, union
from mouldwright.domain.hours.opening import MINUTES_A_DAY
from mouldwright.domain.hours.week import week_of
from mouldwright.domain.mean_warmth import in_season
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.cycle import Calendar, Step, dated_calendar, earliest_run, steps_of
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import whole_up
from mouldwright.domain.rate import Rate, charge_for, rate, routing_of
from mouldwright.domain.shop import Shop

# How far ahead a promise looks: a season first, for speed, then three years.
_HORIZONS_DAYS = (120, 3 * 366)


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadTime:
    """When the parts of an order are ready, by the rate alone.

    Attributes:
        now: Minute it was asked.
        first: Minute the first part (or batch of them) has gone through everything.
        finish: Minute the last one has.
    """

    now: int
    first: int
    finish: int

    @property
    def minutes(self) -> int:
        """Return elapsed minutes from now to the finish."""
        return self.finish - self.now


def lead_time(
    shop: Shop,
    part: Part,
    process: Process,
    starts: int,
    *,
    now: int,
    charge: Charge | None = None,
) -> LeadTime:
    """Return when so many parts begun now would all be through.

    Args:
        shop: People, hours, stations and moulds.
        part: The part.
        process: How it is made.
        starts: Parts begun, at least 1.
        now: Minutes since the epoch.
        charge: What is loaded for one part; None, worked out where the process says.

    Raises:
        ValueError: if ``starts`` is below 1.
        HardLimit: if a step never fits in anyone's hours, no mould is at hand, or a single
            pull passes a limit.
    """
    if starts < 1:
        raise ValueError("a lead time is for at least one part")
    charge = charge or charge_for(shop, part, process)
    process = in_season(shop, process, now)
    family = tooling_for(shop, part.key, process.key) if process.uses_mould else None
    moulds = None
    begins = now
    if family is not None and not lives_left(family) and family.made_by is not None:
        # The first mould has to be made, and so far it is the only one.
        begins, moulds = made_by(shop, shop.process(family.made_by), now), 1
    sustained = rate(shop, part, process, charge=charge, moulds=moulds, with_moulds_that_help=False)
    routing = routing_of(shop, part, process, charge=charge)
    wave = _first_wave(routing, starts)
    members = {
        o.name: min(wave, starts) if o.per == "batch" else routing.parts_each
        for o in process.operations
        if o.per in ("batch", "pull")
    }
    for days in _HORIZONS_DAYS:
        calendar = dated_calendar(shop, now, now + days * MINUTES_A_DAY)
        steps = steps_of(shop, process, process.operations, calendar, members=members)
        run = earliest_run(steps, begins)
        if run is None:
            continue
        first = run[-1][1] if run else begins
        finish = _follow(shop, calendar, sustained, first, max(starts - wave, 0), process)
        if finish is not None:
            return LeadTime(now=now, first=first, finish=finish)
    raise HardLimit(_why_never(steps, now))


def made_by(shop: Shop, building: Process, now: int) -> int:
    """Return the minute at which a mould begun now is made, nothing else going on.

    Raises:
        HardLimit: if a step never fits in anyone's hours.
    """
    building = in_season(shop, building, now)
    for days in _HORIZONS_DAYS:
        calendar = dated_calendar(shop, now, now + days * MINUTES_A_DAY)
        steps = steps_of(shop, building, building.operations, calendar, members={})
        run = earliest_run(steps, now)
        if run is not None:
            return run[-1][1] if run else now
    raise HardLimit(_why_never(steps, now))


def _first_wave(routing: Routing, starts: int) -> int:
    """Return the parts that go through with the first: those of one pull, or of one batch."""
    if not routing.batchings:
        return routing.parts_each
    members = -(-starts // routing.parts_each)
    return routing.batchings[0].sizes(members)[0] * routing.parts_each


def _follow(
    shop: Shop, calendar: Calendar, sustained: Rate, first: int, left: int, process: Process
) -> int | None:
    """Return when the parts after the first are through, at the sustained rate over open time.

    None where that lies beyond the calendar.
    """
    if not left or sustained.per_day_sustained is None:
        return first
    if sustained.per_day_sustained == 0:
        raise HardLimit([f"{process.key} gives no parts: {sustained.binds} pass none"])
    weeks = union(
        window
        for person in shop.people.values()
        for window in week_of(shop.hours_of(person).weekly)
    )
    a_day = Fraction(open_minutes(weeks), sustained.open_days_a_week)
    work = whole_up(left / Fraction(sustained.per_day_sustained) * a_day)
    everyone = union(w for person in shop.people.values() for w in calendar(person))
    pieces = spans(everyone, first, work)
    return pieces[-1][1] if pieces else None


def _why_never(steps: tuple[Step, ...], now: int) -> list[str]:
    found = []
    for step in steps:
        if step.hours is not None and step.place(now) is None:
            opening = max((longest(windows) for windows in step.hours), default=0)
            found.append(
                f"{step.name} takes {step.minutes} min and the longest opening of those who can "
                f"do it is {opening} min: open longer, split it, or make it interruptible"
            )
    years = _HORIZONS_DAYS[-1] // 366
    return found or [
        f"the parts are not through within {years} years: fewer parts, more hours, or waits and "
        f"pot lives that leave room for the work"
    ]
