"""Polygons: soundness, order of corners, motion and scale."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.part.integrals import loop_integrals, principal
from mouldwright.domain.part.polygon import (
    distance,
    edges_of,
    inside,
    region_integrals,
    sound_loop,
    sound_region,
    thickest,
    thickest_across,
)

SQUARE = ((0, 0), (10, 0), (10, 10), (0, 10))


@st.composite
def stars(draw):
    """Return corners at rising angles about a middle: such an outline never crosses itself."""
    count = draw(st.integers(min_value=3, max_value=12))
    reaches = draw(st.lists(st.floats(1.0, 30.0), min_size=count, max_size=count))
    turn = draw(st.floats(0.0, 6.0))
    x, y = draw(st.floats(-100, 100)), draw(st.floats(-100, 100))
    angles = [turn + 2 * math.pi * n / count for n in range(count)]
    return tuple(
        (x + r * math.cos(a), y + r * math.sin(a)) for r, a in zip(reaches, angles, strict=True)
    )


def numbers(loop):
    about = loop_integrals(np.array(loop, dtype=float)).central()
    return (about.area, about.second_xx, about.second_yy, about.second_xy)


@given(stars(), st.integers(0, 11))
def test_neither_the_first_corner_nor_the_way_round_matters(loop, start):
    start %= len(loop)
    turned = loop[start:] + loop[:start]
    size = max(numbers(loop)[1:3])
    assert numbers(turned) == pytest.approx(numbers(loop), rel=1e-8, abs=1e-9 * size)
    assert numbers(turned[::-1]) == pytest.approx(numbers(loop), rel=1e-8, abs=1e-9 * size)


@given(stars(), st.floats(0.1, 10.0))
def test_area_grows_with_the_square_and_second_moments_with_the_fourth_power_of_size(loop, k):
    area, xx, yy, xy = numbers(loop)
    larger = numbers(tuple((k * x, k * y) for x, y in loop))
    expected = (k**2 * area, k**4 * xx, k**4 * yy, k**4 * xy)
    assert larger == pytest.approx(expected, rel=1e-7, abs=1e-8 * k**4 * max(xx, yy))


@given(stars(), st.floats(0.0, math.pi))
def test_turning_a_shape_keeps_its_principal_second_moments(loop, angle):
    cos, sin = math.cos(angle), math.sin(angle)
    turned = tuple((x * cos - y * sin, x * sin + y * cos) for x, y in loop)
    _, xx, yy, xy = numbers(loop)
    _, turned_xx, turned_yy, turned_xy = numbers(turned)
    greatest, least, _ = principal(yy, xx, xy)
    assert principal(turned_yy, turned_xx, turned_xy)[:2] == pytest.approx(
        (greatest, least), rel=1e-6, abs=1e-7 * greatest
    )
    # A second moment about any axis lies between the two (Mohr's circle).
    assert least <= yy * (1 + 1e-9)
    assert yy <= greatest * (1 + 1e-9)


def test_the_axis_of_the_greatest_second_moment_follows_the_shape():
    # A 40 x 4 bar laid along 30°: it bends least about the axis across it, at 30° + 90°, and
    # most about the axis along it. Greatest is 4·40³/12 = 21 333.3, least 40·4³/12 = 213.3.
    cos, sin = math.cos(math.pi / 6), math.sin(math.pi / 6)
    bar = ((-20, -2), (20, -2), (20, 2), (-20, 2))
    _, xx, yy, xy = numbers(tuple((x * cos - y * sin, x * sin + y * cos) for x, y in bar))
    greatest, least, angle = principal(yy, xx, xy)
    assert (greatest, least) == pytest.approx((64_000 / 3, 640 / 3))
    across = math.remainder(angle - math.radians(120), math.pi)
    assert across == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("points", "said"),
    [
        (((0, 0), (10, 10), (10, 0), (0, 10)), "crosses itself"),
        (((0, 0), (10, 0)), "at least three different corners"),
        (((0, 0), (0, 0), (0, 0), (0, 0)), "at least three different corners"),
        (((0, 0), (5, 5), (10, 10)), "encloses no area"),
        (((0, 0), (10, 0), (10, 10), (10, 0), (20, 5)), "crosses itself"),
        (((0, 0), (10, 0), (float("nan"), 10)), "not a number"),
        ((), "at least three different corners"),
    ],
)
def test_an_outline_that_is_none_is_refused_in_words(points, said):
    with pytest.raises(ValueError, match=said):
        sound_loop(points)


def test_a_corner_given_twice_counts_once():
    assert len(sound_loop((*SQUARE, SQUARE[0]))) == 4


@pytest.mark.parametrize(
    ("holes", "said"),
    [
        ((((2, 2), (12, 2), (2, 8)),), "hole 1 reaches the outline"),
        ((((20, 2), (22, 2), (20, 8)),), "hole 1 reaches the outline"),
        ((((1, 1), (6, 1), (1, 6)), ((2, 2), (7, 2), (2, 7))), "holes 1 and 2 meet"),
        ((((1, 1), (9, 1), (9, 9), (1, 9)), ((4, 4), (6, 4), (4, 6))), "holes 1 and 2 meet"),
        ((((2, 2), (8, 8), (8, 2), (2, 8)),), "hole 1 crosses itself"),
    ],
)
def test_holes_lie_wholly_inside_and_apart(holes, said):
    with pytest.raises(ValueError, match=said):
        sound_region(SQUARE, holes)


def test_a_hole_is_taken_off_whichever_way_round_it_is_listed():
    hole = ((2, 2), (8, 2), (8, 8), (2, 8))
    for listed in (hole, hole[::-1]):
        found = region_integrals(sound_region(SQUARE, (listed,))).central()
        # 10⁴/12 - 6⁴/12, worked by hand.
        assert found.area == pytest.approx(64)
        assert found.second_yy == pytest.approx((10**4 - 6**4) / 12)


def test_points_are_told_apart_and_measured():
    edges = edges_of(sound_region(SQUARE, (((4, 4), (6, 4), (6, 6), (4, 6)),)))
    points = np.array([[2.0, 5.0], [5.0, 5.0], [13.0, 14.0], [5.0, 1.5]])
    assert list(inside(edges, points)) == [True, False, False, True]
    # To the left edge 2; to the hole's edge 1; to the corner (10, 10) 5; to the bottom 1.5.
    assert list(distance(edges, points)) == pytest.approx([2, 1, 5, 1.5])


def test_the_largest_circle_in_a_triangle_is_its_incircle():
    # Right triangle 30, 40, 50: the incircle's radius is (30 + 40 - 50)/2 = 10.
    loop = np.array([[0.0, 0.0], [30.0, 0.0], [0.0, 40.0]])
    assert thickest([loop]) == pytest.approx(20.0, rel=1e-4)


def test_thickness_across_a_loop_is_measured_along_y():
    # A diamond 40 wide and 10 high is 10 thick at its middle, whichever way it is listed; no
    # column falls just on the middle, so half a column of slope is lost: 10 · 1/128.
    loop = np.array([[0.0, 0.0], [20.0, -5.0], [40.0, 0.0], [20.0, 5.0]])
    for listed in (loop, loop[::-1]):
        assert thickest_across(listed) == pytest.approx(10.0, rel=1 / 128)
