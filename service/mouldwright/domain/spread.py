"""How far a part may bend where the stiffness of its materials is only known within a range.

Every material is taken at its softest, then every one at its stiffest: bending grows with no
modulus, so the two ends hold whatever lies between.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from mouldwright.domain.material import Material
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.process import Process
from mouldwright.domain.structure.kinds import materials_of
from mouldwright.domain.structure.made import Made
from mouldwright.domain.structure.making import made


def bend_range_mm(
    part: Part,
    process: Process,
    materials: Mapping[str, Material],
    bends: Callable[[Made], float],
) -> tuple[float, float] | None:
    """Return the least and the most a part may bend; None where every stiffness is certain.

    Args:
        part: What is made.
        process: What makes it.
        materials: By key.
        bends: Gives the deflection of a part made one way.

    Raises:
        CannotBeMade, NotFound, InvalidInput: as making it does.
    """
    named = [materials[key] for key in materials_of(process.structure) if key in materials]
    if all(each.modulus_range is None or each.modulus_range.is_certain for each in named):
        return None
    softest, stiffest = (
        bends(made(part, process, {key: _at(each, end) for key, each in materials.items()}))
        for end in (0, 1)
    )
    return stiffest, softest


def _at(material: Material, end: int) -> Material:
    spread = material.modulus_range
    if spread is None or material.modulus_gpa is None:
        return material
    times = float((spread.least, spread.most)[end])

    def scaled(modulus: float | None) -> float | None:
        return None if modulus is None else modulus * times

    return replace(
        material,
        modulus_gpa=scaled(material.modulus_gpa),
        transverse_modulus_gpa=scaled(material.transverse_modulus_gpa),
        shear_modulus_gpa=scaled(material.shear_modulus_gpa),
    )
