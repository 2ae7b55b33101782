from itertools import pairwise

import pytest

from mouldwright.domain.record.bench_test import Reading
from mouldwright.domain.record.slope import most_stiffness_n_per_mm, slope_of


def read(*pairs):
    return [Reading(load_n=load, deflection_mm=bend) for load, bend in pairs]


def slope(*pairs, zero=0.0, fixture=0.0, step=0.01):
    return slope_of(read(*pairs), zero_mm=zero, fixture_mm_per_n=fixture, dial_step_mm=step)


def test_a_straight_run_gives_its_slope_and_no_error():
    found = slope((2, 1.0), (4, 2.0), (6, 3.0))
    assert found.mm_per_n == pytest.approx(0.5)
    assert found.stiffness_n_per_mm == pytest.approx(2.0)
    assert found.mm_per_n_error == pytest.approx(0.0, abs=1e-12)
    assert found.refused == ()


def test_the_error_is_that_of_least_squares_worked_by_hand():
    # F 1, 2, 3, 4 (mean 2.5, Σ(F-F̄)² = 5), δ 1.02, 1.98, 3.02, 3.98 (mean 2.5).
    # Σ(F-F̄)δ = -1.53 - 0.99 + 1.51 + 5.97 = 4.96, slope 0.992; begins at 2.5 - 2.48 = 0.02.
    # Line 1.012, 2.004, 2.996, 3.988; off by +0.008, -0.024, +0.024, -0.008; Σr² = 0.00128,
    # s² = 0.00064, error √(0.00064 / 5) = 0.0113137.
    found = slope((1, 1.02), (2, 1.98), (3, 3.02), (4, 3.98))
    assert found.mm_per_n == pytest.approx(0.992)
    assert found.begins_at_mm == pytest.approx(0.02)
    assert found.off_line_mm == pytest.approx((0.008, -0.024, 0.024, -0.008))
    assert found.mm_per_n_error == pytest.approx(0.0113137, rel=1e-5)
    # k = 1/0.992, and its error to first order 0.0113137 / 0.992² = 0.0114969.
    assert found.stiffness_error_n_per_mm == pytest.approx(0.0114969, rel=1e-5)


def test_the_dials_zero_and_a_seat_that_settles_do_not_count_as_bending():
    plain = slope((1, 0.5), (2, 1.0), (3, 1.5))
    moved = slope((1, 0.8), (2, 1.3), (3, 1.8), zero=0.1)
    assert moved.mm_per_n == pytest.approx(plain.mm_per_n)
    assert moved.begins_at_mm == pytest.approx(0.2)


def test_what_the_fixture_gives_way_is_taken_off():
    # 0.5 mm/N read, of which the fixture gives 0.1: the part gives 0.4, so 2.5 N/mm.
    assert slope((1, 0.5), (2, 1.0), (3, 1.5), fixture=0.1).stiffness_n_per_mm == pytest.approx(2.5)


def test_a_run_that_curves_is_refused_with_the_load_where_it_does():
    # δ = 0.5 F + 0.05 F²: 0.55, 1.2, 1.95, 2.8, 3.75. The line through them, by hand: mean F 3,
    # Σ(F-F̄)δ = -1.1 - 1.2 + 2.8 + 7.5 = 8.0 over 10 = 0.8; mean δ 2.05, begins at -0.35; off
    # +0.10, -0.05, -0.10, -0.05, +0.10. 2 % of the range of 3.2 is 0.064, so 0.10 is too much.
    found = slope(*((f, 0.5 * f + 0.05 * f * f) for f in range(1, 6)))
    assert found.mm_per_n == pytest.approx(0.8)
    assert found.most_off_line_mm == pytest.approx(0.064)
    assert "0.10 mm off the line" in found.refused[0]


def test_one_step_of_a_coarse_dial_is_let_pass():
    pairs = ((1, 0.0), (2, 0.5), (3, 0.5), (4, 1.0))
    assert slope(*pairs).refused != ()
    assert slope(*pairs, step=0.5).refused == ()


def test_too_few_loads_say_nothing_of_a_straight_line():
    assert "3 different loads" in slope((1, 0.5), (1, 0.6), (2, 1.0)).refused[0]


@pytest.mark.parametrize(
    ("pairs", "fixture", "words"),
    [
        (((1, -0.5), (2, -1.0), (3, -1.5)), 0.0, "signs"),
        (((1, 0.5), (2, 1.0), (3, 1.5)), 0.6, "fixture"),
    ],
)
def test_readings_that_leave_no_stiffness_are_refused(pairs, fixture, words):
    assert words in slope(*pairs, fixture=fixture).refused[0]


def test_a_part_at_its_stop_is_no_stiffer_than_its_last_reading():
    # 2.1 mm less 0.1 of zero under 4 N is 0.5 mm/N, less 0.1 of fixture 0.4: at most 2.5 N/mm.
    held = read((2, 1.0), (4, 2.1))
    assert most_stiffness_n_per_mm(held, zero_mm=0.1, fixture_mm_per_n=0.1) == pytest.approx(2.5)
    assert most_stiffness_n_per_mm(read((0, 1.0)), zero_mm=0, fixture_mm_per_n=0) is None


def test_more_of_the_same_readings_make_the_slope_surer():
    few = [(1, 1.02), (2, 1.98), (3, 3.02), (4, 3.98)]
    errors = [slope(*few * times).mm_per_n_error for times in (1, 2, 4)]
    assert all(after < before for before, after in pairwise(errors))
