"""Section properties against closed forms, exact integrals and a finite-element library."""

import math

import pytest

from mouldwright.domain.part.naca import naca_outline
from mouldwright.domain.part.section import section_at
from mouldwright.domain.part.shape import (
    Coordinates,
    Ellipse,
    Naca4,
    Polygon,
    Rectangle,
    Tube,
)

# Exact integrals over a NACA 4-digit thickness form with the open tail (k = 0.1015), t being
# the thickness: area 0.6850833333 t c² and chordwise second moment 0.0394074574 t³ c⁴. Worked
# from the ordinates of NASA TM-4741 (Ladson and others, 1996) by multinomial integration.
AREA, SECOND = 0.6850833333, 0.0394074574


@pytest.mark.parametrize("code", ["0006", "0009", "0012", "0015", "0018"])
def test_a_naca_section_meets_the_exact_integrals(code):
    thickness, chord = int(code[2:]) / 100, 64.0
    found = section_at(Naca4(code=code, chord_mm=chord))
    assert found.area_mm2 == pytest.approx(AREA * thickness * chord**2, rel=1e-6)
    assert found.second_moment_x_mm4 == pytest.approx(SECOND * thickness**3 * chord**4, rel=1e-6)
    # Centroid at 0.4204354701 of the chord and ∫x² about it 0.0378196177 t c⁴, the same way.
    assert found.centroid_x_mm == pytest.approx(0.4204354701 * chord, rel=1e-6)
    assert found.second_moment_y_mm4 == pytest.approx(0.0378196177 * thickness * chord**4, rel=1e-6)
    assert found.centroid_y_mm == pytest.approx(0.0, abs=1e-9)


def test_a_rectangle_an_ellipse_and_a_tube_meet_their_closed_forms():
    # Any text on mechanics of materials: bh³/12; πab³/4; π(D⁴ - d⁴)/64.
    box = section_at(Rectangle(width_mm=20, height_mm=5))
    assert (box.area_mm2, box.second_moment_x_mm4) == pytest.approx((100, 2500 / 12))
    assert box.second_moment_y_mm4 == pytest.approx(40_000 / 12)
    # Torsion of a rectangle 4:1 is 0.280813 b h³ (Timoshenko and Goodier, Theory of
    # Elasticity, table for rectangular bars; from memory).
    assert box.torsion_constant_mm4 == pytest.approx(0.280813 * 20 * 5**3, rel=2e-3)
    oval = section_at(Ellipse(width_mm=100, height_mm=10))
    assert oval.area_mm2 == pytest.approx(math.pi * 50 * 5)
    assert oval.second_moment_x_mm4 == pytest.approx(math.pi * 50 * 5**3 / 4)
    assert oval.torsion_constant_mm4 == pytest.approx(
        math.pi * 50**3 * 5**3 / (50**2 + 5**2), rel=1e-9
    )
    tube = section_at(Tube(outer_mm=10, inner_mm=8))
    assert tube.area_mm2 == pytest.approx(28.274334, rel=1e-7)
    assert tube.second_moment_x_mm4 == pytest.approx(289.811922, rel=1e-7)


def test_a_triangle_meets_the_polygon_formulas():
    # (0,0) (30,0) (0,60) by Green's theorem, worked by hand: A 900, centroid (10, 20),
    # Ix 180 000, Iy 45 000, Ixy -45 000.
    for points in (((0, 0), (30, 0), (0, 60)), ((0, 60), (30, 0), (0, 0))):
        found = section_at(Polygon(points_mm=points))
        assert found.area_mm2 == pytest.approx(900)
        assert (found.centroid_x_mm, found.centroid_y_mm) == pytest.approx((10, 20))
        assert found.second_moment_x_mm4 == pytest.approx(180_000)
        assert found.second_moment_y_mm4 == pytest.approx(45_000)
        assert found.product_mm4 == pytest.approx(-45_000)


def test_a_hollow_box_is_its_outside_less_its_hole():
    # 40 x 20 outside, wall 2: A 224, I (40·20³ - 36·16³)/12 = 14 378.667.
    found = section_at(
        Polygon(
            points_mm=((0, 0), (40, 0), (40, 20), (0, 20)),
            holes_mm=(((2, 2), (38, 2), (38, 18), (2, 18)),),
        )
    )
    assert found.area_mm2 == pytest.approx(224)
    assert found.second_moment_x_mm4 == pytest.approx((40 * 20**3 - 36 * 16**3) / 12)


def test_a_section_given_by_coordinates_agrees_with_the_same_section_by_its_code():
    points = tuple(map(tuple, naca_outline("0012").tolist()))
    drawn = section_at(Coordinates(points=points, chord_mm=64))
    named = section_at(Naca4(code="0012", chord_mm=64))
    # A polygon inside a curve reads low.
    assert drawn.area_mm2 == pytest.approx(named.area_mm2, rel=2e-3)
    assert drawn.second_moment_x_mm4 == pytest.approx(named.second_moment_x_mm4, rel=5e-3)
    assert drawn.second_moment_x_mm4 <= named.second_moment_x_mm4


@pytest.mark.parametrize("code", ["0012", "4415"])
def test_a_foil_agrees_with_finite_elements(code):
    from sectionproperties.analysis import Section
    from sectionproperties.pre import Geometry
    from shapely import Polygon as Outline

    chord = 64.0
    outline = naca_outline(code) * chord
    geometry = Geometry(Outline(outline)).create_mesh(mesh_sizes=[4.0])
    whole = Section(geometry)
    whole.calculate_geometric_properties()
    found = section_at(Naca4(code=code, chord_mm=chord))
    assert found.area_mm2 == pytest.approx(whole.get_area(), rel=2e-3)
    about_x, about_y, product = whole.get_ic()
    assert found.second_moment_x_mm4 == pytest.approx(about_x, rel=5e-3)
    assert found.second_moment_y_mm4 == pytest.approx(about_y, rel=5e-3)
    assert found.product_mm4 == pytest.approx(product, rel=2e-2, abs=5.0)
