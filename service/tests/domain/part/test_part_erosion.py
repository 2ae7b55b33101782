"""What a shell leaves of a region, against shapes whose inside is known."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.part.erosion import core_integrals
from mouldwright.domain.part.polygon import region_integrals, sound_region
from mouldwright.domain.part.section import outline_at
from mouldwright.domain.part.shape import Ellipse, Naca4, Rectangle, Tube


@given(st.floats(5, 60), st.floats(5, 60), st.floats(0.05, 2.4))
def test_a_rectangle_keeps_a_rectangle(width, height, shell):
    core = core_integrals(outline_at(Rectangle(width_mm=width, height_mm=height)), shell)
    b, h = width - 2 * shell, height - 2 * shell
    assert core.area == pytest.approx(b * h)
    about = core.central()
    assert about.second_yy == pytest.approx(b * h**3 / 12)
    assert about.second_xx == pytest.approx(h * b**3 / 12, rel=1e-6)
    assert core.centroid == pytest.approx((width / 2, 0.0), abs=1e-9)


def test_a_tube_has_a_shell_inside_and_outside():
    # 20 outside, 8 inside, shell 1: the core is the ring from 10 to 18.
    core = core_integrals(outline_at(Tube(outer_mm=20, inner_mm=8)), 1.0, columns=400)
    assert core.area == pytest.approx(math.pi / 4 * (18**2 - 10**2), rel=2e-3)
    assert core.second_yy == pytest.approx(math.pi / 64 * (18**4 - 10**4), rel=2e-3)


def test_an_l_keeps_an_l():
    # Legs 30 and 20 long, 10 wide, shell 2: round the inner corner the shell is a quarter circle.
    loop = np.array([[0, 0], [20, 0], [20, 10], [10, 10], [10, 30], [0, 30]], dtype=float)
    core = core_integrals([loop], 2.0, columns=600)
    # By hand: x 2..18, y 2..8 is 96; x 2..8, y 8..28 is 120; and by the inner corner the
    # square x 8..10, y 8..10 keeps what is further than 2 from (10, 10): 4 - π.
    assert core.area == pytest.approx(96 + 120 + 4 - math.pi, rel=1e-3)


def test_a_section_thinner_than_two_shells_has_no_core():
    assert core_integrals(outline_at(Rectangle(width_mm=20, height_mm=5)), 2.5).area == 0
    assert core_integrals(outline_at(Rectangle(width_mm=4, height_mm=50)), 2.5).area == 0
    assert core_integrals(outline_at(Naca4(code="0012", chord_mm=64)), 3.9).area == 0


@given(st.floats(0.05, 3.5), st.floats(0.05, 3.5))
def test_a_thicker_shell_leaves_less(one, other):
    outline = outline_at(Naca4(code="4412", chord_mm=64))
    whole = region_integrals(outline)
    thin, thick = (core_integrals(outline, shell) for shell in sorted((one, other)))
    assert thick.area <= thin.area * (1 + 1e-3)
    assert thin.area < whole.area


def test_a_thin_shell_weighs_its_outline():
    # Steiner: the shell's area is perimeter · w - π w² for a convex outline.
    outline = outline_at(Ellipse(width_mm=40, height_mm=20))
    sides = np.roll(outline[0], -1, axis=0) - outline[0]
    around = float(np.hypot(*sides.T).sum())
    core = core_integrals(outline, 0.5, columns=400)
    shell = region_integrals(outline).area - core.area
    assert shell == pytest.approx(around * 0.5 - math.pi * 0.25, rel=1e-3)


def test_a_hole_keeps_a_wall_of_its_own():
    # 40 x 20 with a hole 36 x 16: walls of 2, all shell at 1 mm but for what is left by each
    # corner between the outer edges and the quarter circle about the hole's: 4 (1 - π/4).
    loops = sound_region(
        ((0, 0), (40, 0), (40, 20), (0, 20)), (((2, 2), (38, 2), (38, 18), (2, 18)),)
    )
    assert core_integrals(loops, 1.0, columns=2000).area == pytest.approx(4 - math.pi, rel=5e-3)
    # At 0.5 mm a frame 1 mm wide is left, its corners rounded outside the hole's corners:
    # 39 x 19 - 37 x 17 + (4 - π) · 0.5², by hand.
    left = core_integrals(loops, 0.5, columns=800).area
    assert left == pytest.approx(39 * 19 - 37 * 17 + (4 - math.pi) * 0.25, rel=5e-3)
