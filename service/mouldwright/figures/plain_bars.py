"""Bars side by side, the longest first or as they come: how much of something each has."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.figures.lettering import Box, clipped
from mouldwright.figures.lettering import width_px as lettered_px
from mouldwright.figures.look import mark_class
from mouldwright.figures.pen import Drawing, Pen
from mouldwright.figures.table import Table
from mouldwright.figures.wording import said

_ROW_PX = 46.0
_BAR_PX = 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainBar:
    """One value.

    Attributes:
        note: Said behind the value: what it costs, say.
        is_chosen: Whether it is set off from the others.
    """

    title: str
    value: float
    note: str = ""
    is_chosen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainBars:
    """Values beside one another.

    Attributes:
        of: What each row is, for the table: "Change", "Moulds".
        what: What is measured, with its unit: "Hours sooner".
        note: What the notes are, for the table; empty where there are none.
    """

    title: str
    of: str
    what: str
    decimals: int
    bars: tuple[PlainBar, ...]
    note: str = ""


def draw_plain_bars(bars: PlainBars, *, width_px: float = 420, key: str = "bars") -> Drawing:
    """Return the bars, each with its name above it and its value behind it.

    Raises:
        ValueError: if a value is below nought.
    """
    for bar in bars.bars:
        if bar.value < 0:
            raise ValueError(f"{bar.title}: {bar.value:g} cannot be drawn")
    pen = Pen(key, width_px)
    words = [_words(bars, bar) for bar in bars.bars]
    right_px = max((lettered_px(text, bold=True) for text in words), default=0.0) + 12
    longest = max((bar.value for bar in bars.bars), default=0.0) or 1.0
    scale = max(width_px - right_px, 40.0) / longest
    pen.text(0, 12, clipped(bars.what, width_px, bold=True), "strong")
    top = 22.0
    for at, (bar, text) in enumerate(zip(bars.bars, words, strict=True)):
        line = top + at * _ROW_PX + 16
        classes = "strong" if bar.is_chosen else ""
        pen.text(0, line, clipped(bar.title, width_px, bold=bar.is_chosen), classes)
        low = line + 6
        mark = 0 if bar.is_chosen else 1
        box = Box(0.5, low, max(bar.value * scale, 1.0), low + _BAR_PX)
        pen.rect(box, f"alone {mark_class(mark)}", pen.filled(mark))
        pen.text(box.right + 8, low + _BAR_PX - 2.5, clipped(text, right_px), classes)
    foot = top + len(bars.bars) * _ROW_PX + 4
    return pen.finish(title=bars.title, summary=_summary(bars), height_px=foot, table=_table(bars))


def _words(bars: PlainBars, bar: PlainBar) -> str:
    value = said(bar.value, bars.decimals)
    return f"{value}, {bar.note}" if bar.note else value


def _summary(bars: PlainBars) -> str:
    each = "; ".join(f"{bar.title} {_words(bars, bar)}" for bar in bars.bars)
    return f"{bars.what}. {each}."


def _table(bars: PlainBars) -> Table:
    headers = (bars.of, bars.what, *((bars.note,) if bars.note else ()))
    return Table(
        headers=headers,
        rows=tuple(
            (bar.title, said(bar.value, bars.decimals), *((bar.note or None,) if bars.note else ()))
            for bar in bars.bars
        ),
    )
