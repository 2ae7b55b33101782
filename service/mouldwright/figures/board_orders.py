"""The orders under the board: when each begins, ends and is due, and what holds up a late one."""

from __future__ import annotations

from mouldwright.domain.shown import lasting
from mouldwright.figures.board import Board, BoardOrder
from mouldwright.figures.board_layout import Layout
from mouldwright.figures.lettering import Box
from mouldwright.figures.pen import Pen, escaped, number, polyline
from mouldwright.figures.time_scale import TimeScale


def draw_orders(pen: Pen, board: Board, layout: Layout, scale: TimeScale) -> None:
    """Draw each order as a line, its due mark over it, and a link to what binds it."""
    ends = {bar.key: (bar.row, bar.spans[-1][1]) for bar in board.bars}
    left, right = scale(board.first), scale(board.last)
    for order, y in zip(board.orders, layout.orders, strict=True):
        pen.raw(f'<g data-order="{escaped(order.number)}">')
        _line(pen, board, order, y, scale)
        if order.late_min and order.bound_by in ends:
            row, end = ends[order.bound_by]
            strip = layout.strips[row]
            if board.first <= end <= board.last:
                x = scale(end)
                pen.path(
                    f"M{number(x)} {number(strip.top + strip.height)}V{number(y - 6)}",
                    "bind",
                    f' data-binds="{escaped(order.bound_by or "")}" marker-end='
                    '"url(#fig-arrow-warn)"',
                )
        _words(pen, order, y, scale, (left, right))
        pen.raw("</g>")


def _line(pen: Pen, board: Board, order: BoardOrder, y: float, scale: TimeScale) -> None:
    start, finish = scale(order.start), scale(order.finish)
    until = order.finish if order.due is None else min(order.finish, order.due)
    if order.start < until:
        pen.line(start, y, scale(until), y, "axis")
    if order.due is not None and order.late_min and max(order.due, order.start) < board.last:
        late_from = scale(max(order.due, order.start))
        pen.rect(Box(late_from, y - 4, max(finish, late_from + 1), y + 4), "late-bar")
    if board.first <= order.finish <= board.last:
        pen.line(finish, y - 6, finish, y + 6, "thick")
    if order.due is not None and board.first <= order.due <= board.last:
        x = scale(order.due)
        points = [(x - 5, y - 13), (x + 5, y - 13), (x, y - 4)]
        pen.path(polyline(points, closed=True), "due-late" if order.late_min else "due")


def _words(
    pen: Pen, order: BoardOrder, y: float, scale: TimeScale, ends: tuple[float, float]
) -> None:
    """Say beside the line how late it is, or how much is in hand."""
    if order.due is None:
        return
    if order.late_min:
        texts = [f"late by {lasting(order.late_min)}", "late"]
        classes = "warn halo"
    else:
        texts = [f"{lasting(order.due - order.finish)} in hand"]
        classes = "quiet halo"
    start, finish, due = (scale(m) for m in (order.start, order.finish, order.due))
    last, first = max(finish, due), min(start, due)
    low, high = y + 4.5, y - 5
    places = (
        (last + 9, low, "start"),
        (first - 9, low, "end"),
        (finish + 8, low, "start"),
        (min(finish, due) - 9, high, "end"),
        (ends[1] - 2, high, "end"),
    )
    for text in texts:
        for x, at, anchor in places:
            box = pen.room(x, at, text, classes, anchor)
            crosses_due = box.left < due + 8 and due - 8 < box.right and ends[0] <= due < ends[1]
            if box.left >= ends[0] and box.right <= ends[1] and not crosses_due:
                pen.text(x, at, text, classes, anchor)
                return
