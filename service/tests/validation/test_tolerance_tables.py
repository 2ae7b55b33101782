"""Tolerance factors and limits against printed tables and sums written out."""

from __future__ import annotations

import pytest

from mouldwright.domain.record.tolerance import lower_limit, tolerance_factor

# CMH-17-1G, volume 1, section 8.5, one-sided factors of normal values, as transcribed in the
# tests of an open statistics package (rdrr.io/cran/cmstatr, test-basis-factors.R). The printed
# figures stand up to 0.0018 above the exact ones for few pieces, hence the tolerance.
B_BASIS = {
    2: 20.581,
    3: 6.157,
    4: 4.163,
    5: 3.408,
    6: 3.007,
    10: 2.355,
    15: 2.069,
    18: 1.974,
    20: 1.927,
    30: 1.778,
    50: 1.646,
}


@pytest.mark.parametrize(("count", "printed"), B_BASIS.items())
def test_the_factor_is_that_of_the_printed_table(count, printed):
    assert tolerance_factor(count) == pytest.approx(printed, abs=0.002)


# Natrella, Experimental Statistics (NBS Handbook 91), table A-7, one-sided factors at 95 % for
# 99 % of all, from memory; called the A-basis in CMH-17.
A_BASIS = {
    3: 10.552,
    4: 7.042,
    5: 5.741,
    6: 5.062,
    10: 3.981,
    15: 3.520,
    20: 3.295,
    30: 3.064,
    50: 2.863,
}


@pytest.mark.parametrize(("count", "printed"), A_BASIS.items())
def test_the_factor_for_99_in_100_is_that_of_the_printed_table(count, printed):
    assert tolerance_factor(count, share=0.99) == pytest.approx(printed, abs=0.002)


def test_the_factor_for_many_is_that_of_the_handbook_formula():
    # MIL-HDBK-17-1F, section 8.5: k = 1.282 + exp(0.958 - 0.520 ln n + 3.19 / n), from memory.
    assert tolerance_factor(18) == pytest.approx(1.974276, abs=0.002)
    assert tolerance_factor(30) == pytest.approx(1.776460, abs=0.002)


def test_the_limit_of_five_moduli_is_mean_less_factor_times_spread():
    # Mean 31.3; deviations -0.1, -1.5, 1.8, -0.9, 0.7: squares add up to 6.80, s = √1.70 =
    # 1.3038405. With the printed k 3.408 the limit is 26.8565; the exact k gives 26.8583.
    found = lower_limit([31.2, 29.8, 33.1, 30.4, 32.0])
    assert (found.mean, found.spread) == (pytest.approx(31.3), pytest.approx(1.3038405))
    assert found.limit == pytest.approx(31.3 - 3.408 * 1.3038405, abs=0.003)
    assert found.limit == pytest.approx(26.858294, abs=1e-5)
