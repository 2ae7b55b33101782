"""Fractions, moduli and knock-downs against published rules and hand-worked tables.

Check data of our own: fibre 230 GPa along and 15 GPa across, matrix 3.0 GPa, chop 12 mm long
and 7 µm thick. Formulas: Halpin and Kardos 1976; Tsai and Pagano 1968; Krenchel 1964; Cox
1952; Hull and Clyne, An Introduction to Composite Materials (all from memory). The tabled
figures were worked from those formulas apart from this code.
"""

import numpy as np
import pytest

from mouldwright.domain.material import Rod
from mouldwright.domain.part.load import dynamic_pressure_pa
from mouldwright.domain.structure.cast import rod_section, transformed_bending
from mouldwright.domain.structure.mix import (
    cox_krenchel,
    density,
    finished_mass_fraction,
    halpin_tsai,
    length_efficiency,
    mass_fraction,
    planar_random,
    planar_random_shear,
    void_share,
    volume_fraction,
)
from mouldwright.domain.structure.printed import infill_stiffness

ALONG, ACROSS, MATRIX, SLENDER = 230.0, 15.0, 3.0, 2 * 12 / 0.007


@pytest.mark.parametrize(
    ("by_mass", "by_volume", "grams_cm3"),
    [
        (0.30, 0.214953, 1.289720),
        (0.40, 0.298701, 1.344156),
        (0.45, 0.343284, 1.373134),
        (0.50, 0.389831, 1.403390),
        (0.55, 0.438475, 1.435009),
        (0.60, 0.489362, 1.468085),
    ],
)
def test_mass_becomes_volume_and_density(by_mass, by_volume, grams_cm3):
    # Fibre 1.80, matrix 1.15 g/cm³.
    assert volume_fraction(by_mass, 1.80, 1.15) == pytest.approx(by_volume, abs=5e-7)
    assert density(by_mass, 1.80, 1.15) == pytest.approx(grams_cm3, abs=5e-7)
    assert mass_fraction(by_volume, 1.80, 1.15) == pytest.approx(by_mass, abs=1e-6)


def test_voids_follow_from_two_densities():
    # ASTM D2734 (from memory): half fibre by mass, 1.370 g/cm³ measured, 2.379227 %.
    theory = density(0.5, 1.80, 1.15)
    assert void_share(theory, 1.370) * 100 == pytest.approx(2.379227, abs=5e-7)


@pytest.mark.parametrize(
    ("volume", "along", "across", "wrong_across", "planar", "shear", "krenchel", "solid"),
    [
        (0.30, 70.064253, 4.862069, 6.650387, 29.312888, 9.973549, 27.975, 15.9),
        (0.40, 92.613711, 5.666667, 8.628099, 38.271808, 12.993381, 36.3, 20.2),
        (0.50, 115.261586, 6.6, 11.338776, 47.348095, 16.057698, 44.625, 24.5),
    ],
)
def test_moduli_meet_the_published_rules(
    volume, along, across, wrong_across, planar, shear, krenchel, solid
):
    lengthwise = halpin_tsai(ALONG, MATRIX, volume, SLENDER)
    crosswise = halpin_tsai(ACROSS, MATRIX, volume, 2.0)
    assert lengthwise == pytest.approx(along, abs=5e-7)
    assert crosswise == pytest.approx(across, abs=5e-7)
    # Using the fibre's modulus along itself across it too is the usual mistake.
    assert halpin_tsai(ALONG, MATRIX, volume, 2.0) == pytest.approx(wrong_across, abs=5e-7)
    assert planar_random(lengthwise, crosswise) == pytest.approx(planar, abs=1e-6)
    assert planar_random_shear(lengthwise, crosswise) == pytest.approx(shear, abs=1e-6)
    assert cox_krenchel(ALONG, MATRIX, volume, 3 / 8, 1.0) == pytest.approx(krenchel)
    assert cox_krenchel(ALONG, MATRIX, volume, 1 / 5, 1.0) == pytest.approx(solid)


@pytest.mark.parametrize(
    ("length_mm", "share"),
    [
        (0.1, 0.476086),
        (0.2, 0.723991),
        (0.5, 0.889437),
        (1, 0.944719),
        (3, 0.981573),
        (6, 0.990786),
        (12, 0.995393),
    ],
)
def test_short_fibres_carry_less(length_mm, share):
    # Cox, V = 0.30, matrix shear modulus 1.11 GPa.
    found = length_efficiency(length_mm, 7.0, 230.0, 1.11, 0.30)
    assert found == pytest.approx(share, abs=1e-6)


def test_a_mix_of_one_stiffness_has_that_stiffness():
    for volume in (0.1, 0.5):
        assert halpin_tsai(3.0, 3.0, volume, 2.0) == pytest.approx(3.0)
        assert planar_random(3.0, 3.0) == pytest.approx(3.0)


@pytest.mark.parametrize(
    ("filled", "square", "between"),
    [
        (0.10, 0.01, 0.031623),
        (0.15, 0.0225, 0.058095),
        (0.30, 0.09, 0.164317),
        (0.50, 0.25, 0.353553),
        (0.75, 0.5625, 0.649519),
        (1.0, 1.0, 1.0),
    ],
)
def test_infill_scales_as_a_power(filled, square, between):
    # Gibson and Ashby, Cellular Solids (from memory): E/Es = ρ² bending, ρ stretching.
    assert infill_stiffness(filled, 2) == pytest.approx(square)
    assert infill_stiffness(filled, 1.5) == pytest.approx(between, abs=5e-7)
    assert infill_stiffness(filled, 1) == pytest.approx(filled)


def test_two_rods_on_the_middle_plane_stiffen_a_bar_as_the_transformed_section_says():
    # Matrix 60 x 8, Em 1500: EI 3 840 000. Two rods d 3, Er 130 000, on the mid-plane:
    # + 2 (130 000 - 1500) π 3⁴/64 = 4 861 852.098. Worked by hand.
    one = np.ones(1)
    plain = (1500.0, 480 * one, 0 * one, 60 * 8**3 / 12 * one)
    assert transformed_bending(*plain, ())[0][0] == pytest.approx(3_840_000)
    rod = rod_section(Rod(diameter_mm=3.0), 130.0)
    level = ((rod, 0 * one, one), (rod, 0 * one, one))
    assert transformed_bending(*plain, level)[0][0] == pytest.approx(4_861_852.098, rel=1e-9)
    # At ±2 mm each adds (Er - Em) A y² besides: 2 · 128 500 · 7.0685835 · 4.
    apart = ((rod, 2 * one, one), (rod, -2 * one, one))
    expected = 4_861_852.098 + 2 * 128_500 * 7.0685835 * 4
    assert transformed_bending(*plain, apart)[0][0] == pytest.approx(expected, rel=1e-8)


def test_one_rod_off_the_middle_moves_the_elastic_centre():
    # EA = 1500·480 + 128 500·7.0685835 = 1 628 312.98; first moment 128 500·7.0685835·2 =
    # 1 816 625.96; centre 1.115649; EI = 3 840 000 + 128 500 (3.9760782 + 7.0685835·4)
    # - EA·centre². Worked by hand.
    one = np.ones(1)
    rod = rod_section(Rod(diameter_mm=3.0), 130.0)
    bending, centre = transformed_bending(
        1500.0, 480 * one, 0 * one, 2560 * one, ((rod, 2 * one, one),)
    )
    stretch = 1500 * 480 + 128_500 * 7.0685835
    at = 128_500 * 7.0685835 * 2 / stretch
    assert centre[0] == pytest.approx(at, rel=1e-7)
    expected = 3_840_000 + 128_500 * (3.9760782 + 7.0685835 * 4) - stretch * at**2
    assert bending[0] == pytest.approx(expected, rel=1e-7)


def test_what_squeezes_out_is_matrix_so_the_finished_part_holds_more_fibre():
    # Common practice, no source: 60 % fibre by weight goes in, and resin squeezes out. With
    # 15 % of the matrix in the part loaded on top: 0.6 / (0.6 + 0.4/1.15) = 0.633028.
    assert finished_mass_fraction(0.60, 0.15) == pytest.approx(0.633028, abs=5e-7)
    assert finished_mass_fraction(0.60, 0.0) == pytest.approx(0.60)


@pytest.mark.parametrize(
    ("density_kg_m3", "speed", "pascals"),
    [(1.225, 20, 245.0), (1.225, 30, 551.25), (1025, 6, 18_450), (1025, 10, 51_250)],
)
def test_dynamic_pressure_is_half_rho_v_squared(density_kg_m3, speed, pascals):
    # Standard air of 1.225 kg/m³ (International Standard Atmosphere, sea level).
    assert dynamic_pressure_pa(density_kg_m3, speed) == pytest.approx(pascals)


def test_at_a_hundred_miles_an_hour_air_presses_with_1224_pascals():
    # Common practice, no source.
    assert dynamic_pressure_pa(1.225, 44.7) == pytest.approx(1224, abs=0.5)
