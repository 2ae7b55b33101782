"""Exact counting: ceilings and shares that binary floats get wrong."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

Exact = int | Decimal | Fraction


def exact(value: Exact | float) -> Fraction:
    """Return the number as a fraction, reading a float as the decimal it prints as."""
    if isinstance(value, float):
        return Fraction(repr(value))
    return Fraction(value)


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
