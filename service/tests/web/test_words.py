"""How figures are said on pages."""

from __future__ import annotations

from fractions import Fraction

import pytest

from mouldwright.web.words import odds, taken


@pytest.mark.parametrize(
    ("quantity", "unit", "said"),
    [
        (Fraction(27), "pull", "27 pulls"),
        (Fraction(1), "batch", "1 batch"),
        (Fraction(5, 2), "pull", "2.50 pull"),
        (Fraction(27, 10), "h", "2.70 h"),
        (Fraction(2), "kg", "2.00 kg"),
    ],
)
def test_things_are_counted_whole_and_measures_keep_their_decimals(quantity, unit, said):
    assert taken(quantity, unit) == said


def test_a_chance_is_never_said_higher_than_it_is_by_a_hundredth_beside_its_paper():
    assert odds(0.8365) == "83 in 100"
    assert odds(0.8) == "4 in 5"
