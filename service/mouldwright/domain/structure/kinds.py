"""The kinds of structure a process may name, as written down."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class MixStructure:
    """Chopped fibre in a matrix, pressed.

    Attributes:
        fibre: Key of the fibre material.
        matrix: Key of the matrix material.
        fibre_mass_fraction: Share of fibre by mass.
        fractions: Whether that share is of what is loaded or of the finished part.
        void_fraction: Share of the finished volume that is air.
        orientation: How the fibres lie.
        rule: Which published rule gives the modulus.
        least_thickness_mm: Thinner sections cannot be filled; unset, one fibre
            length laid flat never limits it.
        closing_pressure_mpa: Pressure the charge needs to close.
    """

    fibre: str
    matrix: str
    fibre_mass_fraction: float
    fractions: Literal["loaded", "finished"] = "loaded"
    void_fraction: float = 0.0
    orientation: Literal["planar random", "random", "aligned"] = "planar random"
    rule: Literal["halpin-tsai", "cox-krenchel"] = "halpin-tsai"
    least_thickness_mm: float | None = None
    closing_pressure_mpa: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RodPlace:
    """A rod along the span.

    Attributes:
        material: Key of a material with a ``rod``.
        at: x and y as shares of the local chord (or width), from the leading edge
            and the chord line.
        length_share: How far from the root it reaches, as a share of the span.
    """

    material: str
    at: tuple[float, float]
    length_share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CastStructure:
    """A cast matrix over rods.

    Attributes:
        cover_mm: Least matrix over a rod.
        least_thickness_mm: Thinner sections do not fill.
    """

    matrix: str
    rods: tuple[RodPlace, ...] = ()
    cover_mm: float = 0.0
    least_thickness_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintStructure:
    """A printed shell with infill.

    Attributes:
        walls: Count of perimeters.
        wall_mm: Width of one.
        infill: Share of the inside that is filled.
        infill_exponent: n in E/Es = infill ** n.
        layer_factor: Knock-down for the direction of the layers.
    """

    material: str
    walls: int
    wall_mm: float
    infill: float
    infill_exponent: float = 2.0
    layer_factor: float = 1.0
    least_thickness_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredStructure:
    """An effective modulus and density, measured.

    Attributes:
        material: What it is charged as; unset, no material is charged, and the reader is told.
        source: Where the figures come from; None where nobody says.
    """

    modulus_gpa: float
    density_kg_m3: float
    material: str | None = None
    source: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HybridStructure:
    """Skins over a core.

    Attributes:
        skin: Key of the skins' material.
        skin_mm: Thickness of the skins.
        core: Key of the core's material.
        skin_factor: Share of the skin material's modulus that lies along the part.
        least_thickness_mm: Thinner sections cannot be made so.
    """

    skin: str
    skin_mm: float
    core: str
    skin_factor: float = 1.0
    least_thickness_mm: float | None = None


Structure = MixStructure | CastStructure | PrintStructure | MeasuredStructure | HybridStructure


def materials_of(structure: Structure | None) -> tuple[str, ...]:
    """Return the keys of the materials a structure is made of, each once."""
    if isinstance(structure, MixStructure):
        found = [structure.fibre, structure.matrix]
    elif isinstance(structure, CastStructure):
        found = [structure.matrix, *(rod.material for rod in structure.rods)]
    elif isinstance(structure, PrintStructure):
        found = [structure.material]
    elif isinstance(structure, HybridStructure):
        found = [structure.skin, structure.core]
    else:
        found = [structure.material] if structure and structure.material else []
    return tuple(dict.fromkeys(found))
