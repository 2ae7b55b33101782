"""A part made by a process: from the structure the process names to stiffness and mass."""

from __future__ import annotations

from collections.abc import Mapping

from mouldwright.domain.errors import CannotBeMade, NotFound
from mouldwright.domain.material import Material
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.process import Process
from mouldwright.domain.structure.cast import made_of_cast
from mouldwright.domain.structure.hybrid import made_of_hybrid
from mouldwright.domain.structure.kinds import (
    CastStructure,
    HybridStructure,
    MeasuredStructure,
    MixStructure,
    PrintStructure,
)
from mouldwright.domain.structure.made import Made, shape_of
from mouldwright.domain.structure.measured import made_as_measured
from mouldwright.domain.structure.mix import made_of_mix
from mouldwright.domain.structure.printed import made_of_print


def made(
    part: Part, process: Process, materials: Mapping[str, Material], *, thickened: float = 1.0
) -> Made:
    """Return what a process makes of a part.

    Args:
        part: As drawn.
        process: What makes it.
        materials: By key.
        thickened: How many times as thick along the load a piece came out as it is drawn.

    Raises:
        CannotBeMade: if the process names no structure, or the shape is not sound.
        NotFound: if the structure names a material that is not there.
        InvalidInput: if a material lacks what its structure needs.
    """
    try:
        shape = shape_of(part)
    except ValueError as error:
        raise CannotBeMade([f"the section of {part.key} is not sound: {error}"]) from error
    if thickened != 1.0:
        shape = shape.thickened(thickened)
    structure = process.structure
    if isinstance(structure, MixStructure):
        fibre = _material(materials, structure.fibre)
        matrix = _material(materials, structure.matrix)
        return made_of_mix(part, shape, structure, fibre, matrix, process.squeeze_out)
    if isinstance(structure, CastStructure):
        for key in (structure.matrix, *(rod.material for rod in structure.rods)):
            _material(materials, key)
        return made_of_cast(part, shape, structure, materials, process.squeeze_out)
    if isinstance(structure, PrintStructure):
        return made_of_print(part, shape, structure, _material(materials, structure.material))
    if isinstance(structure, HybridStructure):
        skin = _material(materials, structure.skin)
        return made_of_hybrid(part, shape, structure, skin, _material(materials, structure.core))
    if isinstance(structure, MeasuredStructure):
        return made_as_measured(shape, structure)
    raise CannotBeMade(
        [f"{process.key} names no structure: say in the process what it makes a part of"]
    )


def _material(materials: Mapping[str, Material], key: str) -> Material:
    if key not in materials:
        raise NotFound(kind="material", key=key, known=materials)
    return materials[key]
