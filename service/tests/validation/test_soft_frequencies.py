"""First bending frequencies of parts that give way in shear, against forms from outside.

What is solved apart is the state of a beam (height, turn, moment, shear) carried along the span
by the exponential of its own equations, piece by piece, and closed at the far end: no element,
no assumed shape, nothing of the code under test.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.linalg import expm
from scipy.optimize import brentq

from mouldwright.domain.part.beam import STATIONS
from mouldwright.domain.part.frequency import first_frequency_hz

EVEN = np.ones(STATIONS.shape)
SPAN, EI, GRAMS_MM = 200.0, 625_000.0, 0.12
# The first pair makes a plain bar 40 times as long as thick, the last a skinned foam.
SHEARS_N = [1e5, 2e4, 5e3, 1e3]


def ring(bending, shear, mass, support, gyration=None):
    return first_frequency_hz(
        span_mm=SPAN,
        bending_n_mm2=bending,
        shear_n=shear,
        mass_g_mm=mass,
        support=support,
        gyration_mm2=gyration,
    )


@pytest.mark.parametrize("shear", SHEARS_N)
def test_a_bar_on_two_supports_rings_slower_by_its_shear(shear):
    # ω² = ω0² / (1 + π² EI / (GA L²)), turning inertia left out: Timoshenko, Vibration Problems
    # in Engineering, effect of shear (from memory); the sine half-wave is its exact shape.
    bare = (math.pi / SPAN) ** 4 * EI / (GRAMS_MM * 1e-6)
    expected = math.sqrt(bare / (1 + math.pi**2 * EI / (shear * SPAN**2))) / (2 * math.pi)
    found = ring(EVEN * EI, EVEN * shear, EVEN * GRAMS_MM, "simply supported")
    assert found == pytest.approx(expected, rel=3e-4)


def solved_apart(bending, shear, mass, support, pieces=1, gyration=lambda _: 0.0):
    """Return the first frequency of a beam whose figures are functions of the share of span."""
    at = (np.arange(pieces) + 0.5) / pieces

    def closing(hertz):
        omega2 = (2 * math.pi * hertz) ** 2
        rules = np.zeros((pieces, 4, 4))
        rules[:, 0, 1], rules[:, 2, 3] = 1, -1
        rules[:, 0, 3] = [1 / shear(x) for x in at]
        rules[:, 1, 2] = [1 / bending(x) for x in at]
        rules[:, 3, 0] = [-mass(x) * 1e-6 * omega2 for x in at]
        rules[:, 2, 1] = [-mass(x) * 1e-6 * gyration(x) * omega2 for x in at]
        whole = np.eye(4)
        for step in expm(rules * (SPAN / pieces)):
            whole = step @ whole
        # A clamped root leaves moment and shear free; the far end closes on what it may not have.
        lacks = {"cantilever": (2, 3), "both ends fixed": (0, 1)}[support]
        return np.linalg.det(whole[np.ix_(lacks, (2, 3))] * np.array([1.0, SPAN]))

    low, begins = 5.0, closing(5.0) > 0
    while (closing(low + 10) > 0) == begins:
        low += 10
    return brentq(closing, low, low + 10, xtol=1e-4)


@pytest.mark.parametrize("support", ["cantilever", "both ends fixed"])
@pytest.mark.parametrize("shear", SHEARS_N)
def test_clamped_bars_ring_as_their_own_equations_say(support, shear):
    expected = solved_apart(lambda _: EI, lambda _: shear, lambda _: GRAMS_MM, support)
    found = ring(EVEN * EI, EVEN * shear, EVEN * GRAMS_MM, support)
    assert found == pytest.approx(expected, rel=2e-3)


def test_a_tapered_foil_over_a_soft_core_rings_as_its_own_equations_say():
    def left(x):
        return 1 - 0.4 * x

    expected = solved_apart(
        lambda x: EI * left(x) ** 4,
        lambda x: 4e3 * left(x) ** 2,
        lambda x: GRAMS_MM * left(x) ** 2,
        "cantilever",
        pieces=60,
    )
    along = left(STATIONS)
    found = ring(EI * along**4, 4e3 * along**2, GRAMS_MM * along**2, "cantilever")
    assert found == pytest.approx(expected, rel=1e-3)


def test_a_soft_core_lowers_the_frequency_by_as_much_as_it_matters():
    # π² EI / (GA L²) = 0.617 at 250 N of shear stiffness: 1/√1.617 = 0.786 of the bare one.
    stiff = ring(EVEN * EI, None, EVEN * GRAMS_MM, "simply supported")
    soft = ring(EVEN * EI, EVEN * 250.0, EVEN * GRAMS_MM, "simply supported")
    assert soft / stiff == pytest.approx(0.7864, abs=1e-3)


@pytest.mark.parametrize("radius", [2.0, 10.0, 25.0])
@pytest.mark.parametrize("shear", [1e9, 2e4, 5e3])
def test_a_bar_on_two_supports_rings_slower_by_the_turning_of_its_sections(radius, shear):
    # With k = π / L and m the mass of a length, the first ω² is the lesser root of
    # m² r² / GA ω⁴ - m (1 + k² r² + k² EI / GA) ω² + EI k⁴ = 0: Timoshenko, Vibration Problems
    # in Engineering, effect of shear and rotary inertia (from memory); the sine is its exact shape.
    m, k = GRAMS_MM * 1e-6, math.pi / SPAN
    across = 1 + (k * radius) ** 2 + k**2 * EI / shear
    product = 4 * (radius * k**2) ** 2 * EI / shear
    omega2 = 2 * EI * k**4 / m / (across + math.sqrt(across**2 - product))
    gyration = EVEN * radius**2
    found = ring(EVEN * EI, EVEN * shear, EVEN * GRAMS_MM, "simply supported", gyration)
    assert found == pytest.approx(math.sqrt(omega2) / (2 * math.pi), rel=1e-3)


@pytest.mark.parametrize("support", ["cantilever", "both ends fixed"])
def test_clamped_bars_whose_sections_turn_ring_as_their_own_equations_say(support):
    expected = solved_apart(
        lambda _: EI, lambda _: 2e4, lambda _: GRAMS_MM, support, gyration=lambda _: 400.0
    )
    found = ring(EVEN * EI, EVEN * 2e4, EVEN * GRAMS_MM, support, EVEN * 400.0)
    assert found == pytest.approx(expected, rel=2e-3)


def test_the_turning_of_sections_matters_by_half_of_pi_r_over_l_squared():
    # Timoshenko, as above, first order: 1 - ½ (π r / L)². r = 10 of 200 mm: 1.23 % slower.
    still = ring(EVEN * EI, None, EVEN * GRAMS_MM, "simply supported")
    turning = ring(EVEN * EI, None, EVEN * GRAMS_MM, "simply supported", EVEN * 100.0)
    assert 1 - turning / still == pytest.approx(0.0123, abs=3e-4)
