"""Figures of beams, sections, fractions and flows as handbooks print them, row by row."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mouldwright.domain.part.beam import STATIONS, bend
from mouldwright.domain.part.lift import lift_coefficient_at, lifting_line_per_rad
from mouldwright.domain.part.load import dynamic_pressure_pa
from mouldwright.domain.part.section import section_at
from mouldwright.domain.part.shape import Ellipse, Naca4, Polygon, Rectangle
from mouldwright.domain.record.sample import passes_share
from mouldwright.domain.structure.mix import density, halpin_tsai, mass_fraction, void_share

EVEN = np.ones(STATIONS.shape)
# A bar 20 x 5 mm of 3000 MPa, 200 mm long, under 10 N: EI = 3000 · 20 · 5³ / 12.
EI, SPAN, FORCE = 625_000.0, 200.0, 10.0


def bar(support, load, *, span=SPAN, shear=math.inf, force=FORCE):
    return bend(
        span_mm=span,
        bending_n_mm2=EVEN * EI,
        shear_n=EVEN * shear,
        support=support,
        load=load,
        force_n=force,
    )


@pytest.mark.parametrize(
    ("support", "load", "millimetres"),
    [
        # PL³/3EI, PL³/8EI, 5PL³/48EI at the tip, PL³/48EI, 5PL³/384EI, PL³/192EI, PL³/384EI: Roark,
        # Formulas for Stress and Strain, straight beams (from memory), worked to eight figures.
        ("cantilever", "end", 42.6666667),
        ("cantilever", "uniform", 16.0),
        ("cantilever", "centre", 13.3333333),
        ("simply supported", "centre", 2.66666667),
        ("simply supported", "uniform", 1.66666667),
        ("both ends fixed", "centre", 0.666666667),
        ("both ends fixed", "uniform", 0.333333333),
    ],
)
def test_a_bar_bends_to_the_figure(support, load, millimetres):
    assert bar(support, load).deflection_mm == pytest.approx(millimetres, rel=1e-6)


def test_the_greatest_stress_on_two_supports_is_6_mpa():
    # M = PL/4 = 500 N mm, over W = 20 · 5² / 6 = 83.33 mm³.
    moment = bar("simply supported", "centre").greatest_moment_n_mm
    assert moment / (20 * 25 / 6) == pytest.approx(6.0)


@pytest.mark.parametrize(
    ("slender", "on_two", "clamped", "apparent"),
    # δs/δb = 1.2 (E/G)(h/L)² on two supports and 0.3 (E/G)(h/L)² clamped, E/G = 2.7, κ = 5/6
    # (Timoshenko; from memory); E apparent / E = 1 / (1 + δs/δb).
    [
        (4, 0.2025, 0.050625, 0.831601),
        (8, 0.050625, 0.01265625, 0.951814),
        (16, 0.01265625, 0.00316406, 0.987502),
        (32, 0.00316406, 0.00079102, 0.996846),
        (64, 0.00079102, 0.00019775, 0.999210),
    ],
)
def test_shear_adds_its_share_and_lowers_the_modulus_that_shows(slender, on_two, clamped, apparent):
    span, shear = 5.0 * slender, 5 / 6 * 100 * 3000 / 2.7
    for support, load, share in (
        ("simply supported", "centre", on_two),
        ("cantilever", "end", clamped),
    ):
        bare = bar(support, load, span=span).deflection_mm
        whole = bar(support, load, span=span, shear=shear).deflection_mm
        assert whole / bare - 1 == pytest.approx(share, abs=5e-7)
        if support == "simply supported":
            assert bare / whole == pytest.approx(apparent, abs=5e-7)


def test_a_short_bar_on_two_supports_bends_with_its_shear():
    # 40 mm: PL³/48EI = 0.0213333 and PL/4κGA = 0.00108 mm.
    whole = bar("simply supported", "centre", span=40.0, shear=5 / 6 * 100 * 3000 / 2.7)
    assert whole.deflection_mm == pytest.approx(0.0224133, abs=5e-8)


def test_a_rod_under_reads_its_modulus_at_sixteen_to_one():
    # E/G = 28: 1.2 · 28 / 16² = 0.13125, so that a bend test shows 88 % of it.
    whole = bar("simply supported", "centre", span=80.0, shear=5 / 6 * 100 * 3000 / 28)
    bare = bar("simply supported", "centre", span=80.0)
    assert whole.deflection_mm / bare.deflection_mm - 1 == pytest.approx(0.13125, rel=1e-6)


@pytest.mark.parametrize(
    ("code", "area", "second"),
    # A/c² = 0.6850833333 t and I/c⁴ = 0.0394074574 t³ by integrating the NACA thickness polynomial
    # with the open tail (Ladson and others, NASA TM-4741, 1996; from memory).
    [
        ("0006", 0.0411050, 8.512011e-6),
        ("0009", 0.0616575, 2.872804e-5),
        ("0012", 0.08221, 6.809608640e-5),
        ("0015", 0.1027625, 1.330002e-4),
        ("0018", 0.1233150, 2.298243e-4),
    ],
)
def test_symmetric_foils_have_their_printed_area_and_second_moment(code, area, second):
    found = section_at(Naca4(code=code, chord_mm=100.0))
    assert found.area_mm2 / 1e4 == pytest.approx(area, rel=1e-4)
    assert found.second_moment_x_mm4 / 1e8 == pytest.approx(second, rel=2e-4)


def test_a_box_an_ellipse_and_a_square_have_their_printed_figures():
    box = section_at(
        Polygon(
            points_mm=((0, 0), (40, 0), (40, 20), (0, 20)),
            holes_mm=(((2, 2), (38, 2), (38, 18), (2, 18)),),
        )
    )
    # 40 · 20³/12 - 36 · 16³/12 and 20 · 40³/12 - 16 · 36³/12.
    assert box.area_mm2 == pytest.approx(224)
    assert box.second_moment_x_mm4 == pytest.approx(14_378.6667)
    assert box.second_moment_y_mm4 == pytest.approx(44_458.6667)
    # Full axes 100 x 10: πab/4, πab³/64, and torsion πa³b³/16(a² + b²).
    ellipse = section_at(Ellipse(width_mm=100, height_mm=10))
    assert ellipse.area_mm2 == pytest.approx(785.398163, rel=1e-6)
    assert ellipse.second_moment_x_mm4 == pytest.approx(4908.738521, rel=1e-6)
    assert ellipse.torsion_constant_mm4 == pytest.approx(19_440.5486, rel=1e-6)
    # Torsion of a square, 0.140577 a⁴ (Timoshenko and Goodier; from memory).
    square = section_at(Rectangle(width_mm=10, height_mm=10))
    assert square.torsion_constant_mm4 == pytest.approx(1405.77, rel=2e-3)


@pytest.mark.parametrize(
    ("volume", "mass"),
    # Wf = Vf ρf / (Vf ρf + Vm ρm) with 1.80 and 1.15 g/cm³ (Hull and Clyne; from memory).
    [(0.30, 0.401487), (0.40, 0.510638), (0.50, 0.610169), (0.55, 0.656716), (0.60, 0.701299)],
)
def test_a_share_of_volume_becomes_a_share_of_mass(volume, mass):
    assert mass_fraction(volume, 1800, 1150) == pytest.approx(mass, abs=5e-7)


@pytest.mark.parametrize(
    ("count", "allowed", "bad"),
    # What passes one time in ten: 1 - 0.1^(1/5), and the binomial sums of the two others.
    [(5, 0, 0.3690), (20, 1, 0.1810), (32, 2, 0.1579)],
)
def test_a_plan_lets_so_bad_a_lot_pass_one_time_in_ten(count, allowed, bad):
    assert passes_share(count, allowed, bad) == pytest.approx(0.10, abs=5e-4)


@pytest.mark.parametrize(
    ("density", "speed", "pascals"),
    # ½ρv² in air of 1.225 kg/m³ (ISA at sea level) and sea water of 1025.
    [
        *((1.225, 5, 15.3125), (1.225, 10, 61.25), (1.225, 15, 137.8125), (1.225, 20, 245.0)),
        *((1.225, 30, 551.25), (1025, 6, 18_450), (1025, 10, 51_250)),
    ],
)
def test_a_flow_presses_to_the_figure(density, speed, pascals):
    assert dynamic_pressure_pa(density, speed) == pytest.approx(pascals)


@pytest.mark.parametrize(
    ("aspect", "leaky", "at_five"),
    # a = 2π / (1 + 2 / (e A)) with e = 0.95, and CL at 5° with e = 1 (Prandtl's lifting line).
    [
        (5, 4.421501, 0.391651),
        (6, 4.651189, 0.411234),
        (8, 4.974188, 0.438649),
        (10, 5.190457, 0.456926),
    ],
)
def test_a_finite_span_lifts_to_the_figure(aspect, leaky, at_five):
    assert lifting_line_per_rad(aspect, 0.95) == pytest.approx(leaky, abs=5e-7)
    assert lift_coefficient_at(5, aspect, 1.0) == pytest.approx(at_five, abs=5e-7)


def test_air_by_two_standards_is_the_same():
    # Half fibre by mass, 1.370 g/cm³ measured: ASTM D3171 leaves 100 - 38.055556 - 59.565217 of it
    # (from memory), ASTM D2734 the share the density lacks.
    fibre, matrix = 0.5 * 1.370 / 1.80, 0.5 * 1.370 / 1.15
    assert (fibre, matrix) == pytest.approx((0.38055556, 0.59565217), abs=5e-9)
    assert void_share(density(0.5, 1.80, 1.15), 1.370) == pytest.approx(1 - fibre - matrix)


@pytest.mark.parametrize(
    ("length_mm", "along"),
    # Halpin and Kardos with ξ = 2l/d (from memory), 30 % of fibre of 230 GPa in 3 GPa, d = 7 µm.
    [(0.1, 27.3986), (0.2, 38.6363), (3, 67.1411), (6, 69.0601), (25, 70.5988)],
)
def test_longer_fibres_stiffen_up_to_a_few_millimetres(length_mm, along):
    found = halpin_tsai(230.0, 3.0, 0.30, 2 * length_mm / 0.007)
    assert found == pytest.approx(along, abs=5e-5)
