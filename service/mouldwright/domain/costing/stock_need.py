"""Whether stock holds what an order draws: every component by itself, before work starts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from mouldwright.domain.material import Lot, Stock
from mouldwright.domain.quantity import exact

# What is drawn, by (material, "g" or "m").
Drawn = Mapping[tuple[str, str], Fraction]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """A material that runs short.

    Attributes:
        unit: "g" or "m".
        needed: What the work draws.
        usable: What is in stock and still good on the day.
    """

    material: str
    unit: str
    needed: Fraction
    usable: Fraction

    @property
    def missing(self) -> Fraction:
        """Return how much is lacking."""
        return self.needed - self.usable


def shortages(drawn: Drawn, stock: Stock, *, on: date) -> tuple[Shortage, ...]:
    """Return every material whose usable stock does not cover what is drawn.

    A lot is usable up to and including the day it expires. Resin enough and hardener 13 g
    short is a shortage of hardener.
    """
    found = []
    for (material, unit), needed in drawn.items():
        lots = stock.lots.get(material, ())
        good = [lot for lot in lots if lot.expires is None or lot.expires >= on]
        usable = sum((_amount(lot, unit) for lot in good), Fraction(0))
        if usable < needed:
            found.append(Shortage(material=material, unit=unit, needed=needed, usable=usable))
    return tuple(found)


def _amount(lot: Lot, unit: str) -> Fraction:
    held = lot.grams if unit == "g" else lot.metres
    return Fraction(0) if held is None else exact(held)
