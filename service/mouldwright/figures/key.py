"""What patterns and boxes mean: the key under a board."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from mouldwright.figures.lettering import Box, clipped
from mouldwright.figures.lettering import width_px as lettered_px
from mouldwright.figures.look import mark_class
from mouldwright.figures.pen import Drawing, Pen
from mouldwright.figures.table import Table

Shown = Literal["words", "process", "tooling", "waits", "state", "closed", "due"]
_WIDE_PX, _HIGH_PX = 28.0, 14.0
_GAP_PX = 18.0
_LINE_PX = 22.0


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyEntry:
    """One thing and what it means; a process is shown by its mark, hands left and alone right."""

    words: str
    shown: Shown
    mark: int = 0


def board_key(
    titles: Mapping[str, str], marks: Mapping[str, int], *, rooms: bool = False
) -> tuple[KeyEntry, ...]:
    """Return what the board's key holds: each process alone, then what is common to all.

    Args:
        titles: Of processes, by key.
        marks: How each process is drawn, by key.
        rooms: Whether states of rooms or sessions are drawn.
    """
    return (
        KeyEntry(words="Solid: someone’s hands. Patterned: nobody needed.", shown="words"),
        *(
            KeyEntry(words=titles[key], shown="process", mark=mark)
            for key, mark in marks.items()
            if key in titles
        ),
        KeyEntry(words="making or keeping a mould", shown="tooling"),
        KeyEntry(words="held, waits for someone", shown="waits"),
        *((KeyEntry(words="state of a room, or geared up", shown="state"),) if rooms else ()),
        KeyEntry(words="closed", shown="closed"),
        KeyEntry(words="due", shown="due"),
    )


def draw_key(entries: tuple[KeyEntry, ...], *, width_px: float = 760, key: str = "key") -> Drawing:
    """Return the entries one after another, in as many lines as they need."""
    pen = Pen(key, width_px)
    x, y = 0.0, 0.0
    for entry in entries:
        before = 0.0 if entry.shown == "words" else _WIDE_PX + 7
        words = clipped(entry.words, width_px - before)
        needs = before + lettered_px(words)
        if x and x + needs > width_px:
            x, y = 0.0, y + _LINE_PX
        _swatch(pen, entry, Box(x + 1, y + 2, x + _WIDE_PX - 1, y + 2 + _HIGH_PX))
        pen.text(x + before, y + 13.5, words, "quiet")
        x += needs + _GAP_PX
    return pen.finish(
        title="Key",
        summary="; ".join(f"{entry.shown}: {entry.words}" for entry in entries),
        height_px=y + _LINE_PX,
        table=Table(
            headers=("Shown as", "Means"),
            rows=tuple((entry.shown, entry.words) for entry in entries),
        ),
    )


def _swatch(pen: Pen, entry: KeyEntry, box: Box) -> None:
    middle = (box.left + box.right) / 2
    if entry.shown == "words":
        return
    if entry.shown == "process":
        left = Box(box.left, box.top, middle, box.bottom)
        right = Box(middle, box.top, box.right, box.bottom)
        pen.rect(left, f"hands {mark_class(entry.mark)}")
        pen.rect(right, f"alone {mark_class(entry.mark)}", pen.filled(entry.mark))
    elif entry.shown == "tooling":
        pen.rect(box, "alone outline-tool", pen.filled(None))
    elif entry.shown == "waits":
        pen.rect(box, "lost")
        arrows = ' marker-start="url(#fig-arrow-amber)" marker-end="url(#fig-arrow-amber)"'
        y = (box.top + box.bottom) / 2
        pen.line(box.left + 1, y, box.right - 1, y, "lost-line", arrows)
    elif entry.shown == "state":
        pen.rect(box, "state")
    elif entry.shown == "closed":
        pen.rect(box, "closed edge-line")
    else:
        low = box.bottom - 2
        pen.path(f"M{middle - 5:g} {low - 9:g}H{middle + 5:g}L{middle:g} {low:g}Z", "due")
