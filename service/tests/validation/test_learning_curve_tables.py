"""Learning curves against printed tables."""

import pytest

from mouldwright.domain.costing.learning import (
    average_share,
    exponent,
    fitted_rate,
    total_share,
    unit_share,
    wright_average_share,
    wright_total_share,
    wright_unit_share,
)

# Heizer & Render, Operations Management, table of learning-curve coefficients (unit and
# cumulative columns; E.3 in some editions), from memory. Last digit printed: 4th decimal.
UNIT_80 = {
    **{2: 0.8, 3: 0.7021, 4: 0.64, 5: 0.5956, 8: 0.512, 10: 0.4765, 20: 0.3812},
    **{25: 0.3548, 50: 0.2838, 100: 0.2271},
}
TOTAL_80 = {
    **{2: 1.8, 4: 3.1421, 8: 5.3459, 10: 6.3154, 20: 10.4849, 25: 12.3086},
    **{50: 20.1217, 100: 32.6508},
}
UNIT_90 = {2: 0.9, 4: 0.81, 8: 0.729, 10: 0.7047, 20: 0.6342}
TOTAL_90 = {2: 1.9, 4: 3.5562, 8: 6.5737, 10: 7.9945, 20: 14.6078}
HALF_DIGIT = 0.00005


@pytest.mark.parametrize(("rate", "table"), [(0.8, UNIT_80), (0.9, UNIT_90)])
def test_unit_times_follow_the_printed_table(rate: float, table: dict[int, float]) -> None:
    for n, share in table.items():
        assert unit_share(n, rate) == pytest.approx(share, abs=HALF_DIGIT)


@pytest.mark.parametrize(("rate", "table"), [(0.8, TOTAL_80), (0.9, TOTAL_90)])
def test_cumulative_times_follow_the_printed_table(rate: float, table: dict[int, float]) -> None:
    for n, share in table.items():
        assert total_share(n, rate) == pytest.approx(share, abs=HALF_DIGIT)
        assert average_share(n, rate) == pytest.approx(share / n, abs=HALF_DIGIT)


def test_the_85_percent_curve_at_ten_units() -> None:
    # Same table, 85 % columns, from memory.
    assert unit_share(10, 0.85) == pytest.approx(0.5828, abs=HALF_DIGIT)
    assert total_share(10, 0.85) == pytest.approx(7.1161, abs=HALF_DIGIT)


@pytest.mark.parametrize(
    ("rate", "b"),
    # b = log2(rate), worked by hand from log10(rate) / log10(2).
    [
        *((0.7, -0.514573), (0.75, -0.415037), (0.8, -0.321928)),
        *((0.85, -0.234465), (0.9, -0.152003), (0.95, -0.074001)),
    ],
)
def test_the_exponent_is_the_logarithm_to_base_two(rate: float, b: float) -> None:
    assert exponent(rate) == pytest.approx(b, abs=5e-7)


def test_under_the_average_theory_the_second_unit_takes_60_percent_at_80() -> None:
    # M. Wideman, "Learning Curve Mathematics" (appendix): at 80 % the mean of two is 80 %,
    # so the second takes 60 %; the mean of four is 64 %.
    assert wright_unit_share(2, 0.8) == pytest.approx(0.6)
    assert wright_average_share(4, 0.8) == pytest.approx(0.64)
    assert wright_total_share(4, 0.8) == pytest.approx(2.56)


def test_under_the_average_theory_late_units_are_differences_of_totals() -> None:
    # total(n) = n**(b + 1), worked by hand: 4 * 0.64 - 3 * 0.7021 = 2.56 - 2.1063 = 0.4537;
    # at 90 %: 4 * 0.81 - 3 * 0.8462 = 0.7014.
    assert wright_unit_share(4, 0.8) == pytest.approx(0.4537, abs=HALF_DIGIT)
    assert wright_unit_share(4, 0.9) == pytest.approx(0.7014, abs=1e-4)


def test_a_rate_of_one_learns_nothing() -> None:
    assert total_share(123, 1.0) == 123
    assert unit_share(50, 1.0) == 1


def test_a_long_run_adds_up_unit_by_unit() -> None:
    one_by_one = sum(unit_share(n, 0.9) for n in range(1, 40_001))
    assert total_share(40_000, 0.9) == pytest.approx(one_by_one, rel=1e-12)


def test_a_curve_is_found_again_from_its_own_times() -> None:
    units = [1, 3, 4, 9, 20]
    assert fitted_rate(units, [30 * unit_share(n, 0.87) for n in units]) == pytest.approx(0.87)


def test_one_unit_alone_shows_no_curve() -> None:
    with pytest.raises(ValueError, match="two different units"):
        fitted_rate([4, 4], [10.0, 11.0])


@pytest.mark.parametrize("rate", [0.0, -0.1, 1.2])
def test_a_rate_out_of_range_is_refused(rate: float) -> None:
    with pytest.raises(ValueError, match="learning rate"):
        total_share(5, rate)


def test_a_trainee_reaches_a_time_after_the_tables_repetitions() -> None:
    # coursepaper.com, learning curves, worked solutions: 11 h first, 90 %: 7 h is 0.636 of it,
    # reached at the 20th (0.634). 30 min first and 25 second is 83.33 %.
    assert unit_share(20, 0.9) == pytest.approx(0.634, abs=0.0005)
    assert 11 * unit_share(20, 0.9) <= 7 < 11 * unit_share(19, 0.9)
    assert fitted_rate([1, 2], [30.0, 25.0]) == pytest.approx(0.8333, abs=HALF_DIGIT)


# Derived from the unit columns above by adding: total / n, by hand.
AVERAGE_80 = {2: 0.9, 4: 0.7855, 8: 0.6682, 10: 0.6315, 20: 0.5242}
AVERAGE_90 = {2: 0.95, 4: 0.8891, 8: 0.8217, 10: 0.7994, 20: 0.7304}


@pytest.mark.parametrize(("rate", "table"), [(0.8, AVERAGE_80), (0.9, AVERAGE_90)])
def test_averages_follow_from_the_unit_theory(rate: float, table: dict[int, float]) -> None:
    for n, share in table.items():
        assert average_share(n, rate) == pytest.approx(share, abs=1.01 * HALF_DIGIT)


# Under the average theory the mean of the first n is the printed unit column (the same power),
# the total n times it; what unit n takes is the total less that of n - 1, worked by logarithms:
# at 80 %, 8 - 7: 4.0960 - 3.7414 = 0.3546.
WRIGHT_80 = {
    2: (0.8, 1.6, 0.6),
    4: (0.64, 2.56, 0.4537),
    8: (0.512, 4.096, 0.3546),
    10: (0.4765, 4.7651, 0.3286),
    20: (0.3812, 7.6242, 0.2606),
}
WRIGHT_90 = {
    2: (0.9, 1.8, 0.8),
    4: (0.81, 3.24, 0.7014),
    8: (0.729, 5.832, 0.6244),
    10: (0.7047, 7.0469, 0.6023),
    20: (0.6342, 12.6844, 0.5399),
}


@pytest.mark.parametrize(("rate", "table"), [(0.8, WRIGHT_80), (0.9, WRIGHT_90)])
def test_means_totals_and_late_units_follow_from_the_average_theory(
    rate: float, table: dict[int, tuple[float, float, float]]
) -> None:
    for n, (mean, total, unit) in table.items():
        assert wright_average_share(n, rate) == pytest.approx(mean, abs=HALF_DIGIT)
        assert wright_total_share(n, rate) == pytest.approx(total, abs=HALF_DIGIT)
        assert wright_unit_share(n, rate) == pytest.approx(unit, abs=HALF_DIGIT)
