"""When what is bought is there: sent on days its supplier works, taken in on open ones."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from mouldwright.domain.shop import Shop
from mouldwright.domain.supplier import Supplier

# Who is closed for longer is taken to work and to be in.
_LONGEST_CLOSED_DAYS = 370
_ON, _BACK = timedelta(days=1), timedelta(days=-1)


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryDays:
    """The days of a delivery from one supplier.

    Attributes:
        arrives: The day it is there, ordered today.
        order_by: The last day to order it for the day that was asked; None where none was, past
            where it is too late.
    """

    arrives: date
    order_by: date | None


def arrives_on(shop: Shop, supplier: Supplier, at: datetime) -> date:
    """Return the day that is there which is ordered at a moment.

    The order is taken that day, or where it comes after the cut-off or they do not work, on the
    next day they do. From then on only days they work count, and it comes on one on which the
    shop is open too.

    Args:
        shop: Who takes it in.
        supplier: Who sends it.
        at: Local to the shop.
    """
    late = supplier.cut_off is not None and at.hour * 60 + at.minute >= supplier.cut_off
    taken = _next_working(supplier, at.date() + _ON if late else at.date(), _ON)
    sent = _worked(supplier, taken, _ON)
    return _there(shop, supplier, sent, _ON)


def order_by(shop: Shop, supplier: Supplier, wanted: date) -> date:
    """Return the last day to order, before the cut-off, what is to be there on a day."""
    return _worked(supplier, _there(shop, supplier, wanted, _BACK), _BACK)


def delivery_days(shop: Shop, at: datetime, by: date | None) -> dict[str, DeliveryDays]:
    """Return the days of a delivery from each supplier, by its key."""
    return {
        key: DeliveryDays(
            arrives=arrives_on(shop, supplier, at),
            order_by=None if by is None else order_by(shop, supplier, by),
        )
        for key, supplier in shop.suppliers.items()
    }


def _worked(supplier: Supplier, day: date, step: timedelta) -> date:
    """Return the day that many working days of a supplier away as their deliveries take."""
    for _ in range(supplier.lead_days):
        day = _next_working(supplier, day + step, step)
    return day


def _next_working(supplier: Supplier, day: date, step: timedelta) -> date:
    """Return the first day from one on, or back, on which a supplier works."""
    return _first((each for each in _days(day, step) if supplier.works_on(each)), day)


def _there(shop: Shop, supplier: Supplier, day: date, step: timedelta) -> date:
    """Return the first day from one on, or back, on which it can be brought and taken in."""
    both = (each for each in _days(day, step) if shop.hours.on(each) and supplier.works_on(each))
    return _first(both, _next_working(supplier, day, step))


def _days(day: date, step: timedelta) -> Iterator[date]:
    return (day + step * many for many in range(_LONGEST_CLOSED_DAYS))


def _first(days: Iterable[date], otherwise: date) -> date:
    return next(iter(days), otherwise)
