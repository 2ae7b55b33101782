"""A bench test drawn: readings and the line through them, and under it how far each is off."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.figures.pen import Drawing, Pen, polyline
from mouldwright.figures.scales import Scale, round_steps
from mouldwright.figures.table import Table
from mouldwright.figures.wording import plain, said

_HIGH_PX = 170.0
_OFF_PX = 72.0
_LEFT_PX = 46.0
_TOP_PX = 28.0
_BETWEEN_PX = 42.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FitPicture:
    """The readings of one test.

    Attributes:
        title: Which test.
        readings: Load in N, deflection in mm with the dial's zero taken off, and how far that
            lies from the line, mm.
        begins_at_mm: Where the line begins, at no load.
        mm_per_n: Its slope; None where there is no line.
        theory_mm_per_n: The slope by theory, the fixture's own give in it; None where unknown.
        most_off_mm: The most a reading may be off the line.
        touched_stop: Whether the last reading stands at a stop.
    """

    title: str
    readings: tuple[tuple[float, float, float], ...]
    begins_at_mm: float
    mm_per_n: float | None
    theory_mm_per_n: float | None
    most_off_mm: float
    touched_stop: bool = False


def draw_fit(picture: FitPicture, *, width_px: float = 480, key: str = "fit") -> Drawing:
    """Return the readings over their loads, the line, theory, and what is left over.

    Raises:
        ValueError: if no reading carries a load.
    """
    loads = [load for load, _, _ in picture.readings]
    if not loads or max(loads) <= 0:
        raise ValueError("a test is drawn from its first load on")
    pen = Pen(key, width_px)
    x = Scale(low=0.0, high=max(loads) * 1.04, start=_LEFT_PX, end=width_px - 12)
    deepest = max(bend for _, bend, _ in picture.readings)
    for slope in (picture.mm_per_n, picture.theory_mm_per_n):
        if slope is not None:
            deepest = max(deepest, picture.begins_at_mm + slope * x.high)
    lowest = min(0.0, picture.begins_at_mm, *(bend for _, bend, _ in picture.readings))
    y = Scale(low=lowest, high=max(deepest, 1e-6) * 1.05, start=_TOP_PX + _HIGH_PX, end=_TOP_PX)
    pen.text(0, 12, "Deflection, mm", "strong")
    _grid(pen, x, y, about=6)
    for slope, classes in ((picture.theory_mm_per_n, "bound"), (picture.mm_per_n, "best")):
        if slope is not None:
            ends = [(load, picture.begins_at_mm + slope * load) for load in (0.0, x.high)]
            pen.path(polyline([(x(a), y(b)) for a, b in ends]), f"line {classes}")
    for load, bend, _ in picture.readings:
        pen.circle(x(load), y(bend), 4, "here" if _is_off(picture, load, bend) else "rod")
    _name_lines(pen, picture, x, y)
    foot = y.start + _BETWEEN_PX
    _left_over(pen, picture, x, foot)
    return pen.finish(
        title=picture.title,
        summary=_summary(picture),
        height_px=foot + _OFF_PX + 40,
        table=_table(picture),
    )


def _is_off(picture: FitPicture, load: float, bend: float) -> bool:
    if picture.touched_stop:
        return load == max(r[0] for r in picture.readings)
    return any(
        abs(off) > picture.most_off_mm and (load, bend) == (at, said_bend)
        for at, said_bend, off in picture.readings
    )


def _grid(pen: Pen, x: Scale, y: Scale, *, about: int) -> None:
    for value in round_steps(y.low, y.high, about):
        pen.line(x.start, y(value), x.end, y(value), "hair")
        pen.text(x.start - 6, y(value) + 4, plain(value), "quiet", "end")
    pen.line(x.start, y.start, x.end, y.start, "axis")


def _name_lines(pen: Pen, picture: FitPicture, x: Scale, y: Scale) -> None:
    if picture.mm_per_n is not None:
        words = f"line: {picture.mm_per_n:.3f} mm a newton"
        pen.text_if_free([(x.start + 8, y.end + 10, "start")], words, "strong halo")
    if picture.theory_mm_per_n is not None:
        words = f"theory, dashed: {picture.theory_mm_per_n:.3f}"
        pen.text_if_free([(x.start + 8, y.end + 28, "start")], words, "quiet halo")


def _left_over(pen: Pen, picture: FitPicture, x: Scale, top: float) -> None:
    most = max([picture.most_off_mm, *(abs(off) for _, _, off in picture.readings)]) or 0.01
    y = Scale(low=-most * 1.15, high=most * 1.15, start=top + _OFF_PX, end=top)
    pen.text(0, top - 8, "Off the line, mm", "strong")
    for value, classes in ((picture.most_off_mm, "limit"), (-picture.most_off_mm, "limit")):
        if picture.most_off_mm > 0:
            pen.line(x.start, y(value), x.end, y(value), classes)
    pen.line(x.start, y(0), x.end, y(0), "axis")
    for value in (most, -most):
        pen.text(x.start - 6, y(value) + 4, f"{value:+.2f}", "quiet", "end")
    for load, _, off in picture.readings:
        pen.line(x(load), y(0), x(load), y(off), "thin")
        over = abs(off) > picture.most_off_mm and not picture.touched_stop
        pen.circle(x(load), y(off), 3.5, "here" if over else "rod")
    for value in round_steps(0.0, x.high, 5):
        pen.text_if_free([(x(value), y.start + 17, "middle")], plain(value), "quiet")
    pen.text(x.end, y.start + 34, "load, N", "quiet", "end")


def _summary(picture: FitPicture) -> str:
    words = [f"{len(picture.readings)} readings."]
    if picture.mm_per_n is not None:
        words.append(f"The line through them gives {picture.mm_per_n:.3f} mm a newton.")
    if picture.theory_mm_per_n is not None:
        words.append(f"Theory gives {picture.theory_mm_per_n:.3f}.")
    if picture.touched_stop:
        words.append("The last reading stands at a stop.")
    else:
        over = sum(1 for _, _, off in picture.readings if abs(off) > picture.most_off_mm)
        off = {0: "None of them lies", 1: "1 of them lies"}.get(over, f"{over} of them lie")
        words.append(f"{off} further off than {picture.most_off_mm:.2f} mm.")
    return " ".join(words)


def _table(picture: FitPicture) -> Table:
    return Table(
        headers=("Load, N", "Deflection, mm", "Off the line, mm"),
        rows=tuple((said(a, 2), said(b, 2), said(c, 3)) for a, b, c in picture.readings),
    )
