"""A line of cost as it is printed: as few decimals as working it anew needs, and no fewer."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from mouldwright.wire.answers.money import fine_text, shortly, taken_text


def test_figures_are_no_longer_than_they_need_be() -> None:
    # 1.4 x 21.8824 = 30.6354 and 0.13333 x 21.8824 = 2.9176; with 0.1333 it would be 2.9169.
    assert shortly("1.4000", "21.882353", "30.6353", digits=2) == ("1.4", "21.8824")
    assert shortly("0.133333", "21.882353", "2.9176", digits=2) == ("0.13333", "21.8824")
    assert shortly("14.0000", "1.100000", "15.4000", digits=2) == ("14", "1.10")
    assert shortly("339.266667", "0.000000", "0.0000", digits=2) == ("339", "0.00")
    assert shortly("12.0000", "0.600000", "7.2000", digits=0) == ("12", "0.6")
    # A thousand hours at 21.8824 would be 4.7 cents too many.
    assert shortly("1000.0000", "21.882353", "21882.3530", digits=2) == ("1000", "21.882353")


COUNTS, PARTS = st.integers(0, 99_999), st.integers(1, 99)


@given(COUNTS, PARTS, COUNTS, PARTS)
def test_what_is_printed_makes_the_amount_beside_it(n: int, of: int, cents: int, by: int) -> None:
    """Twenty such lines are a hundredth off at the most."""
    taken, rate = Fraction(n, of), Fraction(cents, by)
    full = taken_text(taken), fine_text(rate, 6)
    amount = fine_text(taken * rate)
    said = shortly(*full, amount, digits=2)
    if said != full:
        assert abs(Decimal(said[0]) * Decimal(said[1]) - Decimal(amount)) <= Decimal("0.0005")
        assert len("".join(said)) <= len("".join(full))
