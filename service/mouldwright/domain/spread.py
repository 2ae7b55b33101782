"""How stiff, heavy and bent a part may be where what it is made of is known within ranges.

Each thing that may differ is put at both of its ends by itself; then all together stand at the
ends that take a figure furthest down, and furthest up. That is exact for what only rises or only
falls with each of them, as stiffness, bend and mass do; a figure that turns in between, as the
frequency may where skins grow both stiffer and heavier, is seen at the ends and in the middle.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

import numpy as np

from mouldwright.domain.estimate import Range
from mouldwright.domain.material import Material
from mouldwright.domain.part.integrals import Array
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.process import Process
from mouldwright.domain.structure.kinds import RANGED, materials_of
from mouldwright.domain.structure.made import Made
from mouldwright.domain.structure.making import made

Bounds = tuple[float, float]
Materials = Mapping[str, Material]
# A way to make a part: the process and the materials by key.
_Way = tuple[Process, Materials]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The least and the most a part's figures may be.

    Attributes:
        deflection_mm: None where nothing is asked of the part, or tests decide.
        first_frequency_hz: None where tests decide.
        bending_stiffness_n_mm2: EI at the root by theory, before any share of it.
        of: What may differ, in words.
        mostly: Which of these moves the stiffness most, by itself; empty where none does.
    """

    deflection_mm: Bounds | None
    first_frequency_hz: Bounds | None
    bending_stiffness_n_mm2: Bounds
    mass_g: Bounds
    of: tuple[str, ...]
    mostly: str

    def as_tested(self) -> Spread:
        """Return the same where bench tests say how stiff the pieces are."""
        return replace(self, deflection_mm=None, first_frequency_hz=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Uncertain:
    """One thing that may differ: what it is, and how it is put at its least (0) or most (1)."""

    what: str
    put: Callable[[_Way, int], _Way]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What one way of making a part comes to: what is looked at, to be set side by side."""

    deflection_mm: float | None
    first_frequency_hz: float


def spread_of(
    part: Part, process: Process, materials: Materials, look: Callable[[Made], Seen]
) -> Spread | None:
    """Return the least and most of a part's figures; None where all is certain.

    Args:
        part: What is made.
        process: What makes it.
        materials: By key.
        look: Gives bend and frequency of a part made one way.

    Raises:
        CannotBeMade, NotFound, InvalidInput: as making it does.
    """
    loose = tuple(_uncertain(process, materials))
    if not loose:
        return None
    seen: dict[tuple[int, ...], Array] = {}

    def figures(ends: tuple[int, ...]) -> Array:
        """Return bend, frequency, stiffness and mass; ends are -1 likely, 0 least, 1 most."""
        if ends not in seen:
            way: _Way = (process, materials)
            for each, end in zip(loose, ends, strict=True):
                way = each.put(way, end) if end >= 0 else way
            done = made(part, *way)
            found = look(done)
            bend = np.nan if found.deflection_mm is None else found.deflection_mm
            stiff, mass = done.root_bending_n_mm2, done.charge.finished_g
            seen[ends] = np.array([bend, found.first_frequency_hz, stiff, mass])
        return seen[ends]

    likely = (-1,) * len(loose)
    figures(likely)
    single = np.array(
        [
            [figures((*likely[:n], end, *likely[n + 1 :])) for end in (0, 1)]
            for n in range(len(loose))
        ]
    )
    for figure in range(single.shape[2]):
        rising = single[:, 1, figure] >= single[:, 0, figure]
        figures(tuple(int(up) for up in rising))
        figures(tuple(int(not up) for up in rising))
    every = np.array(list(seen.values()))
    low, high = every.min(axis=0), every.max(axis=0)
    moved = np.abs(single[:, 1, 2] - single[:, 0, 2])

    def between(figure: int) -> Bounds:
        return float(low[figure]), float(high[figure])

    return Spread(
        deflection_mm=None if np.isnan(low[0]) else between(0),
        first_frequency_hz=between(1),
        bending_stiffness_n_mm2=between(2),
        mass_g=between(3),
        of=tuple(each.what for each in loose),
        mostly=loose[int(moved.argmax())].what if moved.max() > 0 else "",
    )


def _uncertain(process: Process, materials: Materials) -> Iterator[_Uncertain]:
    for key in materials_of(process.structure):
        if key in materials:
            yield from _of_material(materials[key])
    structure = process.structure
    for name, (ranged, what) in RANGED.get(type(structure), {}).items():
        spread: Range | None = getattr(structure, ranged)
        if spread is not None and not spread.is_certain:
            yield _Uncertain(what=what, put=_structure_at(name, spread))


def _structure_at(name: str, spread: Range) -> Callable[[_Way, int], _Way]:
    def put(way: _Way, end: int) -> _Way:
        process, materials = way
        structure: Any = process.structure
        # A lever may have moved the figure past its range, which then ends where it stands.
        now = getattr(structure, name)
        value = max(now, float(spread.most)) if end else min(now, float(spread.least))
        return replace(process, structure=replace(structure, **{name: value})), materials

    return put


def _of_material(material: Material) -> Iterator[_Uncertain]:
    spreads: tuple[tuple[Range | None, str, Callable[[Material, float], Material]], ...] = (
        (material.modulus_range, "stiffness", _stiffer),
        (material.density_range, "density", _denser),
        (material.fibre.length_range if material.fibre else None, "length", _longer),
        (material.rod.diameter_range if material.rod else None, "diameter", _thicker),
    )
    for spread, what, scaled in spreads:
        if spread is not None and not spread.is_certain:
            yield _Uncertain(
                what=f"{what} of {material.title}", put=_material_at(material.key, spread, scaled)
            )


def _material_at(
    key: str, spread: Range, scaled: Callable[[Material, float], Material]
) -> Callable[[_Way, int], _Way]:
    ends: tuple[Decimal, Decimal] = (spread.least, spread.most)

    def put(way: _Way, end: int) -> _Way:
        process, materials = way
        return process, {**materials, key: scaled(materials[key], float(ends[end]))}

    return put


def _stiffer(material: Material, times: float) -> Material:
    def scaled(modulus: float | None) -> float | None:
        return None if modulus is None else modulus * times

    return replace(
        material,
        modulus_gpa=scaled(material.modulus_gpa),
        transverse_modulus_gpa=scaled(material.transverse_modulus_gpa),
        shear_modulus_gpa=scaled(material.shear_modulus_gpa),
    )


def _denser(material: Material, times: float) -> Material:
    return replace(material, density_kg_m3=material.density_kg_m3 * times)


def _longer(material: Material, times: float) -> Material:
    fibre = material.fibre
    assert fibre is not None
    return replace(material, fibre=replace(fibre, length_mm=fibre.length_mm * times))


def _thicker(material: Material, times: float) -> Material:
    rod = material.rod
    assert rod is not None
    # A tube's wall grows with it: what is rolled thicker is rolled so throughout.
    return replace(
        material,
        rod=replace(
            rod,
            diameter_mm=rod.diameter_mm * times,
            inner_diameter_mm=rod.inner_diameter_mm * times,
        ),
    )
