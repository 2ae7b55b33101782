"""Chances of enough good parts against operating curves and hand-worked tails."""

from fractions import Fraction

import pytest

from mouldwright.domain.costing.scrap import GoodRates, chance_of, exact_chance_of

# Operating curve of a single sampling plan by the binomial (ISO 2859-1 calls the plans by
# sample size n and acceptance number c): the chance that a sample of n holds at most c bad
# ones. Worked by hand, e.g. n 5 c 0 at 10 % bad: 0.9^5 = 0.59049; n 13 c 1 at 10 %:
# 0.9^13 + 13 x 0.1 x 0.9^12 = 0.25419 + 0.36716 = 0.62134.
PLANS = [
    (5, 0, "0.10", 0.59049),
    (13, 0, "0.10", 0.25419),
    (13, 1, "0.10", 0.62134),
    (20, 1, "0.025", 0.91176),
    (20, 1, "0.10", 0.39175),
    (32, 2, "0.10", 0.36668),
]


@pytest.mark.parametrize(("sample", "allowed", "bad", "accepted"), PLANS)
def test_the_operating_curve_of_a_sampling_plan(
    sample: int, allowed: int, bad: str, accepted: float
) -> None:
    rates = GoodRates(part=1 - Fraction(bad))
    assert chance_of(sample - allowed, sample, 1, rates) == pytest.approx(accepted, abs=5e-6)
    assert float(exact_chance_of(sample - allowed, sample, 1, rates)) == pytest.approx(
        accepted, abs=5e-6
    )


@pytest.mark.parametrize(
    ("share", "tests", "confidence"),
    # The least number of tests for a distribution-free bound: 0.9^29 = 0.0471 < 0.05 and
    # 0.9^28 = 0.0523; 0.99^299 = 0.04954 (MIL-HDBK-17, B- and A-basis, from memory).
    [("0.9", 29, 0.0471), ("0.9", 28, 0.0523), ("0.99", 299, 0.04954)],
)
def test_all_parts_good_by_luck(share: str, tests: int, confidence: float) -> None:
    every = chance_of(tests, tests, 1, GoodRates(part=Fraction(share)))
    assert every == pytest.approx(confidence, abs=5e-5)
