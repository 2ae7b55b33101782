"""A part seen from above: span, taper and rods, to scale, with its sizes in mm."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.figures.dimension import dimension_across, dimension_upright, scale_bar
from mouldwright.figures.lettering import width_px as lettered_px
from mouldwright.figures.pen import Drawing, Pen, polyline
from mouldwright.figures.table import Table
from mouldwright.figures.wording import said

_DEEPEST_PX = 260.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RodLine:
    """A rod along the span.

    Attributes:
        chord_share: Where it lies, as a share of the local chord from the leading edge.
        length_share: How far from the root it reaches, as a share of the span.
    """

    chord_share: float
    length_share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Planform:
    """A part from above, root at the left, leading edge at the top and straight."""

    title: str
    span_mm: float
    root_chord_mm: float
    tip_chord_mm: float
    rods: tuple[RodLine, ...] = ()


def draw_planform(plan: Planform, *, width_px: float = 420, key: str = "planform") -> Drawing:
    """Return the part from above, to scale; rods inside it are hidden lines.

    Raises:
        ValueError: if a size is not above zero.
    """
    sizes = (plan.span_mm, plan.root_chord_mm, plan.tip_chord_mm)
    if not all(size > 0 for size in sizes):
        raise ValueError(f"a part of span and chords {sizes} mm cannot be drawn")
    pen = Pen(key, width_px)
    root, tip, span = (said(s, 1) for s in (plan.root_chord_mm, plan.tip_chord_mm, plan.span_mm))
    before, after = lettered_px(root) + 38, lettered_px(tip) + 38
    widest = max(plan.root_chord_mm, plan.tip_chord_mm)
    scale = min((width_px - before - after) / plan.span_mm, _DEEPEST_PX / widest)
    left, top = before, 24.0
    right = left + plan.span_mm * scale
    at_root, at_tip = (top + c * scale for c in (plan.root_chord_mm, plan.tip_chord_mm))
    pen.path(
        polyline([(left, top), (right, top), (right, at_tip), (left, at_root)], closed=True),
        "blank outline",
    )
    for rod in plan.rods:
        ends = [
            (
                left + share * plan.span_mm * scale,
                top + rod.chord_share * _chord(plan, share) * scale,
            )
            for share in (0.0, rod.length_share)
        ]
        pen.path(polyline(ends), "hidden")
    cut = left + 12
    at_cut = top + _chord(plan, 12 / (plan.span_mm * scale)) * scale
    for y1, y2, foot in ((top - 14, top - 3, top - 6), (at_cut + 3, at_cut + 14, at_cut + 15)):
        pen.line(cut, y1, cut, y2, "cut")
        pen.text(cut + 7, foot, "A", "strong")
    # Both chord figures stand outside, the root's before its line.
    x = lettered_px(root) + 14
    pen.line(left - 4, top, x - 5, top, "thin")
    pen.line(left - 4, at_root, x - 5, at_root, "thin")
    ends_px = at_root - top
    arrows = ' marker-start="url(#fig-arrow)" marker-end="url(#fig-arrow)"'
    if ends_px >= 26:
        pen.line(x, top, x, at_root, "thin", arrows)
    else:
        pen.line(x, top - 16, x, top, "thin", ' marker-end="url(#fig-arrow)"')
        pen.line(x, at_root + 16, x, at_root, "thin", ' marker-end="url(#fig-arrow)"')
    pen.text(x - 9, (top + at_root) / 2 + 4.5, root, "", "end")
    dimension_upright(pen, top, at_tip, right + 22, tip, from_x=(right + 4, right + 4))
    y = max(at_root, at_tip) + 38
    dimension_across(pen, left, right, y, span, from_y=(at_root + 4, at_tip + 4))
    scale_bar(pen, left, y + 30, scale)
    return pen.finish(
        title=plan.title,
        summary=_summary(plan),
        height_px=y + 40,
        table=_table(plan),
    )


def _chord(plan: Planform, share: float) -> float:
    return plan.root_chord_mm + (plan.tip_chord_mm - plan.root_chord_mm) * share


def _summary(plan: Planform) -> str:
    words = (
        f"To scale: span {said(plan.span_mm, 1)} mm, chord {said(plan.root_chord_mm, 1)} mm at the "
        f"root and {said(plan.tip_chord_mm, 1)} mm at the tip; the leading edge is drawn straight."
    )
    if plan.rods:
        count = len(plan.rods)
        words += f" {count} {'rod' if count == 1 else 'rods'} along the span, drawn hidden."
    return words


def _table(plan: Planform) -> Table:
    rows: list[tuple[str, str]] = [
        ("Span", said(plan.span_mm, 1)),
        ("Chord at the root", said(plan.root_chord_mm, 1)),
        ("Chord at the tip", said(plan.tip_chord_mm, 1)),
    ]
    rows += [
        (f"Length of rod {at}", said(rod.length_share * plan.span_mm, 1))
        for at, rod in enumerate(plan.rods, start=1)
    ]
    return Table(headers=("What", "Size, mm"), rows=tuple(rows))
