"""Amounts as text, for every answer that holds money."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.money import Currency


def amount_text(currency: Currency, amount: Decimal | Fraction | None) -> str | None:
    """Return an amount rounded to the currency's decimals, None where it is unknown."""
    return None if amount is None else currency.text(currency.round(amount))


def fine_text(amount: Decimal | Fraction, decimals: int = 4) -> str:
    """Return an exact amount with more decimals than can be paid, for the costing behind a price.

    Lines of cost are not rounded to the cent, so that they add up; four decimals let a
    reader re-work every one of them.
    """
    scaled = Fraction(amount) * 10**decimals
    whole = (abs(scaled) * 2 + 1) // 2
    value = Decimal(int(whole)).scaleb(-decimals)
    return f"{-value if scaled < 0 else value:f}"


def taken_text(quantity: Decimal | Fraction) -> str:
    """Return how much of something is taken: four decimals where they say it, else six.

    Times its rate it is the amount beside it to the cent.
    """
    plain = fine_text(quantity)
    return plain if Fraction(plain) == Fraction(quantity) else fine_text(quantity, 6)
