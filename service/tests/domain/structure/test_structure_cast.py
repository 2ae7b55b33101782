"""A casting over rods: where they end, what they displace, whether they are covered."""

import math
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.material import Material, Rod
from mouldwright.domain.part.beam import bend
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.shape import Ellipse, Polygon, Rectangle, Tube
from mouldwright.domain.process.process import Process
from mouldwright.domain.structure.cast import rod_section, transformed_bending
from mouldwright.domain.structure.kinds import CastStructure, RodPlace
from mouldwright.domain.structure.made import along, reached
from mouldwright.domain.structure.making import made

RESIN = Material(key="resin", title="Resin", density_kg_m3=1060, modulus_gpa=1.5)
ROD = Material(key="rod", title="Rod", density_kg_m3=1550, modulus_gpa=130, rod=Rod(diameter_mm=3))
PIPE = replace(ROD, key="pipe", rod=Rod(diameter_mm=3, inner_diameter_mm=2))
MATERIALS = {m.key: m for m in (RESIN, ROD, PIPE)}
BAR = Part(key="bar", title="Bar", span_mm=200, section=Rectangle(width_mm=60, height_mm=8))
ROD_AREA, ROD_SECOND = 7.0685835, 3.9760782  # π 3²/4 and π 3⁴/64


def cast(*rods, part=BAR, squeeze_out="0", **more):
    structure = CastStructure(matrix="resin", rods=rods, **more)
    process = Process(
        key="cast",
        title="Cast",
        structure=structure,
        operations=(),
        squeeze_out=Decimal(squeeze_out),
    )
    return made(part, process, MATERIALS)


def rod(x, y, material="rod", **more):
    return RodPlace(material=material, at=(x, y), **more)


def tip_mm(found):
    return bend(
        span_mm=200,
        bending_n_mm2=found.bending_n_mm2,
        shear_n=np.full_like(found.shear_n, np.inf),
        support="cantilever",
        load="end",
        force_n=10,
    ).deflection_mm


def test_rods_on_the_middle_plane_add_their_own_stiffness_only():
    # EI = 1500·60·8³/12 + 2·(130 000 - 1500)·3.9760782 = 4 861 852.1, by hand.
    found = cast(rod(0.3, 0.0), rod(0.6, 0.0))
    assert found.root_bending_n_mm2 == pytest.approx(4_861_852.098, rel=1e-8)
    assert found.bending_n_mm2 == pytest.approx(np.full_like(found.bending_n_mm2, 4_861_852.098))


def test_a_hollow_rod_takes_out_all_the_matrix_it_displaces():
    # 3 outside, 2 inside, on the middle plane: + 130 000·(3.9760782 - π 2⁴/64) - 1500·3.9760782.
    found = cast(rod(0.5, 0.0, "pipe"))
    own = ROD_SECOND - math.pi * 2**4 / 64
    expected = 3_840_000 + 130_000 * own - 1500 * ROD_SECOND
    assert found.root_bending_n_mm2 == pytest.approx(expected, rel=1e-8)
    resin, pipe = found.charge.constituents
    assert resin.finished_g == pytest.approx((480 - ROD_AREA) * 200 * 1.06e-3)
    assert pipe.finished_g == pytest.approx((ROD_AREA - math.pi) * 200 * 1.55e-3)


@pytest.mark.parametrize("ends_at", [0.25, 0.5, 0.507, 0.3333, 0.99])
def test_a_rod_that_ends_within_the_span_stiffens_up_to_its_end(ends_at):
    # By hand: P/E' ∫ (L - x)² dx in two stretches, with and without the rod.
    found = cast(rod(0.5, 0.0, length_share=ends_at))
    with_rod, without = 3_840_000 + 128_500 * ROD_SECOND, 3_840_000
    far = 200 * (1 - ends_at)
    expected = 10 / 3 * ((200**3 - far**3) / with_rod + far**3 / without)
    assert tip_mm(found) == pytest.approx(expected, rel=2e-5)
    assert along(found.mass_g_mm, 200) == pytest.approx(found.charge.finished_g)
    resin, rods = found.charge.constituents
    assert rods.metres == pytest.approx(0.2 * ends_at)
    assert rods.finished_g == pytest.approx(ROD_AREA * 200 * ends_at * 1.55e-3)
    assert resin.finished_g == pytest.approx((480 - ROD_AREA * ends_at) * 200 * 1.06e-3)


def test_two_rods_may_end_in_one_stretch_of_the_span():
    ends = (0.500, 0.509)
    found = cast(*(rod(x, 0.0, length_share=e) for x, e in zip((0.3, 0.6), ends, strict=True)))
    stiff = [3_840_000 + n * 128_500 * ROD_SECOND for n in (2, 1, 0)]
    far = [200 * (1 - share) for share in (0.0, *ends, 1.0)]
    expected = (
        10 / 3 * sum((a**3 - b**3) / ei for a, b, ei in zip(far, far[1:], stiff, strict=False))
    )
    assert tip_mm(found) == pytest.approx(expected, rel=2e-5)


@given(st.floats(0.0, 1.0))
def test_what_is_reached_adds_up_to_the_length(share):
    assert along(reached(share), 100.0) == pytest.approx(100 * share, abs=1e-9)


heights = st.floats(-2.5, 2.5)


@given(heights, heights, st.floats(1.0, 400.0), st.floats(1.0, 400.0))
def test_a_stiffer_rod_never_makes_a_softer_bar(y, other, one_gpa, two_gpa):
    one = np.ones(1)
    fixed = (rod_section(ROD.rod, 130.0), other * one, one)

    def bending(modulus_gpa):
        moved = (rod_section(ROD.rod, modulus_gpa), y * one, one)
        return transformed_bending(1500.0, 480 * one, 0 * one, 2560 * one, (moved, fixed))[0][0]

    softer, stiffer = sorted((one_gpa, two_gpa))
    assert bending(softer) <= bending(stiffer) * (1 + 1e-12)


@given(heights)
def test_a_rod_of_the_matrix_itself_changes_nothing(y):
    one = np.ones(1)
    same = (rod_section(ROD.rod, 1.5), y * one, one)
    bending, centre = transformed_bending(1500.0, 480 * one, 0 * one, 2560 * one, (same,))
    assert bending[0] == pytest.approx(3_840_000)
    assert centre[0] == pytest.approx(0.0, abs=1e-12)


def test_excess_matrix_is_loaded_and_rods_are_not():
    resin, rods = cast(rod(0.5, 0.0), squeeze_out="0.1").charge.constituents
    assert resin.loaded_g == pytest.approx(1.1 * resin.finished_g)
    assert rods.loaded_g == rods.finished_g


@pytest.mark.parametrize(
    ("shape", "place", "cover"),
    [
        # Distance from the rod's centre to the outline less its radius of 1.5, by hand.
        (Rectangle(width_mm=60, height_mm=8), (0.5, 0.02), 4 - 1.2 - 1.5),
        (Rectangle(width_mm=60, height_mm=8), (0.04, 0.0), 2.4 - 1.5),
        (Tube(outer_mm=20), (0.75, 0.0), 10 - 5 - 1.5),
        (Tube(outer_mm=20, inner_mm=6), (0.75, 0.0), 5 - 3 - 1.5),
        (Ellipse(width_mm=60, height_mm=8), (0.5, 0.0), 4 - 1.5),
        (Polygon(points_mm=((7, 0), (67, 0), (67, 8), (7, 8))), (0.5, 0.05), 3 - 1.5),
    ],
    ids=lambda v: type(v).__name__,
)
def test_cover_is_the_matrix_between_a_rod_and_the_outline(shape, place, cover):
    part = replace(BAR, section=shape)
    assert cast(rod(*place), part=part, cover_mm=cover - 0.02).reasons == ()
    (reason,) = cast(rod(*place), part=part, cover_mm=cover + 0.02).reasons
    assert f"has {cover:.2f} mm of cover" in reason


def test_cover_is_judged_where_the_part_is_thinnest_but_only_as_far_as_the_rod_goes():
    part = replace(BAR, section=Rectangle(width_mm=60, height_mm=8, tip_height_mm=2))
    (reason,) = cast(rod(0.5, 0.0), part=part).reasons
    # At the tip 1 mm is over the centre line and the rod takes 1.5.
    assert "rod 1 sticks out by 0.50 mm of cover at 200 mm from the root" in reason
    # 8 - 6s is at least 3 mm up to s = 0.83.
    assert cast(rod(0.5, 0.0, length_share=0.8), part=part).reasons == ()


def test_rods_that_touch_are_allowed_and_rods_that_meet_are_not():
    # 3 mm apart is 0.05 of 60 mm.
    assert cast(rod(0.50, 0.0), rod(0.55, 0.0)).reasons == ()
    (reason,) = cast(rod(0.50, 0.0), rod(0.54, 0.0)).reasons
    assert reason == "rods 1 and 2 meet: their centres come within 2.40 mm and need 3.00 mm"


def test_a_rod_that_is_no_rod_is_named():
    with pytest.raises(InvalidInput, match=r"materials\.resin\.rod"):
        cast(rod(0.5, 0.0, "resin"))
