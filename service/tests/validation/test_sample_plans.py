"""Sample plans against sums written out and the distribution-free numbers of the handbooks."""

from __future__ import annotations

from itertools import combinations

import pytest

from mouldwright.domain.record.sample import passes_share, sample_plan


@pytest.mark.parametrize(
    ("count", "allowed", "bad", "passes"),
    [
        # Binomial sums: 0.9^5; 0.9^13; the next two with one more term of the sum.
        (5, 0, 0.10, 0.59049),
        (13, 0, 0.10, 0.25419),
        (13, 1, 0.10, 0.62134),
        (20, 1, 0.025, 0.91176),
        (20, 1, 0.10, 0.39175),
        (32, 2, 0.10, 0.36668),
    ],
)
def test_the_chance_that_a_bad_lot_passes_is_the_binomial_sum(count, allowed, bad, passes):
    assert passes_share(count, allowed, bad) == pytest.approx(passes, abs=5e-6)


def test_without_a_lot_it_takes_29_and_299():
    # MIL-HDBK-17, distribution-free: 0.9^29 = 0.0471 and 0.9^28 = 0.0523; 0.99^299 = 0.04954.
    assert sample_plan(lot=None).count == 29
    assert sample_plan(lot=None, bad_share=0.01).count == 299


@pytest.mark.parametrize(("lot", "bad", "count", "allowed"), [(10, 2, 4, 0), (12, 3, 5, 1)])
def test_of_a_lot_every_way_of_drawing_is_counted(lot, bad, count, allowed):
    drawn = list(combinations(range(lot), count))
    good = sum(1 for each in drawn if sum(1 for part in each if part < bad) <= allowed)
    assert passes_share(count, allowed, bad / lot, lot=lot) == pytest.approx(good / len(drawn))


def test_the_plan_is_the_fewest_that_are_sure_enough():
    found = sample_plan(lot=24)
    assert found.bad_passes <= 0.05
    assert passes_share(found.count - 1, 0, 0.1, lot=24) > 0.05


def test_a_small_lot_is_tested_whole():
    # Of five with one bad, four drawn miss it one time in five: nothing less than all will do.
    assert sample_plan(lot=5).is_all
    assert sample_plan(lot=5).count == 5


def test_a_share_outside_is_refused():
    with pytest.raises(ValueError, match="between 0 and 1"):
        sample_plan(lot=5, bad_share=1.0)
