"""Sections of every shape, at the root and along a taper."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.part.polygon import region_integrals
from mouldwright.domain.part.section import outline_at, section_at, sections_along
from mouldwright.domain.part.shape import (
    Coordinates,
    Ellipse,
    Naca4,
    Polygon,
    Rectangle,
    Tube,
)

WEDGE = ((0.0, 0.0), (30.0, 0.0), (0.0, 60.0))
SHAPES = [
    Naca4(code="0012", chord_mm=64, tip_chord_mm=54),
    Naca4(code="4415", chord_mm=64, tip_chord_mm=30),
    Polygon(points_mm=WEDGE, tip_scale=0.5),
    Rectangle(width_mm=30, height_mm=8, tip_width_mm=20, tip_height_mm=4),
    Ellipse(width_mm=30, height_mm=8, tip_width_mm=20, tip_height_mm=4),
    Tube(outer_mm=20, inner_mm=16, tip_outer_mm=12, tip_inner_mm=9),
]


@pytest.mark.parametrize("shape", SHAPES, ids=lambda s: type(s).__name__)
@pytest.mark.parametrize("share", [0.0, 0.37, 1.0])
def test_the_numbers_of_a_section_are_those_of_its_outline(shape, share):
    section, drawn = section_at(shape, share), region_integrals(outline_at(shape, share))
    about = drawn.central()
    # Curves are drawn as short edges, which read low.
    assert section.area_mm2 == pytest.approx(drawn.area, rel=2e-3)
    assert section.second_moment_x_mm4 == pytest.approx(about.second_yy, rel=5e-3)
    assert section.second_moment_y_mm4 == pytest.approx(about.second_xx, rel=5e-3)
    assert (section.centroid_x_mm, section.centroid_y_mm) == pytest.approx(
        drawn.centroid, rel=2e-3, abs=1e-9
    )
    heights = outline_at(shape, share)[0][:, 1]
    reach = max(heights.max() - section.centroid_y_mm, section.centroid_y_mm - heights.min())
    assert section.extreme_fibre_mm == pytest.approx(reach, rel=2e-3)
    assert section.width_mm == pytest.approx(np.ptp(outline_at(shape, share)[0][:, 0]), rel=2e-2)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda s: type(s).__name__)
def test_a_line_of_sections_is_each_section_by_itself(shape):
    line = sections_along(shape, np.array([0.0, 0.5, 1.0]))
    for at, share in enumerate(line.shares):
        section = section_at(shape, float(share))
        assert line.area_mm2[at] == section.area_mm2
        assert line.shear_area_mm2[at] == section.shear_area_mm2
        assert line.torsion_constant_mm4[at] == section.torsion_constant_mm4


def test_a_tip_size_is_reached_in_a_straight_line():
    middle = section_at(Rectangle(width_mm=30, height_mm=8, tip_width_mm=20), 0.5)
    # Width halfway is 25; a height without a tip size stays.
    assert middle.area_mm2 == pytest.approx(25 * 8)
    assert section_at(Naca4(code="0012", chord_mm=64, tip_chord_mm=54), 0.5).width_mm == 59
    half = section_at(Polygon(points_mm=WEDGE, tip_scale=0.5), 1.0)
    assert half.area_mm2 == pytest.approx(900 / 4)
    assert half.second_moment_x_mm4 == pytest.approx(180_000 / 16)


@given(st.floats(1, 100), st.floats(0.2, 5))
def test_a_foil_scales_with_its_chord(chord, k):
    one = section_at(Naca4(code="2412", chord_mm=chord))
    other = section_at(Naca4(code="2412", chord_mm=k * chord))
    assert other.area_mm2 == pytest.approx(k**2 * one.area_mm2)
    assert other.second_moment_x_mm4 == pytest.approx(k**4 * one.second_moment_x_mm4)
    assert other.torsion_constant_mm4 == pytest.approx(k**4 * one.torsion_constant_mm4)
    assert other.thickness_mm == pytest.approx(k * one.thickness_mm)


@pytest.mark.parametrize(
    ("shape", "thickest", "least"),
    [
        # 0012 is 1.000288 of its nominal thickness, at 0.29983 of the chord; the tail is open
        # by 0.021 t (from the ordinates of NASA TM-4741, worked apart from this code).
        (Naca4(code="0012", chord_mm=100), 12.00346, 0.252),
        (Rectangle(width_mm=30, height_mm=8), 8, 8),
        (Rectangle(width_mm=6, height_mm=8), 6, 6),
        (Ellipse(width_mm=30, height_mm=8), 8, 8),
        (Tube(outer_mm=20, inner_mm=16), 2, 2),
        (Tube(outer_mm=20), 20, 20),
        # The incircle of a right triangle: (30 + 40 - 50)/2.
        (Polygon(points_mm=((0, 0), (30, 0), (0, 40))), 20, 20),
    ],
    ids=lambda s: type(s).__name__,
)
def test_thickness_is_what_a_filling_or_a_nozzle_meets(shape, thickest, least):
    section = section_at(shape)
    assert section.thickness_mm == pytest.approx(thickest, rel=1e-4)
    assert section.least_thickness_mm == pytest.approx(least, rel=1e-3)


def test_shear_areas_meet_their_closed_forms():
    # Rectangle 5/6 (Timoshenko); round bar 6/7 and thin tube 1/2 (Cowper 1966 with Poisson's
    # ratio left out; from memory).
    assert section_at(Rectangle(width_mm=20, height_mm=5)).shear_area_mm2 == pytest.approx(
        5 / 6 * 100
    )
    box = Polygon(points_mm=((0, 0), (20, 0), (20, 5), (0, 5)))
    assert section_at(box).shear_area_mm2 == pytest.approx(5 / 6 * 100, rel=1e-3)
    bar, oval = section_at(Tube(outer_mm=10)), section_at(Ellipse(width_mm=10, height_mm=10))
    assert bar.shear_area_mm2 / bar.area_mm2 == pytest.approx(6 / 7)
    assert oval.shear_area_mm2 == pytest.approx(bar.shear_area_mm2)
    thin = section_at(Tube(outer_mm=100, inner_mm=99.9))
    assert thin.shear_area_mm2 / thin.area_mm2 == pytest.approx(0.5, rel=1e-3)


@pytest.mark.parametrize(
    ("ratio", "beta"),
    # J = β b h³ for b/h (Timoshenko and Goodier, Theory of Elasticity, rectangular bars;
    # from memory).
    [(1, 0.1406), (2, 0.229), (4, 0.281), (10, 0.312)],
)
def test_a_rectangle_twists_as_the_table_says_whichever_side_is_up(ratio, beta):
    flat = section_at(Rectangle(width_mm=5 * ratio, height_mm=5)).torsion_constant_mm4
    upright = section_at(Rectangle(width_mm=5, height_mm=5 * ratio)).torsion_constant_mm4
    assert flat == pytest.approx(beta * 5 * ratio * 5**3, abs=5e-4 * 5 * ratio * 5**3)
    assert upright == pytest.approx(flat)


def test_a_round_tube_twists_twice_as_stiffly_as_it_bends():
    tube = section_at(Tube(outer_mm=10, inner_mm=8))
    assert tube.torsion_constant_mm4 == pytest.approx(math.pi / 32 * (10**4 - 8**4))
    # The estimate for any region, a tube's hole taken off, is exact for a round tube.
    turn = [2 * math.pi * n / 400 for n in range(400)]
    ring = Polygon(
        points_mm=tuple((5 * math.cos(a), 5 * math.sin(a)) for a in turn),
        holes_mm=(tuple((4 * math.cos(a), 4 * math.sin(a)) for a in turn),),
    )
    assert section_at(ring).torsion_constant_mm4 == pytest.approx(
        tube.torsion_constant_mm4, rel=1e-3
    )


@pytest.mark.parametrize(
    ("shape", "said"),
    [
        (Rectangle(width_mm=0, height_mm=5), "width_mm is 0; it must be above zero"),
        (Rectangle(width_mm=5, height_mm=5, tip_height_mm=-1), "tip_height_mm is -1"),
        (Ellipse(width_mm=math.nan, height_mm=5), "width_mm is nan"),
        (Tube(outer_mm=5, inner_mm=5), "no wall at its root"),
        (Tube(outer_mm=9, inner_mm=6, tip_outer_mm=6), "no wall at its tip"),
        (Naca4(code="0012", chord_mm=-3), "chord_mm is -3"),
        (Naca4(code="0x12", chord_mm=3), "four digits"),
        (Polygon(points_mm=WEDGE, tip_scale=0), "tip_scale is 0"),
        (Polygon(points_mm=WEDGE[:2]), "at least three"),
        (Coordinates(points=((1, 0), (0, 0), (0.5, 0)), chord_mm=10), "no area"),
    ],
    ids=str,
)
def test_a_shape_that_is_none_is_refused_in_words(shape, said):
    with pytest.raises(ValueError, match=said):
        section_at(shape)
