"""Amounts as text, for every answer that holds money."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from mouldwright.domain.money import Currency, decimal_text


def amount_text(currency: Currency, amount: Decimal | Fraction | None) -> str | None:
    """Return an amount rounded to the currency's decimals, None where it is unknown."""
    return None if amount is None else currency.text(currency.round(amount))


def cost_text(currency: Currency, amount: Decimal | Fraction) -> str:
    """Return an exact cost of a whole order, two decimals finer than can be paid.

    One rule for every cost that is shown to be added up again: 4 decimals in EUR, 2 in JPY, 5 in
    KWD. What is multiplied by a quantity is shown finer: see ``rate_text``.
    """
    return fine_text(amount, currency.digits + 2)


def rate_text(currency: Currency, rate: Decimal | Fraction) -> str:
    """Return an exact rate, or cost of one piece, four decimals finer than can be paid."""
    return fine_text(rate, currency.digits + 4)


def fine_text(amount: Decimal | Fraction, decimals: int = 4) -> str:
    """Return an exact amount with more decimals than can be paid, for the costing behind a price.

    Lines of cost are not rounded to the cent, so that they add up; four decimals let a
    reader re-work every one of them.
    """
    return decimal_text(amount, decimals)


def taken_text(quantity: Decimal | Fraction) -> str:
    """Return how much of something is taken: four decimals where they say it, else six.

    Times its rate it is the amount beside it to the cent.
    """
    plain = fine_text(quantity)
    return plain if Fraction(plain) == Fraction(quantity) else fine_text(quantity, 6)


# A line worked anew from what is shown is this near to its amount, so that many lines add up to
# the cent.
_NEAR = Decimal("0.0005")
_MOST_DECIMALS = 6


def shortly(quantity: str, rate: str, amount: str, *, digits: int) -> tuple[str, str]:
    """Return a quantity and its rate with as few decimals as still make the amount beside them.

    Args:
        quantity: As exact as it is known.
        rate: The same.
        amount: Of the two.
        digits: Decimals of the currency; the rate has no fewer.

    Returns:
        The rate with two decimals more than the currency, where that will do, so that one rate
        looks alike on every line; both as they are where no fewer decimals would do.
    """
    taken, whole = Decimal(quantity), Decimal(amount)
    for each in (_without_noughts(Decimal(rate), digits + 2, digits), Decimal(rate)):
        for decimals in range(_MOST_DECIMALS + 1):
            short = round(taken, decimals)
            if abs(short * each - whole) <= _NEAR and bool(short) == bool(taken):
                return f"{short:f}", f"{each:f}"
    return quantity, rate


def _without_noughts(value: Decimal, most: int, least: int) -> Decimal:
    """Return a value of the most decimals, noughts at its end left out down to the least."""
    short = round(value, most)
    while most > least and short == round(short, most - 1):
        most -= 1
        short = round(short, most)
    return short
