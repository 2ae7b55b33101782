"""Drawing practice shared by the drawings to scale: dimension lines, axes and the scale bar."""

from __future__ import annotations

from mouldwright.figures.lettering import width_px
from mouldwright.figures.pen import Pen, number

_ARROWS = ' marker-start="url(#fig-arrow)" marker-end="url(#fig-arrow)"'
_ONE_ARROW = ' marker-end="url(#fig-arrow)"'
_OVER_PX = 5.0
# Below this an arrow at each end and the figure between them would not be seen apart.
_LEAST_INSIDE_PX = 26.0


def dimension_across(
    pen: Pen, x1: float, x2: float, y: float, text: str, *, from_y: tuple[float, float]
) -> None:
    """Draw a level dimension from x1 to x2 at y, with lines out from the thing measured.

    Args:
        pen: Draws it.
        x1: Left end.
        x2: Right end.
        y: Of the dimension line.
        text: The size.
        from_y: Where the lines out begin, at the left and at the right.
    """
    for x, start in zip((x1, x2), from_y, strict=True):
        pen.line(x, start, x, y + _OVER_PX, "thin")
    middle = (x1 + x2) / 2
    if x2 - x1 >= max(_LEAST_INSIDE_PX, width_px(text) + 4):
        pen.line(x1, y, x2, y, "thin", _ARROWS)
        pen.text(middle, y - 4, text, "", "middle")
        return
    pen.line(x1 - 16, y, x1, y, "thin", _ONE_ARROW)
    pen.line(x2 + 16, y, x2, y, "thin", _ONE_ARROW)
    pen.text(x2 + 20, y + 4, text)


def dimension_upright(
    pen: Pen, y1: float, y2: float, x: float, text: str, *, from_x: tuple[float, float]
) -> None:
    """Draw an upright dimension from y1 down to y2 at x; the figure stands at its right.

    Args:
        pen: Draws it.
        y1: Upper end.
        y2: Lower end.
        x: Of the dimension line.
        text: The size.
        from_x: Where the lines out begin, above and below.
    """
    for y, start in zip((y1, y2), from_x, strict=True):
        end = x + _OVER_PX if x > start else x - _OVER_PX
        pen.line(start, y, end, y, "thin")
    if y2 - y1 >= _LEAST_INSIDE_PX:
        pen.line(x, y1, x, y2, "thin", _ARROWS)
    else:
        pen.line(x, y1 - 16, x, y1, "thin", _ONE_ARROW)
        pen.line(x, y2 + 16, x, y2, "thin", _ONE_ARROW)
    pen.text(x + 9, (y1 + y2) / 2 + 4.5, text)


def spoken_line(
    pen: Pen, x1: float, x2: float, y: float, text: str, *, words: str = "", amber: bool = False
) -> bool:
    """Draw a level line with an arrow at each end, open in the middle for its words.

    Args:
        pen: Draws it.
        x1: Left end.
        x2: Right end.
        y: Of the line.
        text: Lettered in the middle where there is room.
        words: Class of the letters.
        amber: Whether it measures time lost.

    Returns:
        Whether there was room for the words.
    """
    classes, tip = ("lost-line", "fig-arrow-amber") if amber else ("thin", "fig-arrow")
    left, right = (f' marker-{end}="url(#{tip})"' for end in ("start", "end"))
    room = pen.room(0, 0, text, words).right + 8
    if x2 - x1 < room + 26:
        if x2 - x1 > 22:
            pen.line(x1, y, x2, y, classes, left + right)
        return False
    middle = (x1 + x2) / 2
    pen.line(x1, y, middle - room / 2, y, classes, left)
    pen.line(middle + room / 2, y, x2, y, classes, right)
    pen.text(middle, y + 4.5, text, words, "middle")
    return True


def scale_bar(pen: Pen, x: float, y: float, px_per_mm: float, *, words: str = "to scale") -> None:
    """Draw a bar of a round length, so that the scale stays true however the figure is shown."""
    lengths = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
    length = next((n for n in lengths if n * px_per_mm >= 40), lengths[-1])
    end = x + length * px_per_mm
    pen.path(f"M{number(x)} {number(y - 4)}V{number(y)}H{number(end)}V{number(y - 4)}", "axis bare")
    pen.text(end + 7, y + 1, f"{length} mm, {words}", "note quiet")
