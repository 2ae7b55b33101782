"""NACA 4-digit ordinates and what the digits say."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.part.integrals import loop_integrals
from mouldwright.domain.part.naca import digits, half_thickness, naca_integrals, naca_outline


@pytest.mark.parametrize(
    ("x", "ordinate"),
    [
        # Ordinates of 0012 with the open tail, from y = 5t(0.2969√x - 0.1260x - 0.3516x² +
        # 0.2843x³ - 0.1015x⁴), NASA TM-4741 (from memory), worked apart from this code.
        (0.0125, 0.018939),
        (0.1, 0.046828),
        (0.3, 0.060017),
        (0.5, 0.052940),
        (0.9, 0.014477),
        (1.0, 0.001260),
    ],
)
def test_half_thickness_meets_the_ordinates(x, ordinate):
    found = half_thickness(np.array([x]), 0.12)[0]
    assert found == pytest.approx(ordinate, abs=5e-7)


@pytest.mark.parametrize(
    ("panels", "area_low", "second_low"),
    # How much a polygon inside 0012 reads low, cosine spacing; worked apart from this code.
    [(20, 0.0040, 0.0102), (50, 0.00065, 0.00164), (100, 0.00016, 0.00041), (200, 4e-5, 1e-4)],
)
def test_a_polygon_inside_the_curve_reads_low_by_the_known_share(panels, area_low, second_low):
    drawn, exact = loop_integrals(naca_outline("0012", panels)), naca_integrals("0012")
    # Two figures are known, so half of the last one.
    assert 1 - drawn.area / exact.area == pytest.approx(area_low, rel=0.13)
    assert 1 - drawn.second_yy / exact.second_yy == pytest.approx(second_low, rel=0.05)


def test_the_outline_is_as_long_as_it_is_known_to_be():
    # Perimeter of 0012 over the chord, open tail and its face: 2.041792, by quadrature.
    loop = naca_outline("0012", 800)
    sides = np.hypot(*(np.roll(loop, -1, axis=0) - loop).T)
    assert sides.sum() == pytest.approx(2.041792, rel=1e-5)


def test_camber_lifts_the_section_by_its_camber_line():
    # NACA 2412 lies about a line 2 % high at 40 % of the chord. The line's mean height weighted
    # by thickness is the centroid's: a thin section's is m (1 - (x - p)²/..²), so between 1 %
    # and 2 % of the chord.
    _, height = naca_integrals("2412").centroid
    assert 0.01 < height < 0.02
    upper_at_nose_side = naca_outline("2412", 400)
    assert upper_at_nose_side[:, 1].max() == pytest.approx(0.02 + 0.06, abs=2e-3)


@given(st.integers(0, 9), st.integers(1, 9), st.integers(1, 40))
def test_quadrature_along_the_curve_agrees_with_a_fine_polygon(camber, at, thick):
    code = f"{camber}{at}{thick:02d}"
    drawn, exact = loop_integrals(naca_outline(code, 1500)), naca_integrals(code)
    assert exact.area == pytest.approx(drawn.area, rel=1e-5)
    assert exact.central().second_xx == pytest.approx(drawn.central().second_xx, rel=1e-5)
    assert exact.central().second_yy == pytest.approx(drawn.central().second_yy, rel=1e-4)
    assert exact.first_x == pytest.approx(drawn.first_x, rel=1e-5)


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("12", "four digits"),
        ("00123", "four digits"),
        ("001x", "four digits"),
        ("²412", "four digits"),
        ("0000", "no thickness"),
        ("2012", "camber but its place is 0"),
    ],
)
def test_digits_that_name_no_section_are_refused_in_words(code, said):
    with pytest.raises(ValueError, match=said):
        digits(code)


def test_digits_are_camber_its_place_and_thickness_in_shares_of_the_chord():
    said = digits("4415")
    assert (said.camber, said.camber_at, said.thickness) == (0.04, 0.4, 0.15)


def test_the_usual_quick_estimate_lies_within_15_per_cent():
    # A ≈ 0.60 c t and I ≈ 0.036 c t (t² + h²), the estimate university notes on airfoil
    # sections teach (from memory): for 0012 it reads 12 % and 8.6 % low.
    found = naca_integrals("0012")
    assert 1 - 0.60 * 0.12 / found.area == pytest.approx(0.12, abs=0.005)
    assert 1 - 0.036 * 0.12**3 / found.second_yy == pytest.approx(0.086, abs=0.001)


def test_an_ellipse_and_a_rectangle_of_its_size_are_stiffer_by_the_known_ratios():
    # 0012 open against an ellipse π/64 t³ and a rectangle t³/12 of one chord and thickness:
    # 1.2456 and 2.1147, from the exact integral 0.0394074574 t³ c⁴.
    second = naca_integrals("0012").second_yy
    assert math.pi / 64 * 0.12**3 / second == pytest.approx(1.2456, abs=5e-5)
    assert 0.12**3 / 12 / second == pytest.approx(2.1147, abs=5e-5)
