"""The board drawn: moulds, stations and people by time, orders under them."""

from __future__ import annotations

import re

from mouldwright.figures.board import Board, BoardBar, BoardRow
from mouldwright.figures.board_ground import BoardGround
from mouldwright.figures.board_layout import LANE_PX, PERSON_PX, Layout, bars_by_row, layout_of
from mouldwright.figures.board_orders import draw_orders
from mouldwright.figures.board_table import board_summary, board_table
from mouldwright.figures.dimension import spoken_line
from mouldwright.figures.lettering import Box, clipped
from mouldwright.figures.lettering import width_px as lettered_px
from mouldwright.figures.look import NOTE_PX, STATE_SHADES, mark_class
from mouldwright.figures.pen import Drawing, Pen, escaped
from mouldwright.figures.table import Table
from mouldwright.figures.time_scale import TimeScale

# A task of a few minutes must still be seen.
_LEAST_PX = 1.6
_MOST_NAMES_SHARE = 0.35
_LEAST_NAMES_PX = 60.0
# Between the two lines of a long name.
_LINE_PX = 14.0


def draw_board(
    board: Board,
    *,
    width_px: float = 1180,
    key: str = "board",
    link: str | None = None,
    tab_stops: str = "every",
    names: bool = True,
) -> Drawing:
    """Return the board.

    Args:
        board: What is on it.
        width_px: Its whole width; wider than the page it scrolls.
        key: Its id; a task's element has the id ``<key>-<task>`` and ``data-task``.
        link: Address that a task's key is put behind; None leaves tasks without an address,
            still reached by the keyboard.
        tab_stops: "every" task, or the first of each "row", for a page that moves on with
            the arrow keys.
        names: Whether row names stand at the left; a page that scrolls the board sideways
            may show them apart, with ``draw_board_names``.

    Raises:
        ValueError: if a bar stands on a row the board does not have.
    """
    pen = Pen(key, width_px)
    layout = layout_of(board, most_gutter_px=width_px * _MOST_NAMES_SHARE)
    left = layout.gutter if names else 0.0
    scale = TimeScale(
        board.first,
        board.last,
        board.open,
        closed_share=board.closed_share,
        start=left,
        end=width_px - 1,
    )
    on_row = bars_by_row(board.bars)
    if unknown := sorted(set(on_row) - set(layout.strips)):
        raise ValueError(f"the board has no row {', '.join(unknown)}")
    ground = BoardGround(board, pen, layout, scale)
    ground.shade()
    ground.top()
    if names:
        _names(pen, board, layout)
    tasks = _Tasks(board, pen, layout, scale, link, tab_stops)
    for row in board.rows:
        tasks.row(row, on_row.get(row.key, []), layout.strips[row.key].height)
    ground.levels()
    for person in board.people:
        tasks.hours(person)
        tasks.row(person, on_row.get(person.key, []), PERSON_PX)
    # Over the bars, under the words of the orders.
    ground.now()
    draw_orders(pen, board, layout, scale)
    return pen.finish(
        title=board.title,
        summary=board_summary(board),
        height_px=layout.bottom + 8,
        table=board_table(board),
        role="group",
    )


def draw_board_names(
    board: Board, *, width_px: float | None = None, key: str = "board-names"
) -> Drawing:
    """Return the names of the rows alone, as high as the board, to stand still while it scrolls.

    Args:
        board: What is on it.
        width_px: None gives the names the room they need; else they are cut to it.
        key: Its id.

    Raises:
        ValueError: if it is narrower than 60 px.
    """
    layout = layout_of(board) if width_px is None else layout_of(board, most_gutter_px=width_px)
    pen = Pen(key, width_px or max(layout.gutter, _LEAST_NAMES_PX), least_px=_LEAST_NAMES_PX)
    _names(pen, board, layout)
    return pen.finish(
        title=f"{board.title}: names of the rows",
        summary="Moulds, stations, people and orders from the top down.",
        height_px=layout.bottom + 8,
        table=Table(headers=("Row",), rows=tuple((line.text,) for line in pen.lettering)),
    )


def _names(pen: Pen, board: Board, layout: Layout) -> None:
    for row in (*board.rows, *board.people):
        strip = layout.strips[row.key]
        _name(pen, layout, strip.top + strip.height / 2 + 4.5, row.title, row.note)
    for level, strip in zip(board.levels, layout.levels, strict=True):
        _name(pen, layout, strip.top + strip.height / 2 + 4.5, level.title, f"of {level.places}")
    for order, y in zip(board.orders, layout.orders, strict=True):
        _name(pen, layout, y + 4.5, order.number, order.title)


def _name(pen: Pen, layout: Layout, y: float, title: str, note: str) -> None:
    room = layout.gutter - 10
    lines = _lines(title, room)
    if len(lines) == 2:
        pen.text(0, y - _LINE_PX / 2, lines[0], "strong")
        pen.text(0, y + _LINE_PX / 2, lines[1], "strong")
        return
    pen.text(0, y, lines[0], "strong")
    start = lettered_px(lines[0], bold=True) + 5
    if note and room - start > 12:
        pen.text(start, y, clipped(note, room - start), "quiet")


def _lines(title: str, room: float) -> tuple[str, ...]:
    """Return a name in one line, or in two parted at a blank or hyphen, cut only at the last."""
    if lettered_px(title, bold=True) <= room:
        return (title,)
    parts = re.findall(r"[^ -]*[ -]?", title)
    breaks = ["".join(parts[:at]) for at in range(1, len(parts))]
    fitting = [part for part in breaks if part.strip() and _fits(part.rstrip(), room)]
    if not fitting or len(fitting[-1]) == len(title):
        return (_shortened(title, room),)
    first = fitting[-1]
    return first.rstrip(), _shortened(title[len(first) :], room)


def _fits(text: str, room: float) -> bool:
    return lettered_px(text, bold=True) <= room


def _shortened(title: str, room: float) -> str:
    """Return a title cut to its room; a number at its end is what tells moulds apart, and stays."""
    start, _, last = title.rpartition(" ")
    if not start or not any(letter.isdigit() for letter in last):
        return clipped(title, room, bold=True)
    if lettered_px(title, bold=True) <= room:
        return title
    end = f" {last}"
    cut = clipped(start, room - lettered_px(end, bold=True), bold=True)
    return f"{cut}{end}" if cut else clipped(title, room, bold=True)


class _Tasks:
    """Draws the bars of a row."""

    def __init__(
        self,
        board: Board,
        pen: Pen,
        layout: Layout,
        scale: TimeScale,
        link: str | None,
        tab_stops: str,
    ) -> None:
        self.board, self.pen, self.layout, self.scale = board, pen, layout, scale
        self.link, self.one_a_row = link, tab_stops == "row"

    def hours(self, person: BoardRow) -> None:
        """Box the hours a person is there; what stays empty is free."""
        strip = self.layout.strips[person.key]
        for start, end in person.hours or ():
            if end <= self.board.first or start >= self.board.last:
                continue
            box = Box(self.scale(start), strip.top, self.scale(end), strip.top + strip.height)
            self.pen.rect(box, "open-time")

    def row(self, row: BoardRow, bars: list[BoardBar], height: float) -> None:
        """Draw a row: its line, then its bars as a named group."""
        strip = self.layout.strips[row.key]
        foot = strip.top + height
        pen = self.pen
        pen.line(self.scale(self.board.first), foot, self.scale(self.board.last), foot, "row-line")
        name = f"{row.title} {row.note}".strip()
        pen.raw(f'<g role="group" aria-label="{escaped(name)}" data-row="{escaped(row.key)}">')
        is_first = True
        for bar in bars:
            if bar.spans[-1][1] <= self.board.first or bar.spans[0][0] >= self.board.last:
                continue
            lane = self.layout.lane_of.get((row.key, bar.key), 0)
            top = strip.top + lane * LANE_PX
            bottom = top + (height if strip.lanes == 1 else LANE_PX - 2)
            is_own = bar.row == row.key and bar.kind not in ("waits", "state")
            if is_own:
                pen.raw(self._opening(bar, is_stop=is_first or not self.one_a_row))
                is_first = False
            self._bar(bar, top, bottom)
            if is_own:
                pen.raw("</a>" if self.link is not None else "</g>")
        pen.raw("</g>")

    def _opening(self, bar: BoardBar, *, is_stop: bool) -> str:
        stop = "0" if is_stop else "-1"
        name, key = escaped(bar.name or bar.key), escaped(bar.key)
        rest = (
            f'class="task" id="{self.pen.key}-{key}" data-task="{key}" '
            f'data-start="{bar.spans[0][0]}" tabindex="{stop}" '
            f'aria-label="{name}">'
        )
        if self.link is None:
            return f'<g role="img" {rest}'
        return f'<a href="{escaped(self.link)}{key}" {rest}'

    def _bar(self, bar: BoardBar, top: float, bottom: float) -> None:
        pen, scale = self.pen, self.scale
        left, right = scale(bar.spans[0][0]), scale(bar.spans[-1][1])
        right = max(right, left + _LEAST_PX)
        whole = Box(left, top, right, bottom)
        if bar.kind == "waits":
            self._wait(bar, whole)
            return
        if bar.kind == "state":
            self._state(bar, whole)
            return
        if bar.kind == "alone":
            classes = "alone outline-tool" if bar.mark is None else f"alone {mark_class(bar.mark)}"
            pen.rect(whole, classes, pen.filled(bar.mark))
            self._label(bar, whole, "on note")
        else:
            # Where work pauses, a thin line joins what is worked.
            if len(bar.spans) > 1:
                middle = (top + bottom) / 2
                pen.line(left, middle, right, middle, "axis")
            for start, end in bar.spans:
                a, b = scale(start), scale(end)
                if b <= scale(self.board.first) and len(bar.spans) > 1:
                    continue
                classes = "hands tooling" if bar.mark is None else f"hands {mark_class(bar.mark)}"
                classes += " parted" if b - a > 4 else ""
                pen.rect(Box(a, top, max(b, a + _LEAST_PX), bottom), classes)
            if len(bar.spans) == 1:
                self._label(bar, whole, "inked note")
        if bar.is_binding:
            pen.rect(whole, "late-edge")
        if bar.key == self.board.chosen:
            pen.rect(Box(left - 2, top - 3, right + 2, bottom + 3), "chosen-box")

    def _wait(self, bar: BoardBar, box: Box) -> None:
        pen = self.pen
        inner = Box(box.left, box.top + 3, box.right, box.bottom - 3)
        pen.rect(inner, "lost")
        middle = (box.top + box.bottom) / 2
        if box.bottom - box.top < 20:
            return
        label = bar.labels[0] if bar.labels else ""
        spoken_line(pen, box.left, box.right, middle, label, words="lost-word", amber=True)

    def _state(self, bar: BoardBar, box: Box) -> None:
        pen, scale = self.pen, self.scale
        pen.raw(f"<g><title>{escaped(bar.name)}</title>")
        pen.rect(box, "state" if bar.mark is None else f"state s{bar.mark % STATE_SHADES}")
        for start, end in bar.edges:
            if end > start:
                edge = Box(scale(start), box.top, max(scale(end), scale(start) + 1), box.bottom)
                pen.rect(edge, "hands tooling")
        self._label(bar, box, "on note")
        pen.raw("</g>")

    def _label(self, bar: BoardBar, box: Box, classes: str) -> None:
        room = box.right - box.left - 8
        if room < 12 or box.bottom - box.top < 18:
            return
        bold = "inked" in classes
        for label in bar.labels:
            if lettered_px(label, NOTE_PX, bold=bold) <= room:
                x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2 + 4.5
                if not bold and " " in label:
                    behind = self.pen.room(x, y, label, "note", "middle")
                    behind = Box(behind.left - 3, behind.top, behind.right + 3, behind.bottom)
                    self.pen.rect(behind, "blank")
                self.pen.text(x, y, label, classes, "middle")
                return
