"""When what is bought is there: on a day somebody is in to take it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from mouldwright.domain.shop import Shop

# A shop that is closed for longer takes a delivery on the day it comes.
_LONGEST_CLOSED_DAYS = 370


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


def arrives_on(shop: Shop, ordered: date, lead_days: int) -> date:
    """Return the first open day of a shop once the days of delivery are over."""
    comes = ordered + timedelta(days=lead_days)
    later = (comes + timedelta(days=days) for days in range(_LONGEST_CLOSED_DAYS))
    return _first_open(shop, later, comes)


def order_by(shop: Shop, wanted: date, lead_days: int) -> date:
    """Return the last day to order what is to be there on a day, or the open day before it."""
    earlier = (wanted - timedelta(days=days) for days in range(_LONGEST_CLOSED_DAYS))
    return _first_open(shop, earlier, wanted) - timedelta(days=lead_days)


def delivery_days(shop: Shop, today: date, by: date | None) -> dict[str, DeliveryDays]:
    """Return the days of a delivery from each supplier, by its key."""
    return {
        key: DeliveryDays(
            arrives=arrives_on(shop, today, supplier.lead_days),
            order_by=None if by is None else order_by(shop, by, supplier.lead_days),
        )
        for key, supplier in shop.suppliers.items()
    }


def _first_open(shop: Shop, days: Iterable[date], otherwise: date) -> date:
    return next((day for day in days if shop.hours.on(day)), otherwise)
