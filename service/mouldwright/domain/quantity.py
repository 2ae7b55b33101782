"""Exact counting: ceilings and shares that binary floats get wrong."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from math import lcm

Exact = int | Decimal | Fraction


def exact(value: Exact | float) -> Fraction:
    """Return the number as a fraction, reading a float as the decimal it prints as."""
    if isinstance(value, Fraction):
        return value
    return Fraction(repr(value) if isinstance(value, float) else value)


def sum_of_products(pairs: Iterable[tuple[Fraction, Fraction]]) -> Fraction:
    """Return the sum of the products, brought to lowest terms once and not at every step."""
    over, products = 1, []
    for one, other in pairs:
        below = one.denominator * other.denominator
        products.append((one.numerator * other.numerator, below))
        over = lcm(over, below)
    return Fraction(sum(above * (over // below) for above, below in products), over)


def whole_up(value: Exact | float) -> int:
    """Return the least whole number not below the value, exactly.

    21 good at a yield of 0.7 is 30 pulls; binary floats say 31.
    """
    return -(-exact(value) // 1)


def divide_up(amount: Exact | float, each: Exact | float) -> int:
    """Return how many of ``each`` cover ``amount``, exactly.

    Raises:
        ValueError: if ``each`` is not above zero.
    """
    if exact(each) <= 0:
        raise ValueError("cannot cover an amount in steps of nothing")
    return whole_up(exact(amount) / exact(each))
