"""Sample plans against sums written out and the distribution-free numbers of the handbooks."""

from __future__ import annotations

from itertools import combinations

import pytest

from mouldwright.domain.record.sample import (
    agreed_plan,
    operating_curve,
    passes_share,
    sample_plan,
)


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


@pytest.mark.parametrize(
    ("count", "bad", "least", "most"),
    # Clopper and Pearson's exact limits of a share (NIST/SEMATECH e-Handbook, 7.2.4.2): at the
    # upper one so few bad ones come one time in 40, at the lower so many.
    [
        (10, 0, None, 0.308497),
        (30, 0, None, 0.115703),
        (20, 1, 0.001265, 0.248733),
        (20, 2, 0.012349, 0.316983),
        (20, 4, 0.057334, 0.436614),
        (50, 5, 0.033275, 0.218135),
    ],
)
def test_the_tails_meet_at_the_exact_limits_of_a_share(count, bad, least, most):
    assert passes_share(count, bad, most) == pytest.approx(0.025, abs=1e-5)
    if least is not None:
        assert 1 - passes_share(count, bad - 1, least) == pytest.approx(0.025, abs=4e-5)


def test_none_bad_of_thirty_leaves_one_in_ten_possible():
    # (1 - p)^30 = 0.05 at p = 1 - exp(ln 0.05 / 30) = 0.095034, by hand; by the rule of three
    # 3 / 30 = 0.10 (Hanley and Lippman-Hand, 1983, from memory), a little on the safe side.
    assert passes_share(30, 0, 0.095034) == pytest.approx(0.05, abs=5e-6)
    assert passes_share(30, 0, 0.10) < 0.05


def test_five_of_twenty_miss_two_bad_ones_more_often_than_not():
    # All five among the 18 good: (18 x 17 x 16 x 15 x 14) / (20 x 19 x 18 x 17 x 16) = 210 / 380.
    assert passes_share(5, 0, 0.1, lot=20) == pytest.approx(210 / 380)


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


@pytest.mark.parametrize(
    ("bad", "passes"),
    # Montgomery, Introduction to Statistical Quality Control, the table of chances of acceptance
    # of the single plan n = 89, c = 2 (from memory).
    [
        *((0.005, 0.9897), (0.01, 0.9397), (0.02, 0.7366), (0.03, 0.4985), (0.04, 0.3042)),
        *((0.05, 0.1721), (0.06, 0.0919), (0.07, 0.0468), (0.08, 0.0230), (0.09, 0.0109)),
    ],
)
def test_the_operating_curve_of_a_textbook_plan(bad, passes):
    assert passes_share(89, 2, bad) == pytest.approx(passes, abs=5e-5)


@pytest.mark.parametrize(
    ("bad", "passes"),
    # NIST/SEMATECH e-Handbook, 6.2.3.2, the curve of n = 52, c = 3 (from memory; its last digit is
    # off by one in places).
    [(0.01, 0.998), (0.03, 0.930), (0.05, 0.739), (0.07, 0.502), (0.10, 0.223), (0.12, 0.115)],
)
def test_the_operating_curve_of_the_handbooks_plan(bad, passes):
    assert passes_share(52, 3, bad) == pytest.approx(passes, abs=1.01e-3)


@pytest.mark.parametrize(
    ("lot", "good", "bad"),
    [(None, 0.01, 0.06), (None, 0.02, 0.08), (500, 0.01, 0.05), (60, 0.02, 0.2)],
)
def test_an_agreed_plan_holds_both_ends_and_nothing_smaller_does(lot, good, bad):
    found = agreed_plan(lot=lot, good_share=good, bad_share=bad, confidence=0.9)
    assert passes_share(found.count, found.allowed, bad, lot=lot) <= 0.1
    assert passes_share(found.count, found.allowed, good, lot=lot) >= 0.95
    smaller = [
        (count, allowed)
        for count in range(1, found.count)
        for allowed in range(found.allowed + 2)
        if passes_share(count, allowed, bad, lot=lot) <= 0.1
        and passes_share(count, allowed, good, lot=lot) >= 0.95
    ]
    assert smaller == []


def test_shares_too_near_are_refused_and_of_a_lot_all_are_looked_at():
    with pytest.raises(ValueError, match="too near"):
        agreed_plan(lot=None, good_share=0.0999, bad_share=0.1)
    whole = agreed_plan(lot=20, good_share=0.05, bad_share=0.1)
    assert (whole.count, whole.allowed, whole.is_all) == (20, 1, True)


def test_a_curve_falls_from_sure_to_hardly_ever():
    curve = operating_curve(sample_plan(lot=24))
    assert curve[0] == (0.0, 1.0)
    chances = [chance for _, chance in curve]
    assert chances == sorted(chances, reverse=True)
    assert all(
        float(share * 24).is_integer() or abs(share * 24 - round(share * 24)) < 1e-9
        for share, _ in curve
    )
