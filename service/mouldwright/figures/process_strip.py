"""A routing as a strip: hands and time alone one after the other, and what is held meanwhile."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.shown import lasting, listed, worked
from mouldwright.figures.dimension import spoken_line
from mouldwright.figures.lettering import Box, clipped, spread, wrapped
from mouldwright.figures.lettering import width_px as lettered_px
from mouldwright.figures.look import mark_class
from mouldwright.figures.pen import Drawing, Pen, number
from mouldwright.figures.table import Table
from mouldwright.figures.wording import people

_BAR_PX = 28.0
_BUBBLE_PX = 10.0
_LEAST_PX = 3.0
_LINE_PX = 17.0
_TWO_COLUMNS_PX = 640


@dataclass(frozen=True, slots=True, kw_only=True)
class StripStep:
    """One operation.

    Attributes:
        minutes: How long it takes, once.
        hands: How many people for its whole length; 0 where nobody is needed.
        per: What it is done for: "order", "batch", "pull" or "part".
        wait_min: Least minutes after the step before.
        wait_max_min: Greatest minutes after it, None where it may lie.
        notes: Skill, station, pot life: whatever stands beside it.
        cautions: What can hurt.
    """

    name: str
    minutes: int
    hands: int
    per: str
    wait_min: int = 0
    wait_max_min: int | None = None
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StripHold:
    """Something kept from the start of one step to the end of another, by place from 0."""

    what: str
    first: int
    last: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A routing.

    Attributes:
        upkeep: What the mould needs between pulls, in words; empty where nothing.
    """

    title: str
    mark: int
    steps: tuple[StripStep, ...]
    holds: tuple[StripHold, ...] = ()
    upkeep: str = ""


@dataclass(frozen=True, slots=True)
class _Piece:
    """A stretch of the strip: a step, or the wait before it."""

    step: int
    minutes: int
    is_wait: bool
    left: float
    right: float
    is_cut: bool


def draw_strip(strip: Strip, *, width_px: float = 760, key: str = "strip") -> Drawing:
    """Return the strip. Hands are to scale; long stretches alone are cut short, and say so.

    Raises:
        ValueError: if there is no step.
    """
    if not strip.steps:
        raise ValueError(f"{strip.title} has no step to draw")
    pen = Pen(key, width_px)
    pieces = _pieces(strip, width_px)
    for at, words in enumerate(wrapped(_total(strip), width_px, bold=True)):
        pen.text(0, 12 + at * _LINE_PX, words, "strong")
    top = 12 + len(wrapped(_total(strip), width_px, bold=True)) * _LINE_PX + 34
    _bar(pen, strip, pieces, top)
    _bubbles(pen, pieces, top)
    foot = _holds(pen, strip, pieces, top + _BAR_PX + 22)
    height = _list(pen, strip, foot + 10)
    if any(piece.is_cut for piece in pieces):
        pen.text(0, height + 12, "Hands to scale; // cut short.", "note quiet")
        height += 18
    return pen.finish(
        title=f"{strip.title}: step by step",
        summary=_summary(strip),
        height_px=height + 4,
        table=_table(strip),
    )


def _hands_min(strip: Strip) -> int:
    return sum(step.minutes * step.hands for step in strip.steps)


def _elapsed_min(strip: Strip, first: int = 0, last: int | None = None) -> int:
    """Return minutes from the start of one step to the end of another, none waited for."""
    steps = strip.steps[first : None if last is None else last + 1]
    return sum(step.minutes for step in steps) + sum(step.wait_min for step in steps[1:])


def _total(strip: Strip) -> str:
    return (
        f"{worked(_hands_min(strip))} of hands in {lasting(_elapsed_min(strip))} "
        f"at the least, once through"
    )


def _pieces(strip: Strip, width: float) -> tuple[_Piece, ...]:
    """Return the stretches with their places, those that are alone and long cut short."""
    cap = _longest_drawn(strip)
    listed_pieces: list[tuple[int, int, bool, float]] = []
    for at, step in enumerate(strip.steps):
        if at and step.wait_min:
            listed_pieces.append((at, step.wait_min, True, min(step.wait_min, cap)))
        drawn = step.minutes if step.hands else min(step.minutes, cap)
        listed_pieces.append((at, step.minutes, False, drawn))
    free = width - 2 - _LEAST_PX * len(listed_pieces)
    scale = free / (sum(drawn for *_, drawn in listed_pieces) or 1)
    found: list[_Piece] = []
    left = 1.0
    for at, minutes, is_wait, drawn in listed_pieces:
        right = left + _LEAST_PX + drawn * scale
        found.append(_Piece(at, minutes, is_wait, left, right, drawn < minutes))
        left = right
    return tuple(found)


def _longest_drawn(strip: Strip) -> float:
    """Return how many minutes alone are drawn at the most, so that hands stay to be seen."""
    hands = sum(step.minutes for step in strip.steps if step.hands)
    alone = [step.minutes for step in strip.steps if not step.hands]
    alone += [step.wait_min for step in strip.steps]
    if not hands or max(alone) <= 1.5 * hands:
        return float("inf")
    return 0.6 * hands


def _bar(pen: Pen, strip: Strip, pieces: tuple[_Piece, ...], top: float) -> None:
    for piece in pieces:
        box = Box(piece.left, top, piece.right, top + _BAR_PX)
        if piece.is_wait:
            pen.rect(box, "free")
        elif strip.steps[piece.step].hands:
            pen.rect(box, f"hands {mark_class(strip.mark)}")
            pen.rect(box, "parting")
        else:
            pen.rect(box, f"alone {mark_class(strip.mark)}", pen.filled(strip.mark))
        if piece.is_cut:
            x = piece.right - (piece.right - piece.left) * 0.2
            for dx in (-3.0, 3.0):
                pen.line(x + dx - 3, top + _BAR_PX + 4, x + dx + 3, top - 4, "thin")
        words = lasting(piece.minutes)
        is_alone = piece.is_wait or not strip.steps[piece.step].hands
        if is_alone and piece.right - piece.left > lettered_px(words) * (
            1.7 if piece.is_cut else 1
        ):
            # A cut stretch carries its break mark at the right, so its words stand left of that.
            middle = piece.left + (piece.right - piece.left) * (0.4 if piece.is_cut else 0.5)
            room = pen.room(middle, top + 18, words, "", "middle")
            box = Box(room.left - 4, room.top - 1, room.right + 4, room.bottom + 1)
            pen.rect(box, "ground" if piece.is_wait else "blank")
            pen.text(middle, top + 18, words, "", "middle")


def _bubbles(pen: Pen, pieces: tuple[_Piece, ...], top: float) -> None:
    steps = [piece for piece in pieces if not piece.is_wait]
    wanted = [(piece.left + piece.right) / 2 for piece in steps]
    gap = min(2 * _BUBBLE_PX + 3, (pen.width_px - 2 * _BUBBLE_PX) / max(len(steps), 1))
    places = spread(wanted, gap, _BUBBLE_PX + 1, pen.width_px - _BUBBLE_PX - 1)
    y = top - 22
    for at, (x, to) in enumerate(zip(places, wanted, strict=True), start=1):
        pen.path(f"M{number(x)} {number(y)}L{number(to)} {number(top)}", "thin")
        pen.circle(x, y, min(_BUBBLE_PX, gap / 2), "bubble")
        pen.text(x, y + 4, str(at), "note", "middle")


def _holds(pen: Pen, strip: Strip, pieces: tuple[_Piece, ...], top: float) -> float:
    """Draw what is held as dimension lines, one under the other; return where they end."""
    own = {piece.step: piece for piece in pieces if not piece.is_wait}
    y = top
    for hold in strip.holds:
        a, b = own[hold.first].left, own[hold.last].right
        words = f"{_capital(hold.what)} held "
        words += lasting(_elapsed_min(strip, hold.first, hold.last))
        for x in (a, b):
            pen.line(x, top - 20, x, y + 5, "hair")
        room = lettered_px(words)
        if spoken_line(pen, a, b, y, words):
            y += 22
            continue
        if b + 8 + room <= pen.width_px:
            pen.text(b + 8, y + 4.5, words, "halo")
        elif a - 8 - room >= 0:
            pen.text(a - 8, y + 4.5, words, "halo", "end")
        else:
            y += _LINE_PX
            pen.text(0, y + 4.5, clipped(words, pen.width_px), "halo")
        y += 22
    return y - 10 if strip.holds else top - 14


def _lines_of(strip: Strip, at: int, room: float) -> list[tuple[str, str]]:
    """Return what the list says of a step: (words, class) by line."""
    step = strip.steps[at]
    said = [lasting(step.minutes), people(step.hands) if step.hands else "nobody needed"]
    said += [f"each {step.per}", *_waits(step), *step.notes]
    lines = [(words, "strong") for words in wrapped(step.name, room, bold=True)]
    lines += [(words, "quiet") for words in wrapped(", ".join(said), room)]
    if step.cautions:
        care = f"Care: {', '.join(step.cautions)}"
        lines += [(words, "amber") for words in wrapped(care, room, bold=True)]
    return lines


def _waits(step: StripStep) -> list[str]:
    found = []
    if step.wait_min:
        found.append(f"not before {lasting(step.wait_min)}")
    if step.wait_max_min is not None:
        found.append(f"within {lasting(step.wait_max_min)}")
    return found


def _list(pen: Pen, strip: Strip, top: float) -> float:
    """Letter the numbered list in one column or two; return where it ends."""
    columns = 2 if pen.width_px >= _TWO_COLUMNS_PX else 1
    step_px = pen.width_px / columns
    entries = [_lines_of(strip, at, step_px - 46) for at in range(len(strip.steps))]
    if strip.upkeep:
        upkeep = [(words, "quiet") for words in wrapped(strip.upkeep, step_px - 46)]
        entries.append([("Between pulls", "strong"), *upkeep])
    heights = [len(lines) * _LINE_PX + 7 for lines in entries]
    half = sum(heights) / columns
    y, column, lowest = top, 0, top
    for at, (lines, height) in enumerate(zip(entries, heights, strict=True), start=1):
        if column + 1 < columns and y - top + height / 2 > half:
            column, y = column + 1, top
        left = column * step_px
        if at <= len(strip.steps):
            pen.circle(left + _BUBBLE_PX + 1, y + 10, _BUBBLE_PX, "bubble")
            pen.text(left + _BUBBLE_PX + 1, y + 14, str(at), "note", "middle")
        for row, (words, classes) in enumerate(lines):
            pen.text(left + 30, y + 14 + row * _LINE_PX, words, classes)
        y += height
        lowest = max(lowest, y)
    return lowest


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _summary(strip: Strip) -> str:
    words = [f"{_total(strip)}."]
    each = [
        f"{at} {step.name} {lasting(step.minutes)}" + ("" if step.hands else " alone")
        for at, step in enumerate(strip.steps, start=1)
    ]
    words.append(f"{listed(each)}.")
    words += [
        f"{_capital(hold.what)} held {lasting(_elapsed_min(strip, hold.first, hold.last))}, from "
        f"{strip.steps[hold.first].name} to {strip.steps[hold.last].name}."
        for hold in strip.holds
    ]
    return " ".join(words)


def _table(strip: Strip) -> Table:
    held = [
        ", ".join(hold.what for hold in strip.holds if hold.first <= at <= hold.last)
        for at in range(len(strip.steps))
    ]
    headers = ("Step", "Name", "Minutes", "People", "For each", "Wait at least, min")
    return Table(
        headers=(*headers, "Wait at most, min", "Held", "Notes", "Cautions"),
        rows=tuple(
            (
                at,
                step.name,
                step.minutes,
                step.hands,
                step.per,
                step.wait_min,
                step.wait_max_min,
                kept,
                ", ".join(step.notes),
                ", ".join(step.cautions),
            )
            for at, (step, kept) in enumerate(zip(strip.steps, held, strict=True), start=1)
        ),
    )
