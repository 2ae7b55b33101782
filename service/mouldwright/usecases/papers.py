"""What is set on paper for the bench, read of a shop that is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.promise_lists import read_plan
from mouldwright.usecases.services import Services


@dataclass(frozen=True, slots=True, kw_only=True)
class DayAsked:
    """The day sheets that are to be set on paper.

    Attributes:
        people: Keys; each has a sheet.
        standing: Which plan it is by, and whether that is older than the shop.
    """

    shop: Shop
    plan: Plan
    people: tuple[str, ...]
    day: date
    standing: str


def asked_day(services: Services, shop: str, *, person: str | None, day: date | None) -> DayAsked:
    """Return the day sheets asked for: everyone's where nobody is named, today's without a day.

    Raises:
        Unknown: if there is no such shop, or no plan.
        InvalidInput: if there is no such person.
    """
    found = read_plan(services.units, shop)
    kept = read_booked(services.units, shop, services.written).without()
    today = local(minute_of(services.clock()), kept.zone).date()
    older = "" if found.is_current else ", older than the shop"
    return DayAsked(
        shop=kept,
        plan=found.kept.plan,
        people=people_asked(kept, person),
        day=day or today,
        standing=f"plan {found.kept.version}{older}",
    )


def people_asked(shop: Shop, person: str | None) -> tuple[str, ...]:
    """Return whose sheets are asked for. Raises InvalidInput where there is no such person."""
    if person is None:
        return tuple(shop.people)
    _check("person", person, tuple(shop.people))
    return (person,)


def families_asked(shop: Shop, families: Sequence[str]) -> tuple[str, ...]:
    """Return the families of moulds asked for, all where none is named. Raises InvalidInput."""
    for family in families:
        _check("family", family, tuple(shop.moulds))
    return tuple(families) or tuple(shop.moulds)


def _check(path: str, key: str, known: Sequence[str]) -> None:
    if key in known:
        return
    remedy = f"Write one of {', '.join(known)}." if known else "Add one to the shop first."
    fault = Fault(path=path, value=key[:80], problem=f"there is no such {path}.", remedy=remedy)
    raise InvalidInput([fault])
