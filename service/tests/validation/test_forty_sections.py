"""Forty sections and more against finite elements, and tapered beams against a solver of their own.

Outlines come from the section library's own shapes, or for foils from the published thickness
polynomial written out here, so that neither shape nor number is this code's.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from sectionproperties.analysis import Section
from sectionproperties.pre import Geometry
from sectionproperties.pre import library as shapes

from mouldwright.domain.part.beam import STATIONS, bend
from mouldwright.domain.part.section import section_at, sections_along
from mouldwright.domain.part.shape import (
    Coordinates,
    Ellipse,
    Naca4,
    Polygon,
    Rectangle,
    Tube,
)

CHORD = 64.0


def foil(thickness, points=400):
    """The four-digit half-thickness (NASA TM-4741, from memory), open tail, cosine-spaced."""
    x = (1 - np.cos(np.linspace(0, np.pi, points))) / 2
    y = 5 * thickness * (
        0.2969 * np.sqrt(x) - 0.1260 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4
    )  # fmt: skip
    upper = np.column_stack([x[::-1], y[::-1]])
    return np.concatenate([upper, np.column_stack([x[1:], -y[1:]])])


def drawn(points):
    return Geometry(shapely.Polygon(points))


RECTANGLES = [(20, 5), (20, 20), (60, 8), (5, 40), (100, 3), (12, 9), (30, 1.5)]
ELLIPSES = [(100, 10), (40, 10), (22, 16), (16, 12), (30, 30), (60, 4), (8, 20)]
TUBES = [(10, 8), (16, 12), (14, 10), (20, 19), (8, 2), (25, 22), (6, 5)]
FOILS = [6, 8, 9, 10, 12, 14, 15, 18, 21, 24]
LOOPS = [
    [(0, 0), (20, 0), (20, 10), (10, 10), (10, 30), (0, 30)],
    [(0, 0), (30, 0), (0, 60)],
    [(0, 0), (40, 0), (30, 8), (10, 8)],
    [(0, 0), (10, -4), (40, 0), (10, 4)],
    [(0, 0), (30, 0), (30, 3), (18, 3), (18, 20), (12, 20), (12, 3), (0, 3)],
    [(0, 0), (12, 0), (18, 6), (18, 12), (12, 18), (0, 18), (-6, 12), (-6, 6)],
]

SECTIONS = [
    *(
        pytest.param(
            Rectangle(width_mm=b, height_mm=h),
            shapes.rectangular_section(d=h, b=b),
            min(b, h) ** 2 / 4,
            id=f"rectangle {b:g}x{h:g}",
        )
        for b, h in RECTANGLES
    ),
    *(
        pytest.param(
            Ellipse(width_mm=b, height_mm=h),
            shapes.elliptical_section(d_y=h, d_x=b, n=160),
            min(b, h) ** 2 / 8,
            id=f"ellipse {b:g}x{h:g}",
        )
        for b, h in ELLIPSES
    ),
    *(
        pytest.param(
            Tube(outer_mm=d, inner_mm=bore),
            shapes.circular_hollow_section(d=d, t=(d - bore) / 2, n=160),
            ((d - bore) / 2) ** 2,
            id=f"tube {d:g}/{bore:g}",
        )
        for d, bore in TUBES
    ),
    *(
        pytest.param(
            Naca4(code=f"00{t:02d}", chord_mm=CHORD),
            drawn(foil(t / 100) * CHORD),
            (t / 100 * CHORD) ** 2 / 6,
            id=f"00{t:02d}",
        )
        for t in FOILS
    ),
    *(
        pytest.param(
            Coordinates(points=tuple(map(tuple, foil(t / 100, 120).tolist())), chord_mm=CHORD),
            drawn(foil(t / 100, 120) * CHORD),
            (t / 100 * CHORD) ** 2 / 6,
            id=f"points of 00{t:02d}",
        )
        for t in (7, 11, 13, 16, 20)
    ),
    *(
        pytest.param(
            Polygon(points_mm=tuple((float(x), float(y)) for x, y in loop)),
            drawn(loop),
            8.0,
            id=f"polygon {number}",
        )
        for number, loop in enumerate(LOOPS, 1)
    ),
]


def test_there_are_forty_and_more():
    assert len(SECTIONS) >= 40


@pytest.mark.parametrize(("shape", "geometry", "mesh"), SECTIONS)
def test_area_and_bending_agree_within_half_a_per_cent(shape, geometry, mesh):
    whole = Section(geometry.create_mesh(mesh_sizes=[mesh]))
    whole.calculate_geometric_properties()
    about_x, about_y, _ = whole.get_ic()
    found = section_at(shape)
    assert found.area_mm2 == pytest.approx(whole.get_area(), rel=5e-3)
    assert found.second_moment_x_mm4 == pytest.approx(about_x, rel=5e-3)
    assert found.second_moment_y_mm4 == pytest.approx(about_y, rel=5e-3)


# Where the torsion constant is a closed form, or the rule for slender foils holds; of a foil a
# quarter as thick as its chord it is said to be more than 3 % high.
CLOSED = ("rectangle", "ellipse", "tube", "00")
TWISTED = [p for p in SECTIONS if p.id.startswith(CLOSED) and p.id != "0024"][::3]


@pytest.mark.parametrize(("shape", "geometry", "mesh"), TWISTED)
def test_torsion_agrees_within_three_per_cent_where_that_is_claimed(shape, geometry, mesh):
    whole = Section(geometry.create_mesh(mesh_sizes=[mesh]))
    whole.calculate_geometric_properties()
    whole.calculate_warping_properties()
    assert section_at(shape).torsion_constant_mm4 == pytest.approx(whole.get_j(), rel=0.03)


TAPERS = {
    "foil": (Naca4(code="0012", chord_mm=64, tip_chord_mm=40), 260.0),
    "bar": (Rectangle(width_mm=20, height_mm=6, tip_width_mm=12, tip_height_mm=3), 200.0),
    "boom": (
        Ellipse(width_mm=22, height_mm=16, tip_width_mm=16, tip_height_mm=12),
        300.0,
    ),
}
MODULUS = 3000.0


def solved_beam(shape, span, support, load, force, mount=0.0, elements=600):
    """Two-node cubic beam elements of one stiffness each, without shear, solved here."""
    length = span / elements
    shares = (np.arange(elements) + 0.5) / elements
    stiff = MODULUS * sections_along(shape, shares).second_moment_x_mm4
    size = 2 * (elements + 1)
    whole, loads = np.zeros((size, size)), np.zeros(size)
    own = np.array(
        [
            [12, 6 * length, -12, 6 * length],
            [6 * length, 4 * length**2, -6 * length, 2 * length**2],
            [-12, -6 * length, 12, -6 * length],
            [6 * length, 2 * length**2, -6 * length, 4 * length**2],
        ]
    )
    for n in range(elements):
        at = slice(2 * n, 2 * n + 4)
        whole[at, at] += stiff[n] / length**3 * own
        if load == "uniform":
            q = force / span
            loads[at] += q * np.array([length / 2, length**2 / 12, length / 2, -(length**2) / 12])
    if load == "end":
        loads[-2] += force
    if load == "centre":
        loads[elements] += force
    if mount:
        whole[1, 1] += mount
        whole[-1, -1] += mount
    held = {"cantilever": [0, 1], "both ends fixed": [0, 1, size - 2, size - 1]}
    fixed = held.get(support, [0, size - 2])
    free = np.setdiff1d(np.arange(size), fixed)
    moved = np.zeros(size)
    moved[free] = np.linalg.solve(whole[np.ix_(free, free)], loads[free])
    return float(np.abs(moved[::2]).max())


@pytest.mark.parametrize("name", TAPERS)
@pytest.mark.parametrize(
    ("support", "load", "mount"),
    [
        ("cantilever", "end", 0.0),
        ("cantilever", "uniform", 0.0),
        ("simply supported", "centre", 0.0),
        ("simply supported", "uniform", 0.0),
        ("both ends fixed", "uniform", 0.0),
        ("elastic mounts", "uniform", 4000.0),
    ],
)
def test_a_tapered_beam_bends_as_a_solver_of_its_own_says(name, support, load, mount):
    shape, span = TAPERS[name]
    line = sections_along(shape, STATIONS.ravel())
    found = bend(
        span_mm=span,
        bending_n_mm2=MODULUS * line.second_moment_x_mm4.reshape(STATIONS.shape),
        shear_n=np.full(STATIONS.shape, np.inf),
        support=support,
        load=load,
        force_n=5.0,
        mount_n_mm_per_rad=mount or None,
    )
    expected = solved_beam(shape, span, support, load, 5.0, mount)
    assert found.deflection_mm == pytest.approx(expected, rel=2e-4)
