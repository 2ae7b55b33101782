"""The levers of a bench on stiffness: each gives ever larger changes of a part or a process."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from mouldwright.domain.material import Material
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.shape import (
    Coordinates,
    Ellipse,
    Loop,
    Naca4,
    Polygon,
    Rectangle,
    Shape,
    Tube,
)
from mouldwright.domain.process.process import Process
from mouldwright.domain.structure.kinds import (
    CastStructure,
    HybridStructure,
    MixStructure,
    PrintStructure,
)
from mouldwright.domain.would_pass.rods import more_rods, thicker_rods

# How far a lever is followed: what is thrice as thick is another part.
MOST_THICKER = 3.0
LEAST_SPAN_SHARE = 0.4
MOST_WALLS_MORE = 12
# More fibre by mass than this is not wetted out by hand; common practice, no source.
MOST_FIBRE_MASS = 0.70
MOST_INFILL = 1.0
_SKIN_STEP_MM = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change of a part or a process.

    Attributes:
        lever: What is moved, in the words of the trade.
        was: How it stands, with its unit.
        becomes: What it would be.
        new_moulds: Whether the moulds at hand no longer fit.
        materials: Those the change brings in besides the shop's, by key.
    """

    lever: str
    was: str
    becomes: str
    part: Part
    process: Process
    new_moulds: bool = False
    materials: Mapping[str, Material] | None = None


def levers(
    part: Part, process: Process, materials: Mapping[str, Material]
) -> Iterator[Iterable[Change]]:
    """Yield for each lever its changes, the smallest first; a lever that is not there has none.

    What is slow to lay out, such as rods, is laid out one by one as it is asked for; the rest is
    a list.
    """
    yield _thicker(part, process)
    structure = process.structure
    if isinstance(structure, MixStructure):
        yield _more_fibre(part, process, structure)
    elif isinstance(structure, CastStructure):
        yield (
            Change(
                lever="rods",
                was=_rods(len(structure.rods)),
                becomes=_rods(len(more.rods)),
                part=part,
                process=replace(process, structure=more),
            )
            for more in more_rods(part, structure, materials)
        )
        yield (
            Change(
                lever="thickness of the rods",
                was=f"{was:g} mm",
                becomes=f"{thick:g} mm",
                part=part,
                process=replace(process, structure=thicker),
                materials=brought,
            )
            for was, thick, thicker, brought in thicker_rods(part, structure, materials)
        )
    elif isinstance(structure, HybridStructure):
        yield _skins(part, process, structure)
    elif isinstance(structure, PrintStructure):
        yield _walls(part, process, structure)
        yield _infill(part, process, structure)
    yield _support(part, process)
    yield _shorter(part, process)


def _rods(count: int) -> str:
    return f"{count} rod{'' if count == 1 else 's'}"


def _thicker(part: Part, process: Process) -> list[Change]:
    shape = part.section
    if isinstance(shape, Naca4):
        now = int(shape.code[2:])
        return [
            _reshaped(
                part, process, replace(shape, code=f"{shape.code[:2]}{to:02d}"),
                "thickness of the section", f"{now} % of the chord", f"{to} %",
            )
            for to in range(now + 1, min(99, round(now * MOST_THICKER)) + 1)
        ]  # fmt: skip
    steps = [1 + 0.01 * n for n in range(1, round((MOST_THICKER - 1) * 100) + 1)]
    return [
        _reshaped(
            part,
            process,
            _scaled(shape, by),
            "thickness of the section",
            f"{_height(shape):g} mm",
            f"{_height(shape) * by:.2f} mm",
        )
        for by in steps
    ]


def _reshaped(
    part: Part, process: Process, shape: Shape, lever: str, was: str, becomes: str
) -> Change:
    return Change(
        lever=lever,
        was=was,
        becomes=becomes,
        part=replace(part, section=shape),
        process=process,
        new_moulds=process.uses_mould,
    )


def _height(shape: Shape) -> float:
    match shape:
        case Rectangle() | Ellipse():
            return shape.height_mm
        case Tube():
            return shape.outer_mm
        case Polygon():
            ys = [y for _, y in shape.points_mm]
            return round(max(ys) - min(ys), 3)
        case Coordinates():
            ys = [y for _, y in shape.points]
            return round((max(ys) - min(ys)) * shape.chord_mm, 3)
        case Naca4():
            return int(shape.code[2:]) / 100 * shape.chord_mm


def _scaled(shape: Shape, by: float) -> Shape:
    """Return a section whose heights along the load are so many times as great."""

    def tip(size: float | None) -> float | None:
        return None if size is None else size * by

    match shape:
        case Rectangle() | Ellipse():
            return replace(
                shape, height_mm=shape.height_mm * by, tip_height_mm=tip(shape.tip_height_mm)
            )
        case Tube():
            # The bore stays: the wall is what grows.
            return replace(
                shape, outer_mm=shape.outer_mm * by, tip_outer_mm=tip(shape.tip_outer_mm)
            )
        case Polygon():
            return replace(
                shape,
                points_mm=_stretched(shape.points_mm, by),
                holes_mm=tuple(_stretched(hole, by) for hole in shape.holes_mm),
            )
        case Coordinates():
            return replace(shape, points=_stretched(shape.points, by))
        case Naca4():
            return shape


def _stretched(loop: Loop, by: float) -> Loop:
    return tuple((x, y * by) for x, y in loop)


def _more_fibre(part: Part, process: Process, structure: MixStructure) -> list[Change]:
    now = structure.fibre_mass_fraction
    first = int(now * 100 + 1e-9) + 1
    return [
        Change(
            lever="fibre by mass",
            was=f"{now * 100:g} %",
            becomes=f"{to} %",
            part=part,
            process=replace(process, structure=replace(structure, fibre_mass_fraction=to / 100)),
        )
        for to in range(first, round(MOST_FIBRE_MASS * 100) + 1)
    ]


def _skins(part: Part, process: Process, structure: HybridStructure) -> list[Change]:
    now = structure.skin_mm
    steps = range(1, int(now * (MOST_THICKER - 1) / _SKIN_STEP_MM) + 1)
    return [
        Change(
            lever="thickness of the skins",
            was=f"{now:g} mm",
            becomes=f"{now + step * _SKIN_STEP_MM:.1f} mm",
            part=part,
            process=replace(
                process, structure=replace(structure, skin_mm=now + step * _SKIN_STEP_MM)
            ),
        )
        for step in steps
    ]


def _walls(part: Part, process: Process, structure: PrintStructure) -> list[Change]:
    now = structure.walls
    return [
        Change(
            lever="walls",
            was=str(now),
            becomes=str(to),
            part=part,
            process=replace(process, structure=replace(structure, walls=to)),
        )
        for to in range(now + 1, now + MOST_WALLS_MORE + 1)
    ]


def _infill(part: Part, process: Process, structure: PrintStructure) -> list[Change]:
    now = structure.infill
    first = int(now * 100 + 1e-9) + 1
    return [
        Change(
            lever="infill",
            was=f"{now * 100:g} %",
            becomes=f"{to} %",
            part=part,
            process=replace(process, structure=replace(structure, infill=to / 100)),
        )
        for to in range(first, round(MOST_INFILL * 100) + 1)
    ]


def _support(part: Part, process: Process) -> list[Change]:
    """Return the part held more firmly; a load at a free end leaves nothing to hold."""
    asked = part.requirement
    if asked is None or asked.load == "end" or asked.support == "both ends fixed":
        return []
    if asked.support == "elastic mounts" and asked.mount_n_mm_per_rad:
        mount = asked.mount_n_mm_per_rad
        return [
            Change(
                lever="stiffness of each mount",
                was=f"{mount:g} N mm/rad",
                becomes=f"{mount * 1.05**n:.3g} N mm/rad",
                part=replace(part, requirement=replace(asked, mount_n_mm_per_rad=mount * 1.05**n)),
                process=process,
            )
            for n in range(1, 121)
        ]
    return [
        Change(
            lever="how it is held",
            was=asked.support,
            becomes="both ends fixed, which no real mount quite reaches",
            part=replace(part, requirement=replace(asked, support="both ends fixed")),
            process=process,
        )
    ]


def _shorter(part: Part, process: Process) -> list[Change]:
    least = part.span_mm * LEAST_SPAN_SHARE
    whole = int(part.span_mm) if part.span_mm != int(part.span_mm) else int(part.span_mm) - 1
    return [
        Change(
            lever="span",
            was=f"{part.span_mm:g} mm",
            becomes=f"{to} mm",
            part=replace(part, span_mm=float(to)),
            process=process,
            new_moulds=process.uses_mould,
        )
        for to in range(whole, int(least), -1)
    ]
