"""A cast matrix over rods: the transformed section, rod by rod.

EA = Em Am + Σ (Er - Em) Ar, the (Er - Em) taking out the matrix that a rod displaces; then
EI about the elastic centroid (any text on mechanics of materials; perfect bond assumed).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from itertools import combinations

import numpy as np

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.material import Material, Rod
from mouldwright.domain.part.constituent import Charge, Constituent
from mouldwright.domain.part.integrals import Array
from mouldwright.domain.part.polygon import distance, edges_of, inside
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.section import SectionLine, outline_at, section_at
from mouldwright.domain.part.shape import Shape
from mouldwright.domain.structure.kinds import CastStructure, RodPlace
from mouldwright.domain.structure.made import (
    Made,
    PartShape,
    Stressed,
    along,
    at_stations,
    reached,
    too_thin,
)
from mouldwright.domain.structure.mix import modulus_of, shear_modulus_gpa

_PLACES_CHECKED = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class RodSection:
    """One rod in a section.

    Attributes:
        displaces_mm2: Area of matrix it takes the place of, its bore included.
        displaces_mm4: Second moment of that about its own centre.
    """

    modulus_mpa: float
    area_mm2: float
    own_mm4: float
    displaces_mm2: float
    displaces_mm4: float


# A rod, its height along the span in mm, and which share of each panel it reaches.
_PlacedRod = tuple[RodSection, Array, Array]


def rod_section(rod: Rod, modulus_gpa: float) -> RodSection:
    """Return a round rod's numbers."""
    outer, inner = rod.diameter_mm, rod.inner_diameter_mm
    full, bore = math.pi * outer**2 / 4, math.pi * inner**2 / 4
    own, hollow = math.pi * outer**4 / 64, math.pi * inner**4 / 64
    return RodSection(
        modulus_mpa=modulus_gpa * 1000,
        area_mm2=full - bore,
        own_mm4=own - hollow,
        displaces_mm2=full,
        displaces_mm4=own,
    )


def transformed_bending(
    matrix_mpa: float,
    area_mm2: Array,
    centroid_y_mm: Array,
    second_moment_mm4: Array,
    rods: tuple[tuple[RodSection, Array, Array], ...],
) -> tuple[Array, Array]:
    """Return EI about the elastic centroid, and that centroid's height.

    Args:
        matrix_mpa: Em.
        area_mm2: Of the whole section, rods included.
        centroid_y_mm: Of the whole section.
        second_moment_mm4: About that centroid.
        rods: Each rod's numbers, its height y in mm and 1 or 0 for whether it is there.
    """
    stretch = matrix_mpa * area_mm2
    first = stretch * centroid_y_mm
    second = matrix_mpa * (second_moment_mm4 + area_mm2 * centroid_y_mm**2)
    for rod, y, there in rods:
        gain = there * (rod.modulus_mpa * rod.area_mm2 - matrix_mpa * rod.displaces_mm2)
        own = there * (rod.modulus_mpa * rod.own_mm4 - matrix_mpa * rod.displaces_mm4)
        stretch = stretch + gain
        first = first + gain * y
        second = second + own + gain * y**2
    centre = first / stretch
    return second - stretch * centre**2, centre


def made_of_cast(
    part: Part,
    shape: PartShape,
    structure: CastStructure,
    materials: Mapping[str, Material],
    squeeze_out: Decimal,
) -> Made:
    """Return what casting over rods makes of a part.

    Raises:
        InvalidInput: if a material lacks what stiffness needs.
    """
    matrix = materials[structure.matrix]
    stiff = modulus_of(matrix) * 1000
    line, root = shape.line, shape.root
    at_root: list[_PlacedRod] = []
    along_span: list[_PlacedRod] = []
    rod_grams = np.zeros_like(line.shares)
    displaced = np.zeros_like(line.shares)
    constituents: dict[str, list[float]] = {}
    for place in structure.rods:
        material = materials[place.material]
        rod = _rod(material)
        section = rod_section(rod, modulus_of(material))
        there = reached(place.length_share)
        along_span.append((section, place.at[1] * line.width_mm, there))
        at_root.append((section, np.array([place.at[1] * root.width_mm]), np.ones(1)))
        grams_mm = section.area_mm2 * material.density_kg_m3 * 1e-6
        rod_grams += there * grams_mm
        displaced += there * section.displaces_mm2
        length = part.span_mm * place.length_share
        held = constituents.setdefault(material.key, [0.0, 0.0])
        held[0] += grams_mm * length
        held[1] += length / 1000
    bending, centres = _bending_along(stiff, line, along_span)
    root_bending, centre = transformed_bending(
        stiff,
        np.array([root.area_mm2]),
        np.array([root.centroid_y_mm]),
        np.array([root.second_moment_x_mm4]),
        tuple(at_root),
    )
    resin = along((line.area_mm2 - displaced) * matrix.density_kg_m3 * 1e-6, part.span_mm)
    reach = root.extreme_fibre_mm + abs(float(centre[0]) - root.centroid_y_mm)
    reaches = line.extreme_fibre_mm + np.abs(centres - line.centroid_y_mm)
    charge = Charge(
        constituents=(
            Constituent(
                material=matrix.key,
                finished_g=resin,
                loaded_g=resin * (1 + float(squeeze_out)),
                density_kg_m3=matrix.density_kg_m3,
            ),
            *(
                Constituent(
                    material=key,
                    finished_g=grams,
                    loaded_g=grams,
                    metres=metres,
                    density_kg_m3=materials[key].density_kg_m3,
                )
                for key, (grams, metres) in constituents.items()
            ),
        ),
        volume_mm3=shape.volume_mm3,
    )
    count = len(structure.rods)
    return Made(
        bending_n_mm2=at_stations(bending),
        shear_n=at_stations(shear_modulus_gpa(matrix) * 1000 * line.shear_area_mm2),
        gyration_mm2=at_stations(line.second_moment_x_mm4 / line.area_mm2),
        mass_g_mm=at_stations(
            (line.area_mm2 - displaced) * matrix.density_kg_m3 * 1e-6 + rod_grams
        ),
        # Rods near the middle of a flat section hardly twist: the matrix alone is counted.
        torsion_n_mm2=at_stations(shear_modulus_gpa(matrix) * 1000 * line.torsion_constant_mm4),
        root_bending_n_mm2=float(root_bending[0]),
        stressed=(
            Stressed(
                material=matrix.key,
                per_moment=at_stations(stiff * reaches / bending),
                root_per_moment=stiff * reach / float(root_bending[0]),
            ),
            *(
                _rods_stressed(
                    key,
                    [
                        rod
                        for rod, place in zip(along_span, structure.rods, strict=True)
                        if place.material == key
                    ],
                    [
                        rod
                        for rod, place in zip(at_root, structure.rods, strict=True)
                        if place.material == key
                    ],
                    (bending, centres),
                    (root_bending, centre),
                    _rod(materials[key]).diameter_mm / 2,
                )
                for key in constituents
            ),
        ),
        charge=charge,
        rule=f"transformed section, {count} rod{'' if count == 1 else 's'} bonded to the matrix",
        reasons=(
            *too_thin(part, structure.least_thickness_mm, "casting"),
            *_misplaced(
                part.section,
                part.span_mm,
                structure,
                tuple(_rod(materials[place.material]).diameter_mm for place in structure.rods),
            ),
        ),
    )


def _rods_stressed(
    key: str,
    along_span: list[_PlacedRod],
    at_root: list[_PlacedRod],
    bent_along: tuple[Array, Array],
    bent_at_root: tuple[Array, Array],
    radius_mm: float,
) -> Stressed:
    """Return how bending stresses the rods of one material: the one furthest out counts."""

    def per_moment(rods: list[_PlacedRod], bent: tuple[Array, Array]) -> Array:
        bending, centre = bent
        each = [
            (there > 0) * rod.modulus_mpa * (np.abs(y - centre) + radius_mm) / bending
            for rod, y, there in rods
        ]
        furthest: Array = np.max(each, axis=0)
        return furthest

    return Stressed(
        material=key,
        per_moment=at_stations(per_moment(along_span, bent_along)),
        root_per_moment=float(per_moment(at_root, bent_at_root)[0]),
    )


def _bending_along(
    matrix_mpa: float, line: SectionLine, rods: list[_PlacedRod]
) -> tuple[Array, Array]:
    """Return EI and the elastic centroid's height along the span.

    In the panel a rod ends in, its two parts bend one after the other: there it is 1/EI
    that is shared out, so the bend over the panel is right though the step lies within it.
    """
    ends = sorted({float(t) for _, _, there in rods for t in there if 0 < t < 1})

    def bending(least: float) -> tuple[Array, Array]:
        placed = tuple((rod, y, (there >= least).astype(np.float64)) for rod, y, there in rods)
        return transformed_bending(
            matrix_mpa, line.area_mm2, line.centroid_y_mm, line.second_moment_x_mm4, placed
        )

    whole, centre = bending(ends[0] if ends else 1.0)
    if not ends:
        return whole, centre
    # Every panel's stretch between two rod ends, root first, with the rods still there.
    bend = np.zeros_like(whole)
    for low, high in zip([0.0, *ends], [*ends, 1.0], strict=True):
        bend += (high - low) / bending(high)[0]
    return 1 / bend, centre


def _rod(material: Material) -> Rod:
    if material.rod is None:
        raise InvalidInput(
            [
                Fault(
                    path=f"materials.{material.key}.rod",
                    value="",
                    problem="a rod needs a diameter.",
                    remedy="Say how thick it is, such as 3 mm.",
                )
            ]
        )
    return material.rod


@lru_cache(maxsize=256)
def _misplaced(
    section: Shape, span_mm: float, structure: CastStructure, diameters_mm: tuple[float, ...]
) -> tuple[str, ...]:
    """Return every rod that is not covered or meets another, with where and by how much."""
    found = []
    placed = list(zip(structure.rods, diameters_mm, strict=True))
    for number, (place, diameter) in enumerate(placed, 1):
        worst = least_cover_mm(section, place, diameter / 2)
        lacking = structure.cover_mm - worst[0]
        if lacking > 1e-9:
            asked = f", {structure.cover_mm:g} mm is asked" if structure.cover_mm else ""
            state = (
                f"sticks out by {-worst[0]:.2f} mm" if worst[0] < 0 else f"has {worst[0]:.2f} mm"
            )
            found.append(
                f"rod {number} {state} of cover at {worst[1] * span_mm:.0f} mm from the "
                f"root{asked}: move it in, take a thinner rod or end it sooner"
            )
    for (one, (a, first)), (two, (b, second)) in combinations(enumerate(placed, 1), 2):
        gap = least_gap_mm(section, a, b)
        need = (first + second) / 2
        if gap < need - 1e-9:
            found.append(
                f"rods {one} and {two} meet: their centres come within {gap:.2f} mm and need "
                f"{need:.2f} mm"
            )
    return tuple(found)


def least_cover_mm(section: Shape, place: RodPlace, radius_mm: float) -> tuple[float, float]:
    """Return the least matrix over a rod in mm, below 0 where it sticks out, and at which share."""
    worst = (math.inf, 0.0)
    for share in np.linspace(0.0, place.length_share, _PLACES_CHECKED):
        edges = edges_of(outline_at(section, float(share)))
        width = section_at(section, float(share)).width_mm
        centre = np.array([[place.at[0] * width, place.at[1] * width]])
        away = float(distance(edges, centre)[0])
        cover = (away if inside(edges, centre)[0] else -away) - radius_mm
        worst = min(worst, (cover, float(share)))
    return worst


def least_gap_mm(section: Shape, a: RodPlace, b: RodPlace) -> float:
    """Return how near the centres of two rods come."""
    last = min(a.length_share, b.length_share)
    width = min(section_at(section, share).width_mm for share in (0.0, last))
    return math.dist(a.at, b.at) * width
