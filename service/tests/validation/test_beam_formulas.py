"""Beam deflections against handbook formulas.

Closed forms: Roark's Formulas for Stress and Strain, table of shear, moment and deflection
formulas for straight elastic beams (Table 8.1 in the 7th edition; from memory). One bar for
all of them: 20 mm wide, 5 mm high, 200 mm long, E = 3000 MPa, so I = 20·5³/12 = 208.333 mm⁴
and EI = 625 000 N mm²; 10 N in all.
"""

import math

import numpy as np
import pytest

from mouldwright.domain.part.beam import STATIONS, bend
from mouldwright.domain.part.frequency import first_frequency_hz

SPAN, EI, FORCE = 200.0, 625_000.0, 10.0
EVEN = np.ones_like(STATIONS)


def deflection(support, load, *, shear=math.inf, span=SPAN, mount=None, bending=EI):
    return bend(
        span_mm=span,
        bending_n_mm2=EVEN * bending,
        shear_n=EVEN * shear,
        support=support,
        load=load,
        force_n=FORCE,
        mount_n_mm_per_rad=mount,
    ).deflection_mm


@pytest.mark.parametrize(
    ("support", "load", "coefficient"),
    [
        # deflection = coefficient x W L³ / EI, with W = wL for a spread load
        ("cantilever", "end", 1 / 3),
        ("cantilever", "uniform", 1 / 8),
        ("cantilever", "centre", 5 / 48),
        ("cantilever", "triangular", 1 / 15),
        ("simply supported", "centre", 1 / 48),
        ("simply supported", "uniform", 5 / 384),
        ("both ends fixed", "centre", 1 / 192),
        ("both ends fixed", "uniform", 1 / 384),
    ],
)
def test_a_uniform_bar_bends_as_the_handbook_says(support, load, coefficient):
    expected = coefficient * FORCE * SPAN**3 / EI
    assert deflection(support, load) == pytest.approx(expected, rel=1e-9)


def test_a_triangular_load_on_two_supports_bends_as_the_handbook_rounds_it():
    # Roark gives 0.00652 q L⁴/EI for the greatest deflection, q = 2W/L at the heavy end: three
    # figures, so half of the last one is 0.08 %.
    expected = 0.00652 * 2 * FORCE * SPAN**3 / EI
    assert deflection("simply supported", "triangular") == pytest.approx(expected, rel=8e-4)


def test_the_root_stress_of_the_bar_is_24_mpa():
    # M c / I = 10 N · 200 mm · 2.5 mm / 208.333 mm⁴, worked by hand.
    bent = bend(
        span_mm=SPAN,
        bending_n_mm2=EVEN * EI,
        shear_n=EVEN * math.inf,
        support="cantilever",
        load="end",
        force_n=FORCE,
    )
    assert bent.root_moment_n_mm * 2.5 / 208.333333 == pytest.approx(24.0, rel=1e-6)


@pytest.mark.parametrize("slenderness", [4, 8, 16, 32, 64])
def test_shear_adds_what_timoshenko_says(slenderness):
    # Shear over bending deflection for a rectangle, κ = 5/6: 1.2 (E/G)(h/L)² for a load in the
    # middle of two supports, 0.3 (E/G)(h/L)² for a cantilever loaded at its end (Timoshenko
    # beam theory; Gere and Timoshenko, Mechanics of Materials; from memory). E/G = 2.7.
    height, area = 5.0, 100.0
    span = slenderness * height
    shear = 5 / 6 * area * 3000 / 2.7
    for support, load, factor in (
        ("simply supported", "centre", 1.2),
        ("cantilever", "end", 0.3),
    ):
        stiff = deflection(support, load, span=span)
        soft = deflection(support, load, span=span, shear=shear)
        expected = factor * 2.7 / slenderness**2
        assert soft / stiff - 1 == pytest.approx(expected, rel=1e-9)


def test_elastic_mounts_lie_between_simple_supports_and_fixed_ends():
    free = deflection("simply supported", "centre")
    fixed = deflection("both ends fixed", "centre")
    assert deflection("elastic mounts", "centre", mount=0.0) == pytest.approx(free, rel=1e-12)
    assert deflection("elastic mounts", "centre", mount=1e15) == pytest.approx(fixed, rel=1e-6)
    # A mount of 2EI/L at both ends: the end moment is PL/8 · 1/(1 + 2EI/(kL)) = PL/16, and
    # the middle comes back by M L²/8EI: PL³/48EI - PL³/128EI. Worked by hand.
    half = deflection("elastic mounts", "centre", mount=2 * EI / SPAN)
    assert half == pytest.approx(FORCE * SPAN**3 / EI * (1 / 48 - 1 / 128), rel=1e-9)


def test_a_tapered_cantilever_bends_as_its_integral_says():
    # EI falls linearly from EI to EI/2: w = P/EI ∫ (L - x)² / (1 - x/2L) dx. With u = 1 - x/L
    # it is PL³/EI · 2 ∫ u²/(1 + u) du = PL³/EI · 2 (ln 2 - 1/2).
    bent = bend(
        span_mm=SPAN,
        bending_n_mm2=EI * (1 - STATIONS / 2),
        shear_n=EVEN * math.inf,
        support="cantilever",
        load="end",
        force_n=FORCE,
    )
    expected = FORCE * SPAN**3 / EI * 2 * (math.log(2) - 0.5)
    assert bent.deflection_mm == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("support", "root"),
    [
        # First roots of the frequency equations of a uniform beam (Blevins, Formulas for
        # Natural Frequency and Mode Shape, Table 8-1; from memory).
        ("cantilever", 1.87510407),
        ("simply supported", math.pi),
        ("both ends fixed", 4.73004074),
    ],
)
def test_a_uniform_bar_rings_as_the_handbook_says(support, root):
    grams_mm = 0.12
    found = first_frequency_hz(
        span_mm=SPAN, bending_n_mm2=EVEN * EI, mass_g_mm=EVEN * grams_mm, support=support
    )
    # 1 g/mm is 1e-6 t/mm, the mass unit that goes with N and mm.
    expected = root**2 / (2 * math.pi) * math.sqrt(EI / (grams_mm * 1e-6 * SPAN**4))
    assert found == pytest.approx(expected, rel=1e-3)


def test_a_load_at_the_end_of_two_supports_is_refused_with_what_would_be_right():
    with pytest.raises(ValueError, match='write "centre", "uniform" or "triangular"'):
        deflection("simply supported", "end")


def test_linear_theory_is_three_per_cent_off_where_the_tip_moves_a_sixth_of_the_span():
    # The elastica at PL²/EI = 0.5 gives δ/L = 0.1621436 (Bisshopp and Drucker, 1945; solved
    # again by integrating the elastica), linear theory 0.5/3.
    assert pytest.approx(0.028, abs=5e-4) == (0.5 / 3) / 0.1621436 - 1
    bent = deflection("cantilever", "end", bending=FORCE * SPAN**2 / 0.5)
    assert bent / SPAN == pytest.approx(0.5 / 3, rel=1e-9)
