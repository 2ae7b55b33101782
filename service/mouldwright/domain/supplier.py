"""Suppliers and what they offer: packs, price breaks, shipping, hazard surcharge."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One pack as sold, of one material or a bundle of several.

    Attributes:
        supplier: Key of who sells it.
        number: Place in that supplier's list, from 1.
        contains_g: Grams of each material in a pack.
        contains_m: Metres of each material in a pack.
        price: One pack, before breaks.
        price_breaks: (from so many packs in one delivery, price of each of them).
        hazardous: Whether a delivery that holds it draws the surcharge.
    """

    supplier: str
    number: int
    price: Decimal
    contains_g: Mapping[str, Decimal] = field(default_factory=dict)
    contains_m: Mapping[str, Decimal] = field(default_factory=dict)
    price_breaks: tuple[tuple[int, Decimal], ...] = ()
    hazardous: bool = False

    @property
    def materials(self) -> frozenset[str]:
        """Return the keys of all that is in the pack."""
        return frozenset(self.contains_g) | frozenset(self.contains_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplier:
    """Who sells, what a delivery from them costs, and on which days they work.

    Attributes:
        lead_days: Days from the order to the delivery, of those on which they work.
        days_off: Days of the week, Monday being 0, on which they neither take an order nor deliver.
        closed: Dates of the same kind.
        cut_off: Local minute of the day from which an order is taken the next day they work;
            None for never.
    """

    key: str
    title: str
    shipping: Decimal = Decimal(0)
    hazard_surcharge: Decimal = Decimal(0)
    lead_days: int = 0
    days_off: frozenset[int] = frozenset()
    closed: frozenset[date] = frozenset()
    cut_off: int | None = None
    offers: tuple[Offer, ...] = ()

    def works_on(self, day: date) -> bool:
        """Return whether they take orders and deliver on a day."""
        return day.weekday() not in self.days_off and day not in self.closed
