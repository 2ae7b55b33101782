"""A part's section drawn to scale, with its rods and holes, and its sizes in mm."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from mouldwright.figures.dimension import dimension_across, dimension_upright, scale_bar
from mouldwright.figures.lettering import width_px as lettered_px
from mouldwright.figures.pen import Drawing, Pen, polyline
from mouldwright.figures.table import Table
from mouldwright.figures.wording import said

Loop = tuple[tuple[float, float], ...]
_DEEPEST_PX = 180.0
_CROSS_PX = 5.0
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
        chord_mm: Of a foil, whose nose may reach a little past it; None measures the width.
        note: What the outline is, in words: "NACA 0012".
        centroid_mm: Where it balances, drawn as a small cross; None leaves it out.
        callout: What is said of the rods; empty for the count and size in English.
        scale_words: What stands by the scale bar.
        sizes: Writes a size with so many decimals, as the document's language does.
    """

    title: str
    outline_mm: Loop
    thickness_mm: float
    holes_mm: tuple[Loop, ...] = ()
    rods: tuple[Rod, ...] = ()
    mark: int | None = None
    chord_mm: float | None = None
    note: str = ""
    centroid_mm: tuple[float, float] | None = None
    callout: str = ""
    scale_words: str = "to scale"
    sizes: Callable[[float, int], str] = said


def draw_section(
    section: SectionPicture, *, width_px: float = 420, key: str = "section"
) -> Drawing:
    """Return the section to scale; a scale bar says so at any size.

    Raises:
        ValueError: if the outline has no width or no height.
    """
    if not section.outline_mm or _wide(section) <= 0 or _high(section) <= 0:
        size = (
            f"{_wide(section):g} by {_high(section):g} mm" if section.outline_mm else "no corners"
        )
        raise ValueError(f"a section of {size} cannot be drawn")
    pen = Pen(key, width_px)
    sheet = _Sheet(section, pen)
    sheet.body()
    sheet.rods()
    foot = sheet.sizes()
    scale_bar(pen, _SIDE_PX, foot + 32, sheet.scale, words=section.scale_words)
    return pen.finish(
        title=section.title,
        summary=_summary(section),
        height_px=foot + 42,
        table=_table(section),
    )


def _wide(section: SectionPicture) -> float:
    xs = [x for x, _ in section.outline_mm]
    return max(xs, default=0.0) - min(xs, default=0.0)


def _high(section: SectionPicture) -> float:
    ys = [y for _, y in section.outline_mm]
    return max(ys, default=0.0) - min(ys, default=0.0)


class _Sheet:
    """The drawing's measures and its layers."""

    def __init__(self, section: SectionPicture, pen: Pen) -> None:
        self.section, self.pen = section, pen
        wide, high = _wide(section), _high(section)
        gutter = lettered_px(section.sizes(high, 1)) + 34
        self.scale = min((pen.width_px - 2 * _SIDE_PX - gutter) / wide, _DEEPEST_PX / high)
        self.callout = section.callout or _callout(section.rods)
        self.top = 30.0 if self.callout else 12.0
        if high * self.scale < 30:
            # A thin section's dimension has its arrows outside.
            self.top += 14
        self.bottom = self.top + high * self.scale
        self.right = _SIDE_PX + wide * self.scale
        self.origin = (
            _SIDE_PX - min(x for x, _ in section.outline_mm) * self.scale,
            self.top + max(y for _, y in section.outline_mm) * self.scale,
        )

    def _at(self, point: tuple[float, float]) -> tuple[float, float]:
        return self.origin[0] + point[0] * self.scale, self.origin[1] - point[1] * self.scale

    def body(self) -> None:
        """Draw the outline with its holes, and the chord line where it runs through it."""
        section, pen = self.section, self.pen
        loops = [section.outline_mm, *section.holes_mm]
        d = "".join(polyline([self._at(p) for p in loop], closed=True) for loop in loops)
        classes = "outline" if section.mark is not None else "blank outline"
        fill = "" if section.mark is None else pen.filled(section.mark)
        pen.path(d, classes, f' fill-rule="evenodd"{fill}')
        if self.top < self.origin[1] < self.bottom:
            pen.line(_SIDE_PX - 10, self.origin[1], self.right + 12, self.origin[1], "chain")
        if section.centroid_mm is not None:
            x, y = self._at(section.centroid_mm)
            pen.line(x - _CROSS_PX, y, x + _CROSS_PX, y, "axis")
            pen.line(x, y - _CROSS_PX, x, y + _CROSS_PX, "axis")

    def rods(self) -> None:
        """Draw the rods, and letter what they are with a line to the first of them."""
        pen = self.pen
        for rod in self.section.rods:
            x, y = self._at((rod.x_mm, rod.y_mm))
            pen.circle(x, y, self._radius(rod), "rod")
        if not self.section.rods:
            return
        first = self.section.rods[0]
        x, y = self._at((first.x_mm, first.y_mm))
        room = lettered_px(self.callout)
        start = min(max(x - room / 2, 0.0), pen.width_px - room)
        pen.text(start, 12, self.callout)
        middle = start + room / 2
        pen.line(middle, 17, x, y - self._radius(first), "thin")

    def _radius(self, rod: Rod) -> float:
        return max(rod.diameter_mm / 2 * self.scale, 1.5)

    def sizes(self) -> float:
        """Draw both dimensions; return where the lower one stands."""
        section, pen = self.section, self.pen
        highest, lowest = (
            self._at(max(section.outline_mm, key=lambda p: sign * p[1]))[0] for sign in (1, -1)
        )
        dimension_upright(
            pen,
            self.top,
            self.bottom,
            self.right + 18,
            section.sizes(_high(section), 1),
            from_x=(highest + 3, lowest + 3),
        )
        chord = section.chord_mm
        left = _SIDE_PX if chord is None else self._at((0.0, 0.0))[0]
        right = self.right if chord is None else self._at((chord, 0.0))[0]
        ends = (
            self._at(min(section.outline_mm, key=lambda p: p[0]))[1] + 4,
            self._at(max(section.outline_mm, key=lambda p: p[0]))[1] + 4,
        )
        y = self.bottom + 30
        dimension_across(pen, left, right, y, _across(section), from_y=ends)
        return y


def _across(section: SectionPicture) -> str:
    return section.sizes(_wide(section) if section.chord_mm is None else section.chord_mm, 1)


def _callout(rods: tuple[Rod, ...]) -> str:
    if not rods:
        return ""
    sizes = {rod.diameter_mm for rod in rods}
    what = "1 rod" if len(rods) == 1 else f"{len(rods)} rods"
    if len(sizes) > 1:
        return what
    return f"{what}, {said(sizes.pop(), 1)} mm across"


def _summary(section: SectionPicture) -> str:
    words = [f"{section.note}." if section.note else ""]
    words.append(
        f"To scale: {_across(section)} mm wide and {section.sizes(_high(section), 1)} mm high,"
    )
    words.append(f"{section.sizes(section.thickness_mm, 1)} mm where it is thickest.")
    if section.rods:
        words.append(f"{_callout(section.rods)}.")
    if section.holes_mm:
        words.append("1 hole." if len(section.holes_mm) == 1 else f"{len(section.holes_mm)} holes.")
    return " ".join(word for word in words if word)


def _table(section: SectionPicture) -> Table:
    rows: list[tuple[str, str | None, str | None, str | None]] = [
        ("Width", None, None, _across(section)),
        ("Height", None, None, section.sizes(_high(section), 1)),
        ("Thickest", None, None, section.sizes(section.thickness_mm, 1)),
    ]
    rows += [
        (f"Rod {at}", said(rod.x_mm, 2), said(rod.y_mm, 2), said(rod.diameter_mm, 1))
        for at, rod in enumerate(section.rods, start=1)
    ]
    return Table(
        headers=("What", "From leading edge, mm", "Above chord line, mm", "Size, mm"),
        rows=tuple(rows),
    )
