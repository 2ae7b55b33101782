"""The pen: writes SVG elements, escapes what it letters, and remembers where letters stand."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from mouldwright.figures.lettering import Box, box_of
from mouldwright.figures.look import MARKS, NOTE_PX, TEXT_PX, Theme, colour, defs, resolved_css
from mouldwright.figures.table import Table

_FORBIDDEN = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_KEY = re.compile(r"[A-Za-z][A-Za-z0-9_-]*\Z")
_ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"})


# A drawing saved as a file keeps its words off the edge.
MARGIN_PX = 14
LEAST_WIDTH_PX = 200.0


def escaped(text: str) -> str:
    """Return text that is safe between tags and in quotes; what XML cannot hold is dropped."""
    return _FORBIDDEN.sub("", text).translate(_ESCAPES)


def number(value: float) -> str:
    """Return a coordinate, to a hundredth of a pixel, without trailing noughts."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


@dataclass(frozen=True, slots=True)
class Lettered:
    """A line of text and the room it takes."""

    text: str
    box: Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A finished figure.

    Attributes:
        key: Its id in a page; two figures of one page need two.
        title: Its name, one line.
        summary: What it shows, for those who do not see it.
        role: "img"; "group" where parts of it can be reached and followed.
        body: The elements in it.
        lettering: Every line of text with its box.
        marks: The marks it uses.
        table: The same data in rows.
    """

    key: str
    title: str
    summary: str
    width_px: float
    height_px: float
    role: str
    body: str
    lettering: tuple[Lettered, ...]
    marks: tuple[int, ...]
    table: Table

    def inline(self, classes: str = "") -> str:
        """Return it for a page that links the style and holds the shared patterns."""
        return self._svg("", f"fig {classes}".strip(), 0)

    def standalone(self, theme: Theme = "light") -> str:
        """Return it as a file of its own, with its style, patterns and ground."""
        style = f"<style>{resolved_css(theme)}</style>{defs(self.marks)}"
        ground = (
            f'<rect x="-{MARGIN_PX}" y="-{MARGIN_PX}" width="100%" height="100%" '
            f'fill="{colour("sheet", theme)}"/>'
        )
        head = '<?xml version="1.0" encoding="UTF-8"?>\n'
        return head + self._svg(style + ground, "fig", MARGIN_PX)

    def _svg(self, before: str, classes: str, margin: int) -> str:
        width, height = (number(v + 2 * margin) for v in (self.width_px, self.height_px))
        left = f"-{margin}" if margin else "0"
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="{classes}" id="{self.key}" '
            f'width="{width}" height="{height}" viewBox="{left} {left} {width} {height}" '
            f'role="{self.role}" aria-labelledby="{self.key}-title {self.key}-desc">'
            f'<title id="{self.key}-title">{escaped(self.title)}</title>'
            f'<desc id="{self.key}-desc">{escaped(self.summary)}</desc>'
            f"{before}{self.body}</svg>"
        )


class Pen:
    """Draws one figure, element by element, then finishes it."""

    def __init__(self, key: str, width_px: float, *, least_px: float = LEAST_WIDTH_PX) -> None:
        """Begin a figure.

        Raises:
            ValueError: if the key cannot be an id, or the figure has no width.
        """
        if not _KEY.match(key):
            raise ValueError(
                f"{key!r} is no id: begin with a letter, then letters, figures, - or _"
            )
        if not width_px >= least_px:
            raise ValueError(f"this figure is at least {least_px:g} px wide, not {width_px:g}")
        self.key = key
        self.width_px = width_px
        self.lettering: list[Lettered] = []
        self._parts: list[str] = []
        self._marks: set[int] = set()

    def raw(self, markup: str) -> None:
        """Add markup that is already escaped."""
        self._parts.append(markup)

    def line(
        self, x1: float, y1: float, x2: float, y2: float, classes: str, more: str = ""
    ) -> None:
        """Draw a straight line."""
        self._parts.append(
            f'<line x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}" '
            f'class="{classes}"{more}/>'
        )

    def rect(self, box: Box, classes: str, more: str = "") -> None:
        """Draw a rectangle."""
        self._parts.append(
            f'<rect x="{number(box.left)}" y="{number(box.top)}" '
            f'width="{number(box.right - box.left)}" height="{number(box.bottom - box.top)}" '
            f'class="{classes}"{more}/>'
        )

    def path(self, d: str, classes: str, more: str = "") -> None:
        """Draw a path."""
        self._parts.append(f'<path d="{d}" class="{classes}"{more}/>')

    def circle(self, x: float, y: float, r: float, classes: str) -> None:
        """Draw a circle."""
        self._parts.append(
            f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(r)}" class="{classes}"/>'
        )

    def filled(self, mark: int | None) -> str:
        """Return the attribute that fills with a mark's pattern; None is tooling."""
        if mark is None:
            return ' fill="url(#fig-tool)"'
        mark %= MARKS
        self._marks.add(mark)
        return f' fill="url(#fig-m{mark})"'

    def text(self, x: float, y: float, text: str, classes: str = "", anchor: str = "start") -> None:
        """Letter a line whose baseline stands at y, and remember its room."""
        self.lettering.append(Lettered(text, self.room(x, y, text, classes, anchor)))
        placed = "" if anchor == "start" else f' text-anchor="{anchor}"'
        styled = f' class="{classes}"' if classes else ""
        self._parts.append(
            f'<text x="{number(x)}" y="{number(y)}"{placed}{styled}>{escaped(text)}</text>'
        )

    def room(self, x: float, y: float, text: str, classes: str = "", anchor: str = "start") -> Box:
        """Return the room a line would take."""
        words = set(classes.split())
        small = words & {"note", "lost-word", "now-word"}
        bold = words & {"strong", "warn", "amber", "inked", "lost-word", "now-word"}
        size = NOTE_PX if small else TEXT_PX
        return box_of(text, x, y, size, bold=bool(bold), anchor=anchor)

    def is_free(self, box: Box, gap: float = 2.0) -> bool:
        """Return whether no letter stands there yet and it lies within the width."""
        inside = box.left >= 0 and box.right <= self.width_px
        return inside and not any(box.overlaps(line.box, gap) for line in self.lettering)

    def text_if_free(
        self, places: Iterable[tuple[float, float, str]], text: str, classes: str = ""
    ) -> bool:
        """Letter a line at the first place (x, y, anchor) that is free; return whether one was."""
        for x, y, anchor in places:
            if self.is_free(self.room(x, y, text, classes, anchor)):
                self.text(x, y, text, classes, anchor)
                return True
        return False

    def finish(
        self,
        *,
        title: str,
        summary: str,
        height_px: float,
        table: Table,
        role: str = "img",
    ) -> Drawing:
        """Return the finished figure."""
        return Drawing(
            key=self.key,
            title=title,
            summary=summary,
            width_px=self.width_px,
            height_px=height_px,
            role=role,
            body="".join(self._parts),
            lettering=tuple(self.lettering),
            marks=tuple(sorted(self._marks)),
            table=table,
        )


def polyline(points: Sequence[tuple[float, float]], *, closed: bool = False) -> str:
    """Return the path through points."""
    run = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{run}{'Z' if closed else ''}"
