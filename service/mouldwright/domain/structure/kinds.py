"""The kinds of structure a process may name, as written down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from mouldwright.domain.estimate import Range


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
        fibre_mass_fraction_range: Least and most that share may be; None where it is certain.
        void_fraction_range: The same of the air.
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
    fibre_mass_fraction_range: Range | None = None
    void_fraction_range: Range | None = None


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
        wall_range_mm: Least and most the width may be; None where it is certain.
        infill_range: The same of the infill.
        infill_exponent_range: The same of n.
        layer_factor_range: The same of the knock-down.
    """

    material: str
    walls: int
    wall_mm: float
    infill: float
    infill_exponent: float = 2.0
    layer_factor: float = 1.0
    least_thickness_mm: float | None = None
    wall_range_mm: Range | None = None
    infill_range: Range | None = None
    infill_exponent_range: Range | None = None
    layer_factor_range: Range | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredStructure:
    """An effective modulus and density, measured.

    Attributes:
        material: What it is charged as; unset, no material is charged, and the reader is told.
        source: Where the figures come from; None where nobody says.
        modulus_range_gpa: Least and most the modulus may be; None where it is certain.
        density_range_kg_m3: The same of the density.
    """

    modulus_gpa: float
    density_kg_m3: float
    material: str | None = None
    source: str | None = None
    modulus_range_gpa: Range | None = None
    density_range_kg_m3: Range | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HybridStructure:
    """Skins over a core.

    Attributes:
        skin: Key of the skins' material.
        skin_mm: Thickness of the skins.
        core: Key of the core's material.
        skin_factor: Share of the skin material's modulus that lies along the part.
        skin_range_mm: Least and most the thickness may be; None where it is certain.
        skin_factor_range: The same of that share.
        least_thickness_mm: Thinner sections cannot be made so.
    """

    skin: str
    skin_mm: float
    core: str
    skin_factor: float = 1.0
    least_thickness_mm: float | None = None
    skin_range_mm: Range | None = None
    skin_factor_range: Range | None = None


Structure = MixStructure | CastStructure | PrintStructure | MeasuredStructure | HybridStructure


# Which figure of a structure may be stated as a range, by which key, and in words. Ranges of a
# structure are in the figure's own measure.
RANGED: Mapping[type, Mapping[str, tuple[str, str]]] = {
    MixStructure: {
        "fibre_mass_fraction": ("fibre_mass_fraction_range", "share of fibre"),
        "void_fraction": ("void_fraction_range", "air in it"),
    },
    PrintStructure: {
        "wall_mm": ("wall_range_mm", "width of a wall"),
        "infill": ("infill_range", "infill"),
        "infill_exponent": ("infill_exponent_range", "exponent of the infill"),
        "layer_factor": ("layer_factor_range", "knock-down of the layers"),
    },
    MeasuredStructure: {
        "modulus_gpa": ("modulus_range_gpa", "modulus"),
        "density_kg_m3": ("density_range_kg_m3", "density"),
    },
    HybridStructure: {
        "skin_mm": ("skin_range_mm", "thickness of the skins"),
        "skin_factor": ("skin_factor_range", "share of the skins' modulus"),
    },
}


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
