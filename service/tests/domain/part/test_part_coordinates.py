"""Airfoil coordinates in either common ordering give one and the same loop."""

import pytest

from mouldwright.domain.part.coordinates import loop_from_columns
from mouldwright.domain.part.naca import naca_outline
from mouldwright.domain.part.section import section_at
from mouldwright.domain.part.shape import Coordinates, Naca4

ROUND = [tuple(p) for p in naca_outline("4412", 40).tolist()]
NOSE = 40
UPPER, LOWER = ROUND[NOSE::-1], ROUND[NOSE:]


@pytest.mark.parametrize(
    "rows",
    [
        ROUND,
        ROUND[::-1],
        [(41.0, 41.0), *UPPER, *LOWER],
        [(41.0, 41.0), *LOWER, *UPPER],
        [*UPPER, *LOWER],
        [*LOWER, *UPPER],
    ],
    ids=["round", "round from below", "counted", "counted from below", "blocks", "lower first"],
)
def test_every_ordering_runs_from_the_tail_over_the_top(rows):
    assert loop_from_columns(rows) == tuple(ROUND)


def test_a_section_from_coordinates_is_the_section_they_were_taken_from():
    fine = [tuple(p) for p in naca_outline("4412", 150).tolist()]
    drawn = section_at(Coordinates(points=loop_from_columns(fine), chord_mm=64))
    named = section_at(Naca4(code="4412", chord_mm=64))
    assert drawn.area_mm2 == pytest.approx(named.area_mm2, rel=5e-4)
    assert drawn.second_moment_x_mm4 == pytest.approx(named.second_moment_x_mm4, rel=1e-3)
    assert drawn.thickness_mm == pytest.approx(named.thickness_mm, rel=1e-3)
    # The tail is open by 2 · 0.00126 · t/0.12 of the chord: 0.161 mm.
    assert drawn.least_thickness_mm == pytest.approx(2 * 0.00126 * 64, rel=1e-2)


def test_a_closed_tail_may_be_listed_twice():
    loop = loop_from_columns([(1, 0), (0.5, 0.06), (0, 0), (0.5, -0.06), (1, 0)])
    section = section_at(Coordinates(points=loop, chord_mm=100))
    # A diamond 100 x 12: half of 100 · 12.
    assert section.area_mm2 == pytest.approx(600)
    assert section.least_thickness_mm == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ([(1, 0), (0.5, 0.06, 3), (0, 0), (0.5, -0.06)], "row 2 has 3 numbers"),
        ([(1, 0), (0, 0), (1, 0)], "at least 4 points"),
        ([(3, 4), (0, 0), (0.5, 0.06), (1, 0), (0, 0), (1, 0)], "counts 3 and 4 points but 5"),
        ([(100, 0), (50, 6), (0, 0), (50, -6)], "give shares of the chord"),
        ([(1, 0), (0.7, 0.06), (0.3, -0.06), (0, 0), (0.3, 0.06), (0.7, -0.06)], "crosses itself"),
        ([(0, 0), (0.5, 0.06), (1, 0), (0.5, -0.06)], "two blocks from nose to tail"),
    ],
)
def test_rows_that_are_no_airfoil_are_refused_in_words(rows, said):
    with pytest.raises(ValueError, match=said):
        loop_from_columns(rows)
