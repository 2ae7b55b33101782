"""How figures are said on pages."""

from __future__ import annotations

from decimal import Decimal

import pytest

from mouldwright.web.words import exact_percent, odds, taken


@pytest.mark.parametrize(
    ("quantity", "unit", "said"),
    [
        (Decimal(27), "pull", "27 pulls"),
        (Decimal(1), "batch", "1 batch"),
        (Decimal("2.5"), "pull", "2.5 pull"),
        (Decimal("0.93333"), "h", "0.93333 h"),
        (Decimal(2), "kg", "2 kg"),
    ],
)
def test_things_are_counted_whole_and_measures_have_all_their_decimals(quantity, unit, said):
    assert taken(quantity, unit) == said


def test_a_chance_is_never_said_higher_than_it_is_by_a_hundredth_beside_its_paper():
    assert odds(0.8365) == "83 in 100"
    assert odds(0.8) == "4 in 5"


def test_a_rate_that_is_reckoned_with_is_said_to_its_last_decimal():
    assert exact_percent(Decimal("0.08875")) == "8.875 %"
    assert exact_percent(Decimal("0.20")) == "20 %"
