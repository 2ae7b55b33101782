"""How a part bends under its load, along the span and to scale, against what is allowed."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.part.requirement import LoadShape, Support
from mouldwright.domain.shown import decimals_of, listed
from mouldwright.figures.dimension import scale_bar
from mouldwright.figures.lettering import Box, clipped, spread
from mouldwright.figures.lettering import width_px as lettered_px
from mouldwright.figures.look import mark_class
from mouldwright.figures.pen import Drawing, Pen, number, polyline
from mouldwright.figures.table import Table
from mouldwright.figures.wording import said

_LINE_PX = 17.0
# A part that bends further than this share of the width is cut off at the foot of the sheet.
_DEEPEST_SHARE = 0.42
# Below this, or where names are long, they stand under the drawing, which has the whole width.
_NARROW_PX = 480
_MOST_GUTTER_SHARE = 0.48
# Where less than this is allowed, tenths of a millimetre are too coarse.
_TENTHS_FROM_MM = 2.0
_TIP = ' marker-end="url(#fig-arrow-load)"'


@dataclass(frozen=True, slots=True, kw_only=True)
class BentLine:
    """One process.

    Attributes:
        points_mm: Place along the span and deflection there.
        deflection_mm: The greatest.
    """

    title: str
    mark: int
    points_mm: tuple[tuple[float, float], ...]
    deflection_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BentPart:
    """A part under its load.

    Attributes:
        allowed_mm: The most it may bend.
        force_n: Total force.
    """

    title: str
    span_mm: float
    allowed_mm: float
    force_n: float
    support: Support
    load: LoadShape
    lines: tuple[BentLine, ...]


def draw_bend(bent: BentPart, *, width_px: float = 520, key: str = "bend") -> Drawing:
    """Return the deflected shapes. Bending is drawn to the same scale as the span.

    Raises:
        ValueError: if there is nothing to draw.
    """
    if not bent.lines or bent.span_mm <= 0:
        raise ValueError("a bend needs a span and at least one shape")
    pen = Pen(key, width_px)
    sheet = _Sheet(bent, pen)
    sheet.supports()
    sheet.load()
    sheet.shapes()
    sheet.limit()
    if not sheet.is_narrow:
        sheet.names()
    scale_bar(pen, sheet.left, sheet.foot + 22, sheet.scale)
    height = sheet.foot + 32
    if sheet.is_narrow:
        height = sheet.names_under(height + 14)
    return pen.finish(
        title=bent.title,
        summary=_summary(bent),
        height_px=height,
        table=_table(bent),
    )


def _fails(bent: BentPart, line: BentLine) -> bool:
    return line.deflection_mm > bent.allowed_mm


def _decimals(bent: BentPart) -> int:
    return 1 if bent.allowed_mm >= _TENTHS_FROM_MM else 2


def _bends(bent: BentPart, line: BentLine) -> str:
    mm = line.deflection_mm
    return said(mm, max(_decimals(bent), decimals_of(mm)))


def _summary(bent: BentPart) -> str:
    each = [
        f"{line.title} {_bends(bent, line)} mm" + (", which fails" if _fails(bent, line) else "")
        for line in bent.lines
    ]
    return (
        f"To scale, {said(bent.force_n, 1)} N over {said(bent.span_mm, 0)} mm. "
        f"{said(bent.allowed_mm, _decimals(bent))} mm are allowed. Bends: {listed(each)}."
    )


def _table(bent: BentPart) -> Table:
    return Table(
        headers=("Process", "Bends, mm", "Allowed, mm", "Share of allowed", "Stiff enough"),
        rows=tuple(
            (
                line.title,
                _bends(bent, line),
                said(bent.allowed_mm, _decimals(bent)),
                said(line.deflection_mm / bent.allowed_mm, 2),
                "fails" if _fails(bent, line) else "passes",
            )
            for line in bent.lines
        ),
    )


class _Sheet:
    """The drawing's measures and its layers."""

    def __init__(self, bent: BentPart, pen: Pen) -> None:
        self.bent, self.pen = bent, pen
        names = [self._name(line) for line in bent.lines] + [self._limit_name()]
        # A cantilever bends most at its free end, next to the names.
        self.hangs = bent.support == "cantilever"
        room = max(lettered_px(n, bold=True) for n in names) + (20 if self.hangs else 50)
        self.is_narrow = pen.width_px < _NARROW_PX or room > pen.width_px * _MOST_GUTTER_SHARE
        self.gutter = 20.0 if self.is_narrow else room
        self.left = 26.0
        self.right = pen.width_px - self.gutter - 8
        self.scale = (self.right - self.left) / bent.span_mm
        self.axis = 46.0
        greatest = max(bent.allowed_mm, *(line.deflection_mm for line in bent.lines))
        self.depth = min(greatest * self.scale, _DEEPEST_SHARE * pen.width_px)
        need = 0 if self.is_narrow else _LINE_PX * len(bent.lines) + 8
        self.foot = self.axis + max(self.depth + 12, need, 30)

    def _name(self, line: BentLine) -> str:
        return f"{_bends(self.bent, line)} {line.title}" + (
            ", fails" if _fails(self.bent, line) else ""
        )

    def _limit_name(self) -> str:
        return f"{said(self.bent.allowed_mm, _decimals(self.bent))} allowed"

    def _x(self, mm: float) -> float:
        return self.left + mm * self.scale

    def supports(self) -> None:
        """Draw how it is held, and the unbent axis."""
        pen, support = self.pen, self.bent.support
        pen.line(self.left, self.axis, self.right + 6, self.axis, "chain")
        ends = [self.left] if support == "cantilever" else [self.left, self.right]
        for at, x in enumerate(ends):
            outward = -1 if at == 0 else 1
            if support == "simply supported":
                self._roller(x)
            else:
                self._wall(x, outward, sprung=support == "elastic mounts")

    def _roller(self, x: float) -> None:
        y = self.axis + 2
        self.pen.path(polyline([(x, y), (x - 7, y + 12), (x + 7, y + 12)], closed=True), "bubble")
        self.pen.line(x - 11, y + 12, x + 11, y + 12, "axis")

    def _wall(self, x: float, outward: int, *, sprung: bool) -> None:
        near = x + outward * (8 if sprung else 0)
        far = near + outward * 13
        box = Box(min(near, far), self.axis - 18, max(near, far), self.axis + 18)
        self.pen.rect(box, "wall", ' fill="url(#fig-ground)"')
        self.pen.line(near, self.axis - 18, near, self.axis + 18, "outline")
        if sprung:
            steps = [
                (near - outward * 8 * k / 6, self.axis + (6 if k % 2 else -6)) for k in range(7)
            ]
            self.pen.path(polyline(steps), "thin")

    def load(self) -> None:
        """Draw where the force acts, and its size."""
        pen, bent = self.pen, self.bent
        top, tip = 20.0, self.axis - 4
        text = f"{said(bent.force_n, 1)} N"
        if bent.load in ("end", "centre"):
            x = self.right if bent.load == "end" else (self.left + self.right) / 2
            pen.line(x, top - 6, x, tip, "load", _TIP)
            pen.text(x - 7, top + 4, text, "", "end")
            return
        count = max(5, int((self.right - self.left) // 32))
        tops = []
        for at in range(count):
            share = at / (count - 1)
            height = 18.0 if bent.load == "uniform" else 22.0 * (1 - share)
            x = self.left + share * (self.right - self.left)
            tops.append((x, tip - height))
            if height > 5:
                pen.line(x, tip - height, x, tip, "load", _TIP)
        pen.path(polyline(tops), "load")
        pen.text(self.right, 14, f"{text} in all", "", "end")

    def shapes(self) -> None:
        """Draw each deflected shape; what runs off the sheet ends at its foot."""
        low = self.axis + self.depth
        for line in self.bent.lines:
            points = [(self._x(x), self.axis + w * self.scale) for x, w in line.points_mm]
            classes = f"line {mark_class(line.mark)}" + (
                " fails" if _fails(self.bent, line) else ""
            )
            self.pen.path(polyline(_cut(points, low)), classes)

    def limit(self) -> None:
        """Draw the level it may reach, where it bends most."""
        y = self.axis + self.bent.allowed_mm * self.scale
        start = self.left + (self.right - self.left) * (0.55 if self.hangs else 0)
        self.pen.line(start, y, self.right + 6, y, "limit")

    def names(self) -> None:
        """Name every shape and the limit at the right, each with a line to its end."""
        pen, bent = self.pen, self.bent
        low = self.axis + self.depth
        ends: list[tuple[float, float, str, str, str]] = []
        for line in bent.lines:
            x, w = line.points_mm[-1]
            y = min(self.axis + (w if self.hangs else line.deflection_mm) * self.scale, low)
            fails = _fails(bent, line)
            classes = "warn" if fails else f"strong word {mark_class(line.mark)}"
            stroke = f"line {mark_class(line.mark)}" + (" fails" if fails else "")
            ends.append((y, self._x(x), self._name(line), classes, stroke))
        y = self.axis + bent.allowed_mm * self.scale
        ends.append((y, self.right + 6, self._limit_name(), "warn", "limit"))
        ends.sort(key=lambda end: (end[0], end[2]))
        places = spread([end[0] for end in ends], _LINE_PX, self.axis + 2, self.foot - 2)
        start = self.right + (18 if self.hangs else 54)
        for (y, x, name, classes, stroke), at in zip(ends, places, strict=True):
            if self.hangs:
                leader = f"M{number(x + 1)} {number(y)}L{number(self.right + 14)} {number(at)}"
                pen.path(leader, "thin")
            else:
                # From mid-span a leader would cross the other shapes: a piece of the line names it.
                pen.line(self.right + 24, at, self.right + 48, at, stroke)
            pen.text(start, at + 4, clipped(name, pen.width_px - start, bold=True), classes)

    def names_under(self, top: float) -> float:
        """Name every shape and the limit under the drawing; return where the names end."""
        pen, bent = self.pen, self.bent
        named = [
            (
                line.deflection_mm,
                self._name(line),
                "warn" if _fails(bent, line) else f"strong word {mark_class(line.mark)}",
                f"line {mark_class(line.mark)}" + (" fails" if _fails(bent, line) else ""),
            )
            for line in bent.lines
        ]
        named.append((bent.allowed_mm, self._limit_name(), "warn", "limit"))
        y = top
        for _, name, classes, stroke in sorted(named):
            pen.line(self.left, y - 4, self.left + 28, y - 4, stroke)
            room = pen.width_px - self.left - 36
            pen.text(self.left + 36, y, clipped(name, room, bold=True), classes)
            y += _LINE_PX
        return y - 8


def _cut(points: list[tuple[float, float]], low: float) -> list[tuple[float, float]]:
    """Return the points down to a level, ending on it."""
    kept: list[tuple[float, float]] = []
    for x, y in points:
        if y > low + 0.01:
            if kept:
                x0, y0 = kept[-1]
                if y0 < low:
                    kept.append((x0 + (x - x0) * (low - y0) / (y - y0), low))
            break
        kept.append((x, y))
    return kept
