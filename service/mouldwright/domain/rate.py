"""How many parts a process gives: at the bench in an open hour, and day after day.

Each resource bounds the rate by itself; the least bound holds. At the bench a mould or
station counts only where its whole cycle fits within one opening; sustained, each goes
round on the calendar of a repeated week, so a cure that ends at night keeps its mould
until someone comes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.costing.material_cost import batch_load
from mouldwright.domain.costing.occurrence import Routing
from mouldwright.domain.costing.scrap import good_rates
from mouldwright.domain.costing.tooling import lives_left, tooling_for
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.clock import union
from mouldwright.domain.hours.week import open_days, week_of
from mouldwright.domain.mean_warmth import in_season, mean_c
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.part.mass import charge as charge_of
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.batch import batchings
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.process.process import Process
from mouldwright.domain.rate_limits import Bound, Known, Scene, bounds
from mouldwright.domain.shop import Shop

# More moulds than any bench has: where they no longer bind.
_PLENTY = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """What one resource lets through, in parts begun.

    Attributes:
        name: The resource: "moulds", a station's key, or "hands with" the skills.
        per_hour: In an open hour at the bench; None where it does not bind there.
        per_day: By open day over a repeated week; None where it does not bind.
    """

    name: str
    per_hour: float | None
    per_day: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """What a process sustains, with what binds.

    Attributes:
        per_hour_at_bench: Parts begun in an open hour; None where nothing binds.
        per_day_sustained: Parts begun by open day.
        good_per_hour_at_bench: Of those, good ones on average.
        good_per_day_sustained: The same by open day.
        binds: What binds day after day, in words; empty where nothing does.
        binds_at_bench: What binds within an open hour.
        limits: Every resource's bound.
        moulds: Moulds reckoned with; 0 for a process without.
        moulds_that_help: Moulds beyond which more do not raise the sustained rate; None
            for a process without, or where nothing else ever binds.
        open_days_a_week: Days on which someone is in.
        mean_c: The mean temperature that cures are reckoned at; None where times are taken as
            they are written.
    """

    per_hour_at_bench: float | None
    per_day_sustained: float | None
    good_per_hour_at_bench: float | None
    good_per_day_sustained: float | None
    binds: str
    binds_at_bench: str
    limits: tuple[Limit, ...]
    moulds: int
    moulds_that_help: int | None
    open_days_a_week: int
    mean_c: Decimal | None = None


def rate(
    shop: Shop,
    part: Part,
    process: Process,
    *,
    moulds: int | None = None,
    charge: Charge | None = None,
    now: int | None = None,
    with_moulds_that_help: bool = True,
) -> Rate:
    """Return the rate at which a process gives parts.

    Args:
        shop: People, hours, stations and moulds.
        part: The part.
        process: How it is made.
        moulds: How many moulds to reckon with; None, those at hand.
        charge: What is loaded for one part, which bounds mixes; None, worked out.
        now: Minutes since the epoch, in the season whose mean day cures are reckoned by; None
            takes times as they are written.
        with_moulds_that_help: Whether to look for those; None stands in their place if not.

    Raises:
        InvalidInput: if ``moulds`` is below 1, or a good rate cannot be right.
        CannotBeMade: if the charge is to be worked out and the shape is not sound.
        HardLimit: if a single pull passes a limit of a mix, a plate or a load, or something
            never cures in the season.
    """
    if moulds is not None and moulds < 1:
        raise InvalidInput(
            [
                Fault(
                    path="moulds",
                    value=str(moulds),
                    problem="it must be a whole number of at least 1.",
                    remedy="Leave it out to reckon with the moulds at hand.",
                )
            ]
        )
    family = tooling_for(shop, part.key, process.key) if process.uses_mould else None
    warm = None
    if now is not None:
        warm, process = mean_c(shop, process, now), in_season(shop, process, now)
    count = 0
    if process.uses_mould:
        count = len(lives_left(family)) if moulds is None else moulds
    known: Known = {}
    charge = charge or charge_for(shop, part, process)
    found = _bounds(shop, process, family, charge, count, known)
    week = union(
        window
        for person in shop.people.values()
        for window in week_of(shop.hours_of(person).weekly)
    ) or week_of(shop.hours.weekly)
    days = max(open_days(week), 1)
    hourly = [bound for bound in found if bound.an_hour is not None]
    weekly = [bound for bound in found if bound.a_week is not None]
    at_bench = min(hourly, key=lambda bound: bound.an_hour or 0, default=None)
    sustained = min(weekly, key=lambda bound: bound.a_week or 0, default=None)
    good = good_rates(process, family.loss_rate if family else 0).each
    an_hour = at_bench.an_hour if at_bench else None
    a_day = sustained.a_week / days if sustained and sustained.a_week is not None else None
    return Rate(
        per_hour_at_bench=_number(an_hour),
        per_day_sustained=_number(a_day),
        good_per_hour_at_bench=_number(an_hour, good),
        good_per_day_sustained=_number(a_day, good),
        binds=sustained.name if sustained else "",
        binds_at_bench=at_bench.name if at_bench else "",
        limits=tuple(
            Limit(
                name=bound.name,
                per_hour=_number(bound.an_hour),
                per_day=None if bound.a_week is None else _number(bound.a_week / days),
            )
            for bound in found
        ),
        moulds=count,
        moulds_that_help=(
            _moulds_that_help(shop, process, family, charge, known)
            if with_moulds_that_help
            else None
        ),
        open_days_a_week=days,
        mean_c=warm,
    )


def _number(value: Fraction | None, share: Fraction = Fraction(1)) -> float | None:
    return None if value is None else float(value * share)


def _bounds(
    shop: Shop,
    process: Process,
    family: MouldFamily | None,
    charge: Charge | None,
    moulds: int,
    known: Known,
) -> tuple[Bound, ...]:
    routing = _routing(shop, process, family, charge, moulds)
    return bounds(Scene(shop=shop, routing=routing, family=family, moulds=moulds, known=known))


def routing_of(
    shop: Shop, part: Part, process: Process, *, charge: Charge | None = None
) -> Routing:
    """Return a process with its batches formed for the moulds at hand.

    Raises:
        HardLimit: if a single pull passes a limit of a mix, a plate or a load.
    """
    family = tooling_for(shop, part.key, process.key) if process.uses_mould else None
    charge = charge or charge_for(shop, part, process)
    return _routing(shop, process, family, charge, len(lives_left(family)))


def charge_for(shop: Shop, part: Part, process: Process) -> Charge | None:
    """Return what is loaded for one part, None where the process names no structure.

    Raises:
        CannotBeMade: if the shape is not sound.
    """
    return None if process.structure is None else charge_of(shop, part, process)


def _routing(
    shop: Shop, process: Process, family: MouldFamily | None, charge: Charge | None, moulds: int
) -> Routing:
    load = batch_load(process, charge, family.cavities if family else 1)
    formed = batchings(shop, process, load, moulds=max(moulds, 1))
    return Routing(process=process, batchings=formed, parts_each=load.parts)


def _least(found: Sequence[Bound]) -> Fraction | None:
    return min((b.a_week for b in found if b.a_week is not None), default=None)


def _moulds_that_help(
    shop: Shop,
    process: Process,
    family: MouldFamily | None,
    charge: Charge | None,
    known: Known,
) -> int | None:
    """Return the fewest moulds that reach what any number of them would."""
    if not process.uses_mould:
        return None
    best = _least(_bounds(shop, process, family, charge, _PLENTY, known))
    if best is None or best == 0:
        return None
    low, high = 1, _PLENTY
    while low < high:
        middle = (low + high) // 2
        here = _least(_bounds(shop, process, family, charge, middle, known))
        if here is not None and here >= best:
            high = middle
        else:
            low = middle + 1
    return None if low == _PLENTY else low
