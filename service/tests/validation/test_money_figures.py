"""Money and counts where binary floats go wrong."""

from decimal import Decimal
from fractions import Fraction

import pytest

from mouldwright.domain.money import Currency
from mouldwright.domain.quantity import divide_up, exact, whole_up

EUR = Currency("EUR")


def test_halves_go_away_from_zero_where_binary_floats_lose_them() -> None:
    # 2.675 has no binary float: round(2.675, 2) gives 2.67.
    assert round(2.675, 2) == 2.67
    assert EUR.round(Decimal("2.675")) == EUR.round(Fraction(2675, 1000)) == Decimal("2.68")
    assert EUR.round(Decimal("-2.675")) == EUR.round(Fraction(-2675, 1000)) == Decimal("-2.68")
    # Half to even would give 2.66.
    assert EUR.round(Decimal("2.665")) == Decimal("2.67")


def test_three_equal_shares_of_100_add_up() -> None:
    shares = EUR.share(Decimal(100), [Decimal(1)] * 3)
    assert shares == (Decimal("33.34"), Decimal("33.33"), Decimal("33.33"))


@pytest.mark.parametrize(
    ("code", "digits"),
    # ISO 4217, list one: minor units.
    [
        ("USD", 2),
        ("EUR", 2),
        ("GBP", 2),
        ("JPY", 0),
        ("KRW", 0),
        ("BHD", 3),
        ("KWD", 3),
        ("CLF", 4),
    ],
)
def test_minor_units_follow_iso_4217(code: str, digits: int) -> None:
    assert Currency(code).digits == digits


def test_half_a_yen_cannot_be_paid() -> None:
    assert not Currency("JPY").holds(Decimal("1234.5"))
    assert Currency("JPY").text(Decimal("1234.5")) == "1235"
    assert Currency("KWD").holds(Decimal("1.234"))


def test_whole_counts_are_exact_where_binary_floats_say_one_more() -> None:
    assert 21 / 0.7 > 30
    assert divide_up(21, Decimal("0.7")) == divide_up(21, 0.7) == whole_up(Fraction(210, 7)) == 30
    assert exact(0.1) + exact(0.2) == exact(0.3)


def test_nothing_covers_nothing_in_steps_of_nothing() -> None:
    with pytest.raises(ValueError, match="steps of nothing"):
        divide_up(5, 0)
