"""More rods in a casting, and thicker ones: where they fit, as far from the middle as may be."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from decimal import Decimal

import numpy as np

from mouldwright.domain.material import Material
from mouldwright.domain.part.integrals import Array
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.section import outline_at, section_at
from mouldwright.domain.structure.cast import least_cover_mm, least_gap_mm
from mouldwright.domain.structure.kinds import CastStructure, RodPlace

MOST_RODS_MORE = 8
# Along the chord at which a rod is tried, as shares of it.
_PLACES = tuple(round(0.14 + 0.02 * n, 2) for n in range(28))
_THICKER_BY_MM = 0.5
MOST_THICKER_TIMES = 3.0


def more_rods(
    part: Part, structure: CastStructure, materials: Mapping[str, Material]
) -> Iterator[CastStructure]:
    """Yield the casting with one rod more, two more and so on, for as long as one fits.

    Each is of the first rod's material, or of the shop's first rod where there is none yet. It is
    laid where it fits furthest from the chord line, over and under by turns.
    """
    material = _rod_material(structure, materials)
    if material is None or material.rod is None:
        return
    radius = material.rod.diameter_mm / 2
    radii = [
        (m.rod.diameter_mm / 2 if m.rod else 0.0)
        for m in (materials[place.material] for place in structure.rods)
    ]
    placed = structure
    for number in range(MOST_RODS_MORE):
        side = 1 if number % 2 == 0 else -1
        place = _place(part, placed, material.key, radius, radii, side)
        if place is None:
            place = _place(part, placed, material.key, radius, radii, -side)
        if place is None:
            return
        placed = replace(placed, rods=(*placed.rods, place))
        radii.append(radius)
        yield placed


def thicker_rods(
    part: Part, structure: CastStructure, materials: Mapping[str, Material]
) -> Iterator[tuple[float, float, CastStructure, Mapping[str, Material]]]:
    """Yield today's diameter, a thicker one, the casting with it, and the rod it takes.

    All rods of the first one's material are taken thicker, each kept under its cover by moving
    it in. A metre costs by its section.
    """
    if not structure.rods:
        return
    was = materials[structure.rods[0].material]
    if was.rod is None or was.rod.inner_diameter_mm > 0:
        return
    diameter = was.rod.diameter_mm
    for step in range(1, int(diameter * (MOST_THICKER_TIMES - 1) / _THICKER_BY_MM) + 1):
        thick = diameter + step * _THICKER_BY_MM
        key = f"{was.key}-of-{thick:g}-mm".replace(".", "-")
        new = replace(
            was,
            key=key,
            title=f"{was.title}, but {thick:g} mm",
            rod=replace(was.rod, diameter_mm=thick),
        )
        rods = tuple(
            _moved_in(part, structure, replace(place, material=key), thick / 2)
            if place.material == was.key
            else place
            for place in structure.rods
        )
        yield diameter, thick, replace(structure, rods=rods), {key: new}


def priced_by_section(rod: Material, was: Material, each_metre: Decimal) -> Material:
    """Return a thicker rod priced by its section beside one whose metre costs so much."""
    assert rod.rod is not None
    assert was.rod is not None
    ratio = Decimal(repr(rod.rod.diameter_mm / was.rod.diameter_mm)) ** 2
    return replace(rod, cost_per_m=each_metre * ratio, cost_per_kg=None)


def _rod_material(structure: CastStructure, materials: Mapping[str, Material]) -> Material | None:
    if structure.rods:
        return materials[structure.rods[0].material]
    return next((each for each in materials.values() if each.rod is not None), None)


def _place(
    part: Part,
    structure: CastStructure,
    material: str,
    radius: float,
    radii: list[float],
    side: int,
) -> RodPlace | None:
    """Return where one more rod fits furthest out on a side; None where it fits nowhere."""
    tip = section_at(part.section, 1.0)
    edges = outline_at(part.section, 1.0)[0]
    tried = sorted(
        ((_reach(edges, x * tip.width_mm, side), x) for x in _PLACES),
        key=lambda each: -each[0] * side,
    )
    for reach, x in tried:
        depth = reach * side - radius - structure.cover_mm
        for inwards in (1.0, 0.97, 0.94, 0.9, 0.8):
            y = side * max(depth, 0.0) * inwards / tip.width_mm
            place = RodPlace(material=material, at=(x, round(y, 4)))
            if least_cover_mm(part.section, place, radius)[0] < structure.cover_mm:
                continue
            if all(
                least_gap_mm(part.section, place, other) >= radius + r
                for other, r in zip(structure.rods, radii, strict=True)
            ):
                return place
    return None


def _reach(loop: Array, x: float, side: int) -> float:
    """Return how high (side 1) or low (side -1) an outline reaches at a place, in mm."""
    ends = np.roll(loop, -1, axis=0)
    low, high = np.minimum(loop[:, 0], ends[:, 0]), np.maximum(loop[:, 0], ends[:, 0])
    crossing = (low <= x) & (x <= high) & (low < high)
    if not crossing.any():
        return -math.inf * side
    a, b = loop[crossing], ends[crossing]
    y = a[:, 1] + (x - a[:, 0]) / (b[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1])
    return float(y.max() if side > 0 else y.min())


def _moved_in(part: Part, structure: CastStructure, place: RodPlace, radius: float) -> RodPlace:
    """Return a rod's place nearer to the chord line, as far as its cover asks."""
    x, y = place.at
    for share in (1.0, 0.9, 0.75, 0.5, 0.25, 0.0):
        moved = replace(place, at=(x, y * share))
        if least_cover_mm(part.section, moved, radius)[0] >= structure.cover_mm:
            return moved
    return place
