"""What has to be bought: what the work draws, less what is in stock and still good."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from fractions import Fraction

from mouldwright.domain.costing.stock_need import Drawn, Shortage, shortages
from mouldwright.domain.material import Stock


def drawn_together(draws: Iterable[Drawn]) -> dict[tuple[str, str], Fraction]:
    """Return what several orders draw together, by (material, "g" or "m")."""
    whole: dict[tuple[str, str], Fraction] = {}
    for drawn in draws:
        for key, amount in drawn.items():
            whole[key] = whole.get(key, Fraction(0)) + amount
    return whole


def needs_beyond(draws: Iterable[Drawn], stock: Stock, *, on: date) -> tuple[Shortage, ...]:
    """Return every material that runs short, resin and hardener each by itself.

    Args:
        draws: What each order draws.
        stock: What there is.
        on: The day on which a lot must still be good.
    """
    return shortages(drawn_together(draws), stock, on=on)
