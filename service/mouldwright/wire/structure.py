"""Structures as they are written down: what a process makes a part of."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import Field, PlainSerializer, PlainValidator, WithJsonSchema

from mouldwright.domain.structure import kinds as domain
from mouldwright.wire.estimate import (
    Range,
    RangeFromNought,
    range_of,
    want_within,
    written_range,
)
from mouldwright.wire.model import Key, Model, Text, key
from mouldwright.wire.numbers import (
    Above,
    Count,
    NotBelow,
    Number,
    ShareAbove,
    ShareBelow,
    wrong,
)


def _place(value: Any) -> tuple[float, float]:
    if not isinstance(value, list) or len(value) != 2:
        raise wrong("a rod's place is x and y.", "Write shares of the chord: [0.30, 0.02].")
    number = Number("float", "0.30")
    return (number.read(value[0]), number.read(value[1]))


Place = Annotated[
    tuple[float, float],
    PlainValidator(_place),
    PlainSerializer(list),
    WithJsonSchema(
        {
            "type": "array",
            "items": {"type": "number"},
            "minItems": 2,
            "maxItems": 2,
            "words": "[x, y]",
        }
    ),
]


def _want_ranges(written: Model, kind: type) -> None:
    """Want what is stated within its range, and the range no wider than the key itself may be."""
    for name, (ranged, _) in domain.RANGED[kind].items():
        most = Decimal(1) if name in _SHARES else None
        want_within(getattr(written, ranged), _exact(getattr(written, name)), ranged, most=most)


def _exact(value: float) -> Decimal:
    return Decimal(repr(value))


# Figures that are parts of one, so that none of their ranges passes it.
_SHARES = ("fibre_mass_fraction", "void_fraction", "infill", "layer_factor", "skin_factor")


class MixStructure(Model):
    """Chopped fibre in a matrix, pressed."""

    kind: Literal["mix"] = key("This kind.")
    fibre: Key = key("Key of the fibre's material.")
    matrix: Key = key("Key of the matrix's material.")
    fibre_mass_fraction: ShareBelow = key("Share of fibre by mass.")
    fractions: Literal["loaded", "finished"] = key(
        "Whether that share is of what is loaded or of the finished part.", default="loaded"
    )
    void_fraction: ShareBelow = key("Share of the finished volume that is air.", default=0.0)
    orientation: Literal["planar random", "random", "aligned"] = key(
        "How the fibres lie.", default="planar random"
    )
    rule: Literal["halpin-tsai", "cox-krenchel"] = key(
        "Which published rule gives the modulus.", default="halpin-tsai"
    )
    least_thickness_mm: Above | None = key(
        "Thinner sections cannot be filled.", default=None, unit="mm"
    )
    closing_pressure_mpa: Above | None = key(
        "Pressure the charge needs to close.", default=None, unit="MPa"
    )
    fibre_mass_fraction_range: Range | None = key(
        "Least and most that share of fibre may be; answers then give ranges.", default=None
    )
    void_fraction_range: RangeFromNought | None = key(
        "Least and most that share of air may be; answers then give ranges.", default=None
    )

    def model_post_init(self, _context: object) -> None:
        """Want what is stated within its ranges."""
        _want_ranges(self, domain.MixStructure)


class RodPlace(Model):
    """A rod along the span."""

    material: Key = key("Key of a material with a rod.")
    at: Place = key(
        "x and y as shares of the local chord or width, from the leading edge and the chord line."
    )
    length_share: ShareAbove = key(
        "How far from the root it reaches, as a share of the span.", default=1.0
    )


class CastStructure(Model):
    """A cast matrix over rods."""

    kind: Literal["cast"] = key("This kind.")
    matrix: Key = key("Key of the matrix's material.")
    rods: list[RodPlace] = key("Rods laid in.", default=[])
    cover_mm: NotBelow = key("Least matrix over a rod.", default=0.0, unit="mm")
    least_thickness_mm: Above | None = key("Thinner sections do not fill.", default=None, unit="mm")


class PrintStructure(Model):
    """A printed shell with infill."""

    kind: Literal["print"] = key("This kind.")
    material: Key = key("Key of the material printed.")
    walls: Count = key("Count of perimeters.")
    wall_mm: Above = key("Width of one.", unit="mm")
    infill: Annotated[float, Number("float", "0.60", at_least=0, at_most=1)] = key(
        "Share of the inside that is filled."
    )
    infill_exponent: Above = key("n in E/Es = infill ** n.", default=2.0)
    layer_factor: ShareAbove = key("Knock-down for the direction of the layers.", default=1.0)
    least_thickness_mm: Above | None = key(
        "Thinner sections do not print.", default=None, unit="mm"
    )
    wall_range_mm: Range | None = key(
        "Least and most the width of a wall may be; answers then give ranges.",
        default=None,
        unit="mm",
    )
    infill_range: RangeFromNought | None = key(
        "Least and most the infill may be; answers then give ranges.", default=None
    )
    infill_exponent_range: Range | None = key(
        "Least and most that exponent may be; answers then give ranges.", default=None
    )
    layer_factor_range: Range | None = key(
        "Least and most that knock-down may be; answers then give ranges.", default=None
    )

    def model_post_init(self, _context: object) -> None:
        """Want what is stated within its ranges."""
        _want_ranges(self, domain.PrintStructure)


class HybridStructure(Model):
    """Skins over a core."""

    kind: Literal["hybrid"] = key("This kind.")
    skin: Key = key("Key of the skins' material.")
    skin_mm: Above = key("Thickness of the skins.", unit="mm")
    core: Key = key("Key of the core's material.")
    skin_factor: ShareAbove = key(
        "Share of the skin material's modulus that lies along the part: 1 where its fibres do, "
        "about 3/8 where they lie in all directions.",
        default=1.0,
    )
    least_thickness_mm: Above | None = key(
        "Thinner sections cannot be made so.", default=None, unit="mm"
    )
    skin_range_mm: Range | None = key(
        "Least and most that thickness may be; answers then give ranges.", default=None, unit="mm"
    )
    skin_factor_range: Range | None = key(
        "Least and most that share may be; answers then give ranges.", default=None
    )

    def model_post_init(self, _context: object) -> None:
        """Want what is stated within its ranges."""
        _want_ranges(self, domain.HybridStructure)


class MeasuredStructure(Model):
    """An effective modulus and density, measured."""

    kind: Literal["measured"] = key("This kind.")
    modulus_gpa: Above = key("Effective Young's modulus.", unit="GPa")
    density_kg_m3: Above = key("Density.", unit="kg/m³")
    material: Key | None = key(
        "Key of the material it is charged as; left out, none is charged, and a warning says so.",
        default=None,
    )
    source: Text | None = key(
        "Where the figures come from, such as a bench test and its date; answers show it.",
        default=None,
    )
    modulus_range_gpa: Range | None = key(
        "Least and most the modulus may be; answers then give ranges.", default=None, unit="GPa"
    )
    density_range_kg_m3: Range | None = key(
        "Least and most the density may be; answers then give ranges.", default=None, unit="kg/m³"
    )

    def model_post_init(self, _context: object) -> None:
        """Want what is stated within its ranges."""
        _want_ranges(self, domain.MeasuredStructure)


Structure = Annotated[
    MixStructure | CastStructure | PrintStructure | HybridStructure | MeasuredStructure,
    Field(discriminator="kind"),
]


def _is_range(name: str) -> bool:
    return any(name == ranged for keys in domain.RANGED.values() for ranged, _ in keys.values())


def structure_from(written: Structure) -> domain.Structure:
    """Return the structure that was written."""
    values: dict[str, Any] = {
        name: range_of(value) if _is_range(name) else value
        for name, value in dict(written).items()
        if name != "kind"
    }
    match written:
        case MixStructure():
            return domain.MixStructure(**values)
        case CastStructure():
            values["rods"] = tuple(domain.RodPlace(**dict(rod)) for rod in written.rods)
            return domain.CastStructure(**values)
        case PrintStructure():
            return domain.PrintStructure(**values)
        case HybridStructure():
            return domain.HybridStructure(**values)
        case MeasuredStructure():
            return domain.MeasuredStructure(**values)


def structure_of(structure: domain.Structure) -> Structure:
    """Return a structure as it would be written."""

    def fields(model: type[Model]) -> dict[str, Any]:
        return {
            name: written_range(getattr(structure, name))
            if _is_range(name)
            else getattr(structure, name)
            for name in model.model_fields
            if name != "kind"
        }

    match structure:
        case domain.MixStructure():
            return MixStructure(kind="mix", **fields(MixStructure))
        case domain.CastStructure():
            rods = [
                RodPlace.written(
                    material=rod.material, at=list(rod.at), length_share=rod.length_share
                )
                for rod in structure.rods
            ]
            return CastStructure(kind="cast", **{**fields(CastStructure), "rods": rods})
        case domain.PrintStructure():
            return PrintStructure(kind="print", **fields(PrintStructure))
        case domain.HybridStructure():
            return HybridStructure(kind="hybrid", **fields(HybridStructure))
        case domain.MeasuredStructure():
            return MeasuredStructure(kind="measured", **fields(MeasuredStructure))
