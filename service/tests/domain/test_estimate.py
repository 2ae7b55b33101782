"""Three-point estimates against the formulas of their distributions."""

from __future__ import annotations

from decimal import Decimal
from math import sqrt

import numpy as np
import pytest

from mouldwright.domain.estimate import Estimate, Range, factor

SCORES = np.random.default_rng(3).standard_normal(200_000)


def test_a_pert_estimate_weighs_the_likely_four_times() -> None:
    # Malcolm, Roseboom, Clark and Fazar 1959 (from memory): (16 + 4 x 20 + 32) / 6 = 21.333.
    found = Estimate(least=16, likely=20, most=32)
    assert found.mean == pytest.approx(128 / 6)
    # A beta of exponents 2 and 4 on [16, 32]: alpha = 1 + 4 x 4/16, beta = 1 + 4 x 12/16.
    # Its variance is 16^2 x 2 x 4 / (6^2 x 7) = 8.1270 (any text on the beta distribution).
    assert found.deviation == pytest.approx(sqrt(256 * 8 / 252))


def test_a_triangle_has_its_mean_and_deviation() -> None:
    found = Estimate(least=16, likely=20, most=32, shape="triangle")
    assert found.mean == pytest.approx(68 / 3)
    # (16^2 + 20^2 + 32^2 - 16 x 20 - 16 x 32 - 20 x 32) / 18 = 208/18.
    assert found.deviation == pytest.approx(sqrt(208 / 18))


@pytest.mark.parametrize("shape", ["pert", "triangle"])
def test_draws_have_the_mean_and_deviation_of_their_estimate(shape) -> None:
    found = Estimate(least=0.8, likely=1.0, most=1.6, shape=shape)
    drawn = found.at(SCORES)
    # Of 200,000 draws the mean is off by less than 4 standard errors.
    assert drawn.mean() == pytest.approx(found.mean, abs=4 * found.deviation / sqrt(200_000))
    assert drawn.std() == pytest.approx(found.deviation, rel=0.01)
    assert drawn.min() >= 0.8
    assert drawn.max() <= 1.6


def test_quantiles_of_a_triangle_are_those_of_its_straight_lines() -> None:
    # Least 0, likely 1, most 4: P(X <= 1) = 1/4; above, 1 - (4 - x)^2 / 12.
    found = Estimate(least=0, likely=1, most=4, shape="triangle")
    # Normal scores of 1/4 and 0.9 (tables of the normal distribution): -0.67449, 1.28155.
    assert found.at(np.array([-0.67449]))[0] == pytest.approx(1.0, abs=1e-4)
    assert found.at(np.array([1.28155]))[0] == pytest.approx(4 - sqrt(1.2), abs=1e-4)


def test_the_median_of_an_even_estimate_is_its_middle() -> None:
    for shape in ("pert", "triangle"):
        assert Estimate(least=1, likely=2, most=3, shape=shape).at(np.zeros(1))[0] == (
            pytest.approx(2.0, abs=1e-9)
        )


def test_what_is_certain_has_no_estimate() -> None:
    assert factor(None, "pert") is None
    assert factor(Range(least=Decimal(1), most=Decimal(1)), "pert") is None


def test_a_range_goes_up() -> None:
    with pytest.raises(ValueError, match="from its least"):
        Range(least=Decimal(2), most=Decimal(1))
