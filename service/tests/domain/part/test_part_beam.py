"""What must hold of every beam, whatever its numbers."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.part.beam import STATIONS, bend
from mouldwright.domain.part.frequency import first_frequency_hz

spans = st.floats(20, 2000)
stiffnesses = st.floats(1e3, 1e9)
forces = st.floats(0.1, 500)
tapers = st.floats(0.2, 3.0)
CASES = [
    ("cantilever", "end"),
    ("cantilever", "centre"),
    ("cantilever", "uniform"),
    ("cantilever", "triangular"),
    ("simply supported", "centre"),
    ("simply supported", "uniform"),
    ("simply supported", "triangular"),
    ("both ends fixed", "centre"),
    ("both ends fixed", "uniform"),
    ("both ends fixed", "triangular"),
]
cases = st.sampled_from(CASES)
ON_TWO = st.sampled_from(["centre", "uniform", "triangular"])


def bent(case, span, root, *, taper=1.0, force=10.0, shear=math.inf, mount=None):
    return bend(
        span_mm=span,
        bending_n_mm2=root * (1 + (taper - 1) * STATIONS),
        shear_n=np.full_like(STATIONS, shear),
        support=case[0],
        load=case[1],
        force_n=force,
        mount_n_mm_per_rad=mount,
    )


@given(cases, spans, stiffnesses, tapers, forces)
def test_twice_the_load_bends_twice_as_far(case, span, root, taper, force):
    once, twice = (bent(case, span, root, taper=taper, force=f) for f in (force, 2 * force))
    assert twice.deflection_mm == pytest.approx(2 * once.deflection_mm)
    assert twice.greatest_moment_n_mm == pytest.approx(2 * once.greatest_moment_n_mm)


@given(cases, spans, stiffnesses, tapers, st.floats(1.01, 100))
def test_a_stiffer_beam_bends_less_in_proportion(case, span, root, taper, k):
    soft, stiff = (bent(case, span, r, taper=taper) for r in (root, k * root))
    assert soft.deflection_mm == pytest.approx(k * stiff.deflection_mm)


@given(cases, spans, stiffnesses, tapers, st.floats(1.1, 5))
def test_deflection_grows_with_the_cube_of_the_span(case, span, root, taper, k):
    short, long = (bent(case, s, root, taper=taper) for s in (span, k * span))
    assert long.deflection_mm == pytest.approx(k**3 * short.deflection_mm, rel=1e-9)


@given(cases, spans, stiffnesses, tapers, st.floats(1e2, 1e7))
def test_shear_only_ever_adds(case, span, root, taper, shear):
    stiff = bent(case, span, root, taper=taper)
    soft = bent(case, span, root, taper=taper, shear=shear)
    assert soft.deflection_mm > stiff.deflection_mm


@given(ON_TWO, spans, stiffnesses, tapers, st.floats(1e-3, 1e3))
def test_elastic_mounts_lie_between_free_and_fixed_ends(load, span, root, taper, share):
    free = bent(("simply supported", load), span, root, taper=taper)
    held = bent(("elastic mounts", load), span, root, taper=taper, mount=share * root / span)
    fixed = bent(("both ends fixed", load), span, root, taper=taper)
    assert fixed.deflection_mm < held.deflection_mm < free.deflection_mm


@given(cases, spans, stiffnesses, st.floats(0.2, 0.99))
def test_a_taper_bends_between_its_root_and_its_tip(case, span, root, taper):
    tapered = bent(case, span, root, taper=taper).deflection_mm
    assert bent(case, span, root).deflection_mm < tapered
    assert tapered < bent(case, span, taper * root).deflection_mm


@pytest.mark.parametrize("case", CASES)
def test_the_curve_starts_and_ends_where_it_is_held(case):
    found = bent(case, 200.0, 1e6, taper=0.4)
    assert found.x_mm[0] == 0
    assert found.x_mm[-1] == 200
    assert found.curve_mm[0] == 0
    if case[0] != "cantilever":
        assert found.curve_mm[-1] == pytest.approx(0.0, abs=1e-9)
    assert found.curve_mm.min() >= -1e-9
    # Between the places of the curve it is never much greater than at them.
    assert found.curve_mm.max() <= found.deflection_mm * (1 + 1e-12)
    assert found.deflection_mm == pytest.approx(found.curve_mm.max(), rel=2e-3)


@pytest.mark.parametrize(
    ("case", "root", "greatest"),
    [
        # Moments over W L: Roark, Table 8.1 (from memory).
        (("cantilever", "end"), 1, 1),
        (("cantilever", "centre"), 1 / 2, 1 / 2),
        (("cantilever", "uniform"), 1 / 2, 1 / 2),
        (("cantilever", "triangular"), 1 / 3, 1 / 3),
        (("simply supported", "centre"), 0, 1 / 4),
        (("simply supported", "uniform"), 0, 1 / 8),
        (("both ends fixed", "centre"), 1 / 8, 1 / 8),
        (("both ends fixed", "uniform"), 1 / 12, 1 / 12),
        # q L²/20 at the heavy end, q = 2W/L.
        (("both ends fixed", "triangular"), 1 / 10, 1 / 10),
    ],
)
def test_moments_are_those_of_the_handbook(case, root, greatest):
    found = bent(case, 200.0, 1e6, force=10.0)
    assert found.root_moment_n_mm == pytest.approx(root * 2000, abs=1e-6)
    assert found.greatest_moment_n_mm == pytest.approx(greatest * 2000)
    assert np.abs(found.moment_n_mm).max() == found.greatest_moment_n_mm


def test_ratios_between_cases_hold_whatever_the_numbers():
    # From the closed forms PL³/48, /192, /3 and wL⁴ 5/384, 1/384, 1/8.
    def size(*case):
        return bent(case, 317.0, 4.2e5, force=7.0).deflection_mm

    free, fixed = "simply supported", "both ends fixed"
    assert size(free, "centre") / size(fixed, "centre") == pytest.approx(4)
    assert size(free, "uniform") / size(fixed, "uniform") == pytest.approx(5)
    assert size("cantilever", "end") / size(free, "centre") == pytest.approx(16)
    assert size("cantilever", "end") / size("cantilever", "uniform") == pytest.approx(8 / 3)


def test_shear_does_not_change_how_fixed_ends_share_a_central_load():
    # By symmetry both end moments stay PL/8; deflection gains PL/4κGA (Timoshenko).
    shear = 1e4
    soft = bent(("both ends fixed", "centre"), 200.0, 1e6, shear=shear)
    assert soft.root_moment_n_mm == pytest.approx(10 * 200 / 8)
    expected = 10 * 200**3 / (192 * 1e6) + 10 * 200 / (4 * shear)
    assert soft.deflection_mm == pytest.approx(expected)


@pytest.mark.parametrize(
    ("mount", "said"), [(None, "mount_n_mm_per_rad"), (-1.0, "stiffness of 0 or more")]
)
def test_mounts_without_a_stiffness_are_refused_in_words(mount, said):
    with pytest.raises(ValueError, match=said):
        bent(("elastic mounts", "centre"), 200.0, 1e6, mount=mount)


def test_a_bend_test_gives_back_the_modulus_it_was_worked_from():
    # E = L³m/(4bd³) (ASTM D790; from memory): a bar 10 x 4 on 64 mm supports that gives 50 N/mm
    # has E = 64³·50/(4·10·4³) = 5120 MPa. So 50 N bend it 1 mm.
    found = bent(("simply supported", "centre"), 64.0, 5120 * 10 * 4**3 / 12, force=50.0)
    assert found.deflection_mm == pytest.approx(1.0)


def ring(bending, mass, **held):
    return first_frequency_hz(span_mm=200.0, bending_n_mm2=bending, mass_g_mm=mass, **held)


@pytest.mark.parametrize(
    ("area_power", "root"),
    # Cantilever wedge and cone tapering to a point: ω = λ √(EI/ρA L⁴) with λ = 5.315 and
    # 8.718 at the root (Kirchhoff 1879; in Blevins, Formulas for Natural Frequency; from
    # memory).
    [(1, 5.315), (2, 8.718)],
)
def test_a_wedge_and_a_cone_ring_as_kirchhoff_found(area_power, root):
    left = 1 - STATIONS
    found = ring(1e6 * left ** (area_power + 2), 0.1 * left**area_power, support="cantilever")
    expected = root / (2 * math.pi) * math.sqrt(1e6 / (0.1e-6 * 200**4))
    assert found == pytest.approx(expected, rel=1e-3)


@given(st.floats(1e-3, 1e3))
def test_elastic_mounts_ring_between_free_and_fixed_ends(share):
    even, mass = np.full_like(STATIONS, 1e6), np.full_like(STATIONS, 0.1)
    free = ring(even, mass, support="simply supported")
    held = ring(even, mass, support="elastic mounts", mount_n_mm_per_rad=share * 1e6 / 200)
    fixed = ring(even, mass, support="both ends fixed")
    assert free < held < fixed
