"""Parts, and how they bend, as pictures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from mouldwright.domain.judgement import Judgement
from mouldwright.domain.material import Material
from mouldwright.domain.part.load import force_n
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.section import outline_at, section_at
from mouldwright.domain.part.shape import Coordinates, Naca4
from mouldwright.domain.structure.kinds import CastStructure, Structure
from mouldwright.figures.bend_drawing import BentLine, BentPart
from mouldwright.figures.planform_drawing import Planform, RodLine
from mouldwright.figures.section_drawing import Rod, SectionPicture


def section_of(
    part: Part,
    *,
    structure: Structure | None = None,
    materials: Mapping[str, Material] | None = None,
    mark: int | None = None,
    share: float = 0.0,
) -> SectionPicture:
    """Return a part's section at a share of its span, with the rods that reach so far.

    Raises:
        ValueError: if the shape is not sound.
    """
    outer, *holes = (
        tuple((float(x), float(y)) for x, y in loop) for loop in outline_at(part.section, share)
    )
    section = section_at(part.section, share)
    rods = tuple(
        Rod(
            x_mm=place.at[0] * section.width_mm,
            y_mm=place.at[1] * section.width_mm,
            diameter_mm=rod.diameter_mm,
        )
        for place in (structure.rods if isinstance(structure, CastStructure) else ())
        if place.length_share >= share
        and (rod := (materials or {})[place.material].rod) is not None
    )
    where = "at the root" if share == 0 else f"at {share * 100:.0f} % of the span"
    return SectionPicture(
        title=f"{part.title}: section {where}",
        outline_mm=outer,
        holes_mm=tuple(holes),
        thickness_mm=section.thickness_mm,
        centroid_mm=(section.centroid_x_mm, section.centroid_y_mm),
        rods=rods,
        mark=mark,
        chord_mm=section.width_mm if isinstance(part.section, (Naca4, Coordinates)) else None,
        note=f"NACA {part.section.code}" if isinstance(part.section, Naca4) else "",
    )


def planform_of(part: Part, *, structure: Structure | None = None) -> Planform:
    """Return a part from above.

    Raises:
        ValueError: if the shape is not sound.
    """
    return Planform(
        title=f"{part.title}: from above",
        span_mm=part.span_mm,
        root_chord_mm=section_at(part.section, 0.0).width_mm,
        tip_chord_mm=section_at(part.section, 1.0).width_mm,
        rods=tuple(
            RodLine(chord_share=place.at[0], length_share=place.length_share)
            for place in (structure.rods if isinstance(structure, CastStructure) else ())
        ),
    )


def bent_of(part: Part, judged: Iterable[tuple[str, int, Judgement]]) -> BentPart | None:
    """Return how a part bends by each process; None where nothing is asked or known of it.

    Args:
        part: The part, with what it must bear.
        judged: Title, mark and judgement of each process.

    Raises:
        InvalidInput: if the load asked does not hold together.
    """
    asked = part.requirement
    lines = tuple(
        BentLine(
            title=title,
            mark=mark,
            points_mm=tuple(
                (float(x), float(w))
                for x, w in zip(found.curve.x_mm, found.curve.deflection_mm, strict=True)
            ),
            deflection_mm=found.deflection_mm,
        )
        for title, mark, found in judged
        if found.curve is not None and found.deflection_mm is not None
    )
    if asked is None or not lines:
        return None
    return BentPart(
        title=f"{part.title}: bent by its load",
        span_mm=part.span_mm,
        allowed_mm=asked.deflection_mm,
        force_n=force_n(part, asked),
        support=asked.support,
        load=asked.load,
        lines=lines,
    )
