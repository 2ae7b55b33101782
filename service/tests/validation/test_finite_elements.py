"""Sections and composites against a general finite-element section library.

The library meshes a section and solves it; shells are cut for it by a geometry library, so
neither its numbers nor its outlines come from this code.
"""

import math

import pytest
import shapely
from sectionproperties.analysis import Section
from sectionproperties.pre import Geometry
from sectionproperties.pre import Material as Meshed

from mouldwright.domain.material import Material, Rod
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.section import outline_at, section_at
from mouldwright.domain.part.shape import Ellipse, Naca4, Polygon, Rectangle, Tube
from mouldwright.domain.process.process import Process
from mouldwright.domain.structure.kinds import CastStructure, PrintStructure, RodPlace
from mouldwright.domain.structure.making import made

L_SHAPE = Polygon(points_mm=((0, 0), (20, 0), (20, 10), (10, 10), (10, 30), (0, 30)))
WEDGE = Polygon(points_mm=((0, 0), (30, 0), (0, 60)))
BOX = Polygon(
    points_mm=((0, 0), (40, 0), (40, 20), (0, 20)),
    holes_mm=(((2, 2), (38, 2), (38, 18), (2, 18)),),
)


def outline_of(shape):
    loops = outline_at(shape)
    return shapely.Polygon(loops[0], loops[1:])


def solved(geometry, mesh):
    section = Section(geometry.create_mesh(mesh_sizes=[mesh]))
    section.calculate_geometric_properties()
    return section


@pytest.mark.parametrize("shape", [L_SHAPE, WEDGE, BOX], ids=["L", "wedge", "box"])
def test_polygons_agree_to_rounding(shape):
    found, whole = section_at(shape), solved(Geometry(outline_of(shape)), 10)
    about_x, about_y, product = whole.get_ic()
    assert found.area_mm2 == pytest.approx(whole.get_area())
    assert found.second_moment_x_mm4 == pytest.approx(about_x)
    assert found.second_moment_y_mm4 == pytest.approx(about_y)
    assert found.product_mm4 == pytest.approx(product, abs=1e-6)
    greatest, least, angle = found.principal
    assert (greatest, least) == pytest.approx(whole.get_ip())
    # Axes have no direction, so half a turn is none.
    turned = math.remainder(angle - math.radians(whole.get_phi()), math.pi)
    assert turned == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("shape", "mesh", "within"),
    [
        (Rectangle(width_mm=20, height_mm=5), 1.0, 0.002),
        (Ellipse(width_mm=40, height_mm=10), 2.0, 0.002),
        (Tube(outer_mm=10, inner_mm=8), 0.3, 0.002),
        (Naca4(code="0012", chord_mm=64), 2.0, 0.03),
        # Camber curls the section, which the rule for straight ones reads a little high.
        (Naca4(code="4415", chord_mm=64), 2.0, 0.10),
        (WEDGE, 8.0, 0.03),
        # The estimate for any region is good to a sixth for a box and a third for an L.
        (BOX, 1.0, 0.17),
        (L_SHAPE, 4.0, 0.33),
    ],
    ids=["rectangle", "ellipse", "tube", "0012", "4415", "wedge", "box", "L"],
)
def test_torsion_constants_agree_within_what_is_said_of_them(shape, mesh, within):
    whole = solved(Geometry(outline_of(shape)), mesh)
    whole.calculate_warping_properties()
    assert section_at(shape).torsion_constant_mm4 == pytest.approx(whole.get_j(), rel=within)


@pytest.mark.parametrize(
    ("shape", "mesh"),
    [
        (Rectangle(width_mm=20, height_mm=5), 1.0),
        (Ellipse(width_mm=40, height_mm=10), 2.0),
        (Tube(outer_mm=10, inner_mm=8), 0.3),
    ],
    ids=["rectangle", "ellipse", "tube"],
)
def test_shear_areas_agree_where_they_are_closed_forms(shape, mesh):
    whole = solved(Geometry(outline_of(shape)), mesh)
    whole.calculate_warping_properties()
    assert section_at(shape).shear_area_mm2 == pytest.approx(whole.get_as()[1], rel=5e-3)


def meshed(name, modulus_mpa):
    return Meshed(
        name=name,
        elastic_modulus=modulus_mpa,
        poissons_ratio=0.3,
        yield_strength=1.0,
        density=1e-9,
        color="w",
    )


def part_of(shape):
    return Part(key="part", title="Part", span_mm=260, section=shape)


def process_of(structure):
    return Process(key="made", title="Made", structure=structure, operations=())


def cast_geometry(shape, places, corners=128):
    """Return resin over rods of 3 mm, to be meshed."""
    width = section_at(shape).width_mm
    # Discs of many corners with the area of the rod.
    turn = [2 * math.pi * n / corners for n in range(corners)]
    reach = 1.5 * math.sqrt(2 * math.pi / corners / math.sin(2 * math.pi / corners))
    discs = [
        shapely.Polygon(
            [(x * width + reach * math.cos(a), y * width + reach * math.sin(a)) for a in turn]
        )
        for x, y in places
    ]
    rest = outline_of(shape).difference(shapely.union_all(discs))
    geometry = Geometry(rest, meshed("resin", 1300.0))
    for number, disc in enumerate(discs):
        geometry = geometry + Geometry(disc, meshed(f"rod {number}", 125_000.0))
    return geometry


@pytest.mark.parametrize(
    ("shape", "places"),
    [
        (Naca4(code="0012", chord_mm=64), [(0.30, 0.02), (0.42, -0.02)]),
        (Naca4(code="4412", chord_mm=64), [(0.35, 0.05)]),
        (Rectangle(width_mm=60, height_mm=8), [(0.25, 0.02), (0.5, 0.03), (0.75, -0.01)]),
    ],
    ids=["0012", "4412", "bar"],
)
def test_rods_in_a_casting_stiffen_it_as_finite_elements_say(shape, places):
    resin = Material(key="resin", title="Resin", density_kg_m3=1060, modulus_gpa=1.3)
    rod = Material(
        key="rod", title="Rod", density_kg_m3=1550, modulus_gpa=125, rod=Rod(diameter_mm=3)
    )
    rods = tuple(RodPlace(material="rod", at=at) for at in places)
    found = made(
        part_of(shape),
        process_of(CastStructure(matrix="resin", rods=rods)),
        {"resin": resin, "rod": rod},
    )
    whole = solved(cast_geometry(shape, places), 2.0)
    assert found.root_bending_n_mm2 == pytest.approx(whole.get_eic()[0], rel=2e-3)


@pytest.mark.parametrize(
    "places",
    [
        # Both above the middle: the elastic centroid goes with them.
        [(0.25, 0.03), (0.75, 0.03)],
        [(0.25, 0.03), (0.75, 0.03), (0.5, -0.03)],
    ],
    ids=["above the middle", "above and below"],
)
def test_rods_and_resin_are_stressed_as_finite_elements_say(places):
    bar = Rectangle(width_mm=60, height_mm=8)
    resin = Material(key="resin", title="Resin", density_kg_m3=1060, modulus_gpa=1.3)
    rod = Material(
        key="rod", title="Rod", density_kg_m3=1550, modulus_gpa=125, rod=Rod(diameter_mm=3)
    )
    rods = tuple(RodPlace(material="rod", at=at) for at in places)
    found = made(
        part_of(bar),
        process_of(CastStructure(matrix="resin", rods=rods)),
        {"resin": resin, "rod": rod},
    )
    whole = solved(cast_geometry(bar, places, corners=48), 3.0)
    whole.calculate_warping_properties()
    greatest = {}
    for each in whole.calculate_stress(mxx=1000.0).get_stress():
        name, size = each["material"].split()[0], abs(each["sig_zz_mxx"]).max()
        greatest[name] = max(greatest.get(name, 0.0), size)
    by_key = {each.material: each.root_per_moment * 1000.0 for each in found.stressed}
    assert by_key["resin"] == pytest.approx(greatest["resin"], rel=5e-3)
    # Its mesh averages over an element at the rim of a rod.
    assert by_key["rod"] == pytest.approx(greatest["rod"], rel=2e-2)


@pytest.mark.parametrize(
    ("shape", "walls"),
    [
        (Naca4(code="0012", chord_mm=64), 3),
        (Naca4(code="4412", chord_mm=64), 2),
        (Ellipse(width_mm=40, height_mm=12), 3),
        (L_SHAPE, 4),
    ],
    ids=["0012", "4412", "ellipse", "L"],
)
def test_a_printed_shell_and_its_infill_bend_as_finite_elements_say(shape, walls):
    polymer = Material(key="polymer", title="Polymer", density_kg_m3=1240, modulus_gpa=3.2)
    printing = PrintStructure(
        material="polymer", walls=walls, wall_mm=0.42, infill=0.4, layer_factor=0.85
    )
    found = made(part_of(shape), process_of(printing), {"polymer": polymer})
    outline = outline_of(shape)
    core = outline.buffer(-walls * 0.42, quad_segs=32)
    solid = 3200 * 0.85
    shell = outline.difference(core)
    geometry = Geometry(shell, meshed("shell", solid))
    geometry = geometry + Geometry(core, meshed("core", solid * 0.4**2))
    whole = solved(geometry, 3.0)
    assert found.root_bending_n_mm2 == pytest.approx(whole.get_eic()[0], rel=3e-3)
    grams = (shell.area + 0.4 * core.area) * 260 * 1.24e-3
    assert found.charge.finished_g == pytest.approx(grams, rel=3e-3)
