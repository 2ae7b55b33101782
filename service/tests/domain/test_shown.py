"""Measures said with the decimals their size asks for."""

import pytest

from mouldwright.domain.shown import fitted


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (26.04, "26.0"),
        (2.48, "2.5"),
        (1.0, "1.0"),
        (0.248, "0.25"),
        (0.0309, "0.031"),
        (0.00042, "0.00042"),
        (1e-9, "0.000000"),
        (0.0, "0.0"),
        (1234.5, "1,234.5"),
    ],
)
def test_a_small_bend_keeps_two_figures_and_a_large_one_a_tenth(value, said):
    assert fitted(value) == said


def test_what_just_fails_never_looks_like_its_limit():
    assert fitted(26.04, beside=26.0) == "26.04"
    assert fitted(0.5004, beside=0.5) == "0.5004"
    assert fitted(26.0, beside=26.0) == "26.0"
