"""The board in words and rows, for those who read it instead."""

from __future__ import annotations

from mouldwright.domain.shown import lasting, listed
from mouldwright.figures.board import Board
from mouldwright.figures.table import Cell, Table
from mouldwright.figures.time_scale import instant, moment

_KINDS = {
    "hands": "hands",
    "alone": "alone",
    "waits": "stands and waits",
    "state": "state",
}


def board_summary(board: Board) -> str:
    """Return what the board shows, late orders first."""
    tasks = sum(bar.kind in ("hands", "alone") for bar in board.bars)
    words = [
        f"{moment(board.first, board.zone)} to {moment(board.last, board.zone)}: "
        f"{tasks} {'task' if tasks == 1 else 'tasks'} on {len(board.rows)} rows."
    ]
    late = [o for o in board.orders if o.late_min]
    if late:
        each = listed([f"{o.number} by {lasting(o.late_min)}" for o in late])
        words.append(f"Late: {each}.")
    elif board.orders:
        words.append("No order is late.")
    lost = sum(b - a for bar in board.bars if bar.kind == "waits" for a, b in bar.spans)
    if lost:
        words.append(f"Moulds and stations stand and wait {lasting(lost)} in all.")
    return " ".join(words)


def board_table(board: Board) -> Table:
    """Return every bar as a row, in the order of rows and time."""
    titles = {row.key: f"{row.title} {row.note}".strip() for row in (*board.rows, *board.people)}
    place = {key: at for at, key in enumerate(titles)}
    bars = sorted(board.bars, key=lambda b: (place.get(b.row, 0), b.spans[0][0], b.key))
    rows: list[tuple[Cell, ...]] = [
        (
            titles.get(bar.row, bar.row),
            bar.name or (bar.labels[0] if bar.labels else bar.key),
            _KINDS[bar.kind],
            instant(bar.spans[0][0], board.zone),
            instant(bar.spans[-1][1], board.zone),
            sum(end - start for start, end in bar.spans),
        )
        for bar in bars
    ]
    rows += [
        (
            f"Order {order.number}",
            order.title,
            "" if order.due is None else ("late" if order.late_min else "in time"),
            instant(order.start, board.zone),
            instant(order.finish, board.zone),
            order.finish - order.start,
        )
        for order in board.orders
    ]
    return Table(headers=("Row", "What", "How", "From", "To", "Minutes"), rows=tuple(rows))
