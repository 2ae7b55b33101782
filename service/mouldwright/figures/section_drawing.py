"""A part's section drawn to scale, with its rods and holes, and its sizes in mm."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from mouldwright.figures.dimension import dimension_across, dimension_upright, scale_bar
from mouldwright.figures.lettering import width_px as lettered_px
from mouldwright.figures.pen import Drawing, Pen, number, polyline
from mouldwright.figures.table import Table
from mouldwright.figures.wording import said

Loop = tuple[tuple[float, float], ...]
At = Callable[[tuple[float, float]], tuple[float, float]]
_DEEPEST_PX = 180.0
_SIDE_PX = 16.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Rod:
    """A rod seen end on; x from the leading edge, y up from the chord line, in mm."""

    x_mm: float
    y_mm: float
    diameter_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionPicture:
    """A section.

    Attributes:
        outline_mm: Outer loop; x along the chord, y up.
        holes_mm: Loops where nothing is.
        thickness_mm: Where it is thickest.
        mark: Of the process it is drawn as made by; None draws it bare.
        note: What the outline is, in words: "NACA 0012".
    """

    title: str
    outline_mm: Loop
    thickness_mm: float
    holes_mm: tuple[Loop, ...] = ()
    rods: tuple[Rod, ...] = ()
    mark: int | None = None
    note: str = ""


def draw_section(
    section: SectionPicture, *, width_px: float = 420, key: str = "section"
) -> Drawing:
    """Return the section to scale; a scale bar says so at any size.

    Raises:
        ValueError: if the outline has no width or no height.
    """
    xs = [x for x, _ in section.outline_mm]
    ys = [y for _, y in section.outline_mm]
    wide, high = (
        max(xs, default=0.0) - min(xs, default=0.0),
        max(ys, default=0) - min(ys, default=0),
    )
    if not (wide > 0 and high > 0):
        raise ValueError(f"a section of {wide:g} by {high:g} mm cannot be drawn")
    pen = Pen(key, width_px)
    figures = (said(wide, 1), said(high, 1))
    gutter = lettered_px(figures[1]) + 34
    scale = min((width_px - 2 * _SIDE_PX - gutter) / wide, _DEEPEST_PX / high)
    callout = _callout(section.rods)
    top = 30.0 if callout else 12.0
    if high * scale < 30:
        top += 14
    left = _SIDE_PX
    origin = (left - min(xs) * scale, top + max(ys) * scale)

    def at(point: tuple[float, float]) -> tuple[float, float]:
        return origin[0] + point[0] * scale, origin[1] - point[1] * scale

    bottom, right = top + high * scale, left + wide * scale
    loops = [section.outline_mm, *section.holes_mm]
    d = "".join(polyline([at(p) for p in loop], closed=True) for loop in loops)
    fill = ' class="blank outline"' if section.mark is None else ' class="outline"'
    fill += "" if section.mark is None else pen.filled(section.mark)
    pen.raw(f'<path d="{d}" fill-rule="evenodd"{fill}/>')
    if min(ys) < 0 < max(ys):
        pen.line(left - 10, origin[1], right + 12, origin[1], "chain")
    for rod in section.rods:
        x, y = at((rod.x_mm, rod.y_mm))
        pen.circle(x, y, max(rod.diameter_mm / 2 * scale, 1.5), "rod")
    if callout:
        edge = max(section.rods[0].diameter_mm / 2 * scale, 1.5)
        _point_out(pen, section.rods, at, callout, edge)
    high_x, low_x = (at(max(section.outline_mm, key=lambda p: sign * p[1]))[0] for sign in (1, -1))
    dimension_upright(pen, top, bottom, right + 18, figures[1], from_x=(high_x + 3, low_x + 3))
    ends = (
        at(min(section.outline_mm, key=lambda p: p[0]))[1] + 4,
        at(max(section.outline_mm, key=lambda p: p[0]))[1] + 4,
    )
    y = bottom + 30
    dimension_across(pen, left, right, y, figures[0], from_y=ends)
    scale_bar(pen, left, y + 32, scale)
    return pen.finish(
        title=section.title,
        summary=_summary(section, wide, high),
        height_px=y + 42,
        table=_table(section, wide, high),
    )


def _callout(rods: tuple[Rod, ...]) -> str:
    if not rods:
        return ""
    sizes = {rod.diameter_mm for rod in rods}
    what = "1 rod" if len(rods) == 1 else f"{len(rods)} rods"
    if len(sizes) > 1:
        return what
    return f"{what}, {said(sizes.pop(), 1)} mm across"


def _point_out(pen: Pen, rods: tuple[Rod, ...], at: At, callout: str, edge: float) -> None:
    """Letter what the rods are, with a line to the first of them."""
    x, y = at((rods[0].x_mm, rods[0].y_mm))
    room = lettered_px(callout)
    start = min(max(x - room / 2, 0.0), pen.width_px - room)
    pen.text(start, 12, callout)
    middle = start + room / 2
    pen.path(f"M{number(middle)} 17L{number(x)} {number(y - edge)}", "thin")


def _summary(section: SectionPicture, wide: float, high: float) -> str:
    words = [f"{section.note}." if section.note else ""]
    words.append(f"To scale: {said(wide, 1)} mm wide and {said(high, 1)} mm high,")
    words.append(f"{said(section.thickness_mm, 1)} mm where it is thickest.")
    if section.rods:
        words.append(f"{_callout(section.rods)}.")
    if section.holes_mm:
        words.append("1 hole." if len(section.holes_mm) == 1 else f"{len(section.holes_mm)} holes.")
    return " ".join(word for word in words if word)


def _table(section: SectionPicture, wide: float, high: float) -> Table:
    rows: list[tuple[str, str | None, str | None, str | None]] = [
        ("Width", None, None, said(wide, 1)),
        ("Height", None, None, said(high, 1)),
        ("Thickest", None, None, said(section.thickness_mm, 1)),
    ]
    rows += [
        (f"Rod {at}", said(rod.x_mm, 2), said(rod.y_mm, 2), said(rod.diameter_mm, 1))
        for at, rod in enumerate(section.rods, start=1)
    ]
    return Table(
        headers=("What", "From leading edge, mm", "Above chord line, mm", "Size, mm"),
        rows=tuple(rows),
    )
