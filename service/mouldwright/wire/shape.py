"""Section shapes as they are written down. x runs along the chord or width, y is normal to it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import Field, PlainValidator, WithJsonSchema

from mouldwright.domain.part import shape as domain
from mouldwright.wire.model import Model, Text, key
from mouldwright.wire.numbers import Above, NotBelow, Number, plain, wrong
from mouldwright.wire.pairs import AS_LISTS, pairs_from, pairs_schema

_COORDINATE = Number("float", "0.3")
_LEAST_CORNERS = 3
_MOST_CORNERS = 5000


def _loop(value: Any) -> domain.Loop:
    return pairs_from(
        value,
        _COORDINATE,
        what="points",
        whole="a loop",
        least=_LEAST_CORNERS,
        most=_MOST_CORNERS,
        example="[[0, 0], [10, 0], [10, 4]]",
    )


def _naca(value: Any) -> str:
    if isinstance(value, int) and not isinstance(value, bool):
        raise wrong("a section's code is text.", f'Write "{value:04d}".')
    if not isinstance(value, str) or not re.fullmatch(r"[0-9]{4}", value):
        raise wrong("this is not a four-digit section.", 'Write four digits, such as "0012".')
    if value.endswith("00"):
        raise wrong("this section has no thickness.", 'Write its thickness last, as in "0012".')
    if (value[0] == "0") != (value[1] == "0"):
        raise wrong(
            "camber and its place go together: both digits are zero or neither.",
            f'Write "00{value[2:]}" for a symmetric section, or one such as "24{value[2:]}".',
        )
    return value


LoopOfPoints = Annotated[
    tuple[tuple[float, float], ...],
    PlainValidator(_loop),
    AS_LISTS,
    pairs_schema(_LEAST_CORNERS, "list of [x, y] pairs"),
]
NacaCode = Annotated[
    str,
    PlainValidator(_naca),
    WithJsonSchema({"type": "string", "pattern": "^[0-9]{4}$", "words": "four digits, as text"}),
]


class Naca4(Model):
    """A NACA four-digit section with the open trailing edge."""

    shape: Literal["naca4"] = key("This kind.")
    code: NacaCode = key("The four digits.")
    chord_mm: Above = key("Chord at the root.", unit="mm")
    tip_chord_mm: Above | None = key(
        "Chord at the tip; left out, the same as at the root.", default=None, unit="mm"
    )


class Coordinates(Model):
    """An airfoil from coordinates: a two-column text file, or the points themselves."""

    shape: Literal["coordinates"] = key("This kind.")
    file: Text | None = key(
        "Name of a two-column file in the scenario's folder; either common ordering.", default=None
    )
    points: LoopOfPoints | None = key(
        "The points in place of a file, as shares of the chord.", default=None
    )
    source: str = key("Where written points came from, for messages.", default="")
    chord_mm: Above = key("Chord at the root.", unit="mm")
    tip_chord_mm: Above | None = key(
        "Chord at the tip; left out, the same as at the root.", default=None, unit="mm"
    )

    def model_post_init(self, _context: object) -> None:
        """Want a file or points, one of the two."""
        if (self.file is None) == (self.points is None):
            raise wrong("coordinates come from a file or from points.", "Write one of the two.")


class Polygon(Model):
    """A polygon with holes."""

    shape: Literal["polygon"] = key("This kind.")
    points_mm: LoopOfPoints = key("The outline at the root.", unit="mm")
    holes_mm: list[LoopOfPoints] = key("Outlines of holes.", default=[], unit="mm")
    tip_scale: Above = key("Size at the tip as a multiple of the root's.", default=1.0)


class _Box(Model):
    shape: Literal["rectangle", "ellipse"] = key("This kind.")
    width_mm: Above = key("Width at the root, along x.", unit="mm")
    height_mm: Above = key("Height at the root, along y; the load acts along y.", unit="mm")
    tip_width_mm: Above | None = key("Width at the tip, if another.", default=None, unit="mm")
    tip_height_mm: Above | None = key("Height at the tip, if another.", default=None, unit="mm")


class Rectangle(_Box):
    """A rectangle."""

    shape: Literal["rectangle"] = key("This kind.")


class Ellipse(_Box):
    """An ellipse by its full axes."""

    shape: Literal["ellipse"] = key("This kind.")


class Tube(Model):
    """A round tube or bar."""

    shape: Literal["tube"] = key("This kind.")
    outer_mm: Above = key("Outer diameter at the root.", unit="mm")
    inner_mm: NotBelow = key("Inner diameter, 0 for a bar.", default=0.0, unit="mm")
    tip_outer_mm: Above | None = key(
        "Outer diameter at the tip, if another.", default=None, unit="mm"
    )
    tip_inner_mm: NotBelow | None = key(
        "Inner diameter at the tip, if another.", default=None, unit="mm"
    )

    def model_post_init(self, _context: object) -> None:
        """Refuse a bore as wide as the tube."""
        tip_inner = self.inner_mm if self.tip_inner_mm is None else self.tip_inner_mm
        tip_outer = self.tip_outer_mm or self.outer_mm
        for name, inner, outer in (
            ("inner_mm", self.inner_mm, self.outer_mm),
            ("tip_inner_mm", tip_inner, tip_outer),
        ):
            if inner >= outer:
                raise wrong(
                    "the bore is as wide as the tube.", f"Write less than {plain(outer)}.", key=name
                )


Section = Annotated[
    Naca4 | Coordinates | Polygon | Rectangle | Ellipse | Tube, Field(discriminator="shape")
]


def shape_from(section: Section, coordinates: Mapping[str, domain.Loop]) -> domain.Shape:
    """Return the shape that was written.

    Args:
        section: As written.
        coordinates: The loop of every coordinate file by its name.
    """
    values = {name: value for name, value in dict(section).items() if name != "shape"}
    match section:
        case Naca4():
            return domain.Naca4(**values)
        case Coordinates():
            loop = section.points or coordinates[section.file or ""]
            return domain.Coordinates(
                points=loop,
                chord_mm=section.chord_mm,
                tip_chord_mm=section.tip_chord_mm,
                source=section.file or section.source,
            )
        case Polygon():
            return domain.Polygon(
                points_mm=section.points_mm,
                holes_mm=tuple(section.holes_mm),
                tip_scale=section.tip_scale,
            )
        case Rectangle():
            return domain.Rectangle(**values)
        case Ellipse():
            return domain.Ellipse(**values)
        case Tube():
            return domain.Tube(**values)


def section_of(shape: domain.Shape) -> Section:
    """Return a shape as it would be written."""
    match shape:
        case domain.Naca4():
            return Naca4.written(
                shape="naca4",
                code=shape.code,
                chord_mm=shape.chord_mm,
                tip_chord_mm=shape.tip_chord_mm,
            )
        case domain.Coordinates():
            return Coordinates.written(
                shape="coordinates",
                points=[list(point) for point in shape.points],
                source=shape.source,
                chord_mm=shape.chord_mm,
                tip_chord_mm=shape.tip_chord_mm,
            )
        case domain.Polygon():
            return Polygon.written(
                shape="polygon",
                points_mm=[list(point) for point in shape.points_mm],
                holes_mm=[[list(point) for point in hole] for hole in shape.holes_mm],
                tip_scale=shape.tip_scale,
            )
        case domain.Rectangle() | domain.Ellipse():
            sizes = {
                "width_mm": shape.width_mm,
                "height_mm": shape.height_mm,
                "tip_width_mm": shape.tip_width_mm,
                "tip_height_mm": shape.tip_height_mm,
            }
            if isinstance(shape, domain.Rectangle):
                return Rectangle.written(shape="rectangle", **sizes)
            return Ellipse.written(shape="ellipse", **sizes)
        case domain.Tube():
            return Tube.written(
                shape="tube",
                outer_mm=shape.outer_mm,
                inner_mm=shape.inner_mm,
                tip_outer_mm=shape.tip_outer_mm,
                tip_inner_mm=shape.tip_inner_mm,
            )
