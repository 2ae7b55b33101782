"""Little bars against a limit: how much of what is allowed each process uses."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.figures.lettering import Box, clipped
from mouldwright.figures.lettering import width_px as lettered_px
from mouldwright.figures.look import mark_class
from mouldwright.figures.pen import Drawing, Pen
from mouldwright.figures.table import Table
from mouldwright.figures.wording import said

_ROW_PX = 28.0
# Where names would take more than this share of the width, each stands over its bar.
_MOST_NAMES_SHARE = 0.4
_STACKED_PX = 42.0
_BAR_PX = 14.0
# A bar of more than this many times its limit is cut short, with a mark that says so.
_LONGEST_SHARE = 1.6


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitBar:
    """One value against its limit, both in the unit of the figure."""

    title: str
    mark: int
    value: float
    limit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitBars:
    """Values against their limits.

    Attributes:
        what: Of what, with its unit: "Bends, mm".
        limit_word: What the limit is called: "allowed".
    """

    title: str
    what: str
    decimals: int
    bars: tuple[LimitBar, ...]
    limit_word: str = "allowed"


def draw_limit_bars(bars: LimitBars, *, width_px: float = 420, key: str = "limit-bars") -> Drawing:
    """Return the bars; all limits stand on one line, and what passes it is said to fail.

    Raises:
        ValueError: if a limit is not above nought, or a value below it.
    """
    for bar in bars.bars:
        if bar.limit <= 0 or bar.value < 0:
            raise ValueError(f"{bar.title}: {bar.value:g} of {bar.limit:g} cannot be drawn")
    pen = Pen(key, width_px)
    words = [_value(bars, bar) for bar in bars.bars]
    right_px = max((lettered_px(w, bold=True) for w in words), default=0.0) + 10
    names = max((lettered_px(bar.title) for bar in bars.bars), default=0.0) + 10
    is_stacked = names > width_px * _MOST_NAMES_SHARE
    left, row_px = (1.0, _STACKED_PX) if is_stacked else (names, _ROW_PX)
    longest = max([1.15, *(min(b.value / b.limit, _LONGEST_SHARE) for b in bars.bars)])
    scale = (width_px - left - right_px) / longest
    pen.text(0, 12, clipped(bars.what, width_px * 0.6, bold=True), "strong")
    at_limit = left + scale
    pen.text(at_limit, 28, bars.limit_word, "note quiet", "middle")
    top = 36.0
    foot = top + len(bars.bars) * row_px
    pen.line(left, top, left, foot, "axis")
    pen.line(at_limit, top - 4, at_limit, foot, "limit")
    for at, (bar, text) in enumerate(zip(bars.bars, words, strict=True)):
        middle = top + (at + 1) * row_px - _ROW_PX / 2
        if is_stacked:
            pen.text(6, middle - 12, clipped(bar.title, width_px - 8), "halo")
        else:
            pen.text(0, middle + 4.5, bar.title)
        share = min(bar.value / bar.limit, _LONGEST_SHARE)
        end = left + share * scale
        low, high = middle - _BAR_PX / 2, middle + _BAR_PX / 2
        within = min(end, at_limit)
        pen.rect(
            Box(left, low, within, high), f"alone {mark_class(bar.mark)}", pen.filled(bar.mark)
        )
        if bar.value > bar.limit:
            pen.rect(Box(at_limit, low, end, high), "late-bar")
        if bar.value / bar.limit > _LONGEST_SHARE:
            for dx in (-9.0, -5.0):
                pen.line(end + dx - 2, high + 3, end + dx + 2, low - 3, "break")
        classes = "warn" if bar.value > bar.limit else ""
        pen.text(width_px, middle + 4.5, text, classes, "end")
    return pen.finish(
        title=bars.title, summary=_summary(bars), height_px=foot + 6, table=_table(bars)
    )


def _value(bars: LimitBars, bar: LimitBar) -> str:
    text = said(bar.value, bars.decimals)
    return f"{text}, fails" if bar.value > bar.limit else text


def _summary(bars: LimitBars) -> str:
    each = [
        f"{bar.title} {_value(bars, bar)}, {said(bar.limit, bars.decimals)} {bars.limit_word}"
        for bar in bars.bars
    ]
    return f"{bars.what}. {'; '.join(each)}."


def _table(bars: LimitBars) -> Table:
    return Table(
        headers=("Process", bars.what, bars.limit_word.capitalize(), "Share", "Answer"),
        rows=tuple(
            (
                bar.title,
                said(bar.value, bars.decimals),
                said(bar.limit, bars.decimals),
                said(bar.value / bar.limit, 2),
                "fails" if bar.value > bar.limit else "passes",
            )
            for bar in bars.bars
        ),
    )
