"""What an hour of hands costs: wage, on-costs, and the part of the paid day nobody pays for."""

from __future__ import annotations

from fractions import Fraction

from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Person, Shop


def hour_cost_of(person: Person, shop: Shop) -> Fraction:
    """Return what one worked hour of a person costs the shop.

    wage x (1 + on-costs) / (1 - unbillable share): 20 an hour with 30 % on top, paid
    2080 hours of which 1760 are worked, is 30.727273.

    Raises:
        ValueError: if no paid time is left to work.
    """
    if shop.unbillable_share >= 1:
        raise ValueError("an unbillable share of 1 or more leaves no hour to sell")
    paid = exact(person.wage_per_hour) * (1 + exact(person.on_cost_rate))
    return paid / (1 - exact(shop.unbillable_share))


def mean_hour_cost(shop: Shop, skill: str | None) -> Fraction | None:
    """Return the mean cost of an hour over those who have the skill, None where nobody has."""
    able = shop.with_skill(skill)
    if not able:
        return None
    return sum((hour_cost_of(person, shop) for person in able), Fraction(0)) / len(able)
