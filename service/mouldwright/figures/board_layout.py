"""Where the rows of the board lie: gutters, lanes, heights."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from mouldwright.figures.board import Board, BoardBar, BoardRow
from mouldwright.figures.lettering import width_px as lettered_px

HEAD_PX = 42.0
BAR_PX = 26.0
LANE_PX = 13.0
ROW_GAP_PX = 12.0
PERSON_PX = 20.0
LEVEL_PX = 34.0
ORDER_PX = 26.0
_ROOM_GAP_PX = 16.0
_MOST_GUTTER_PX = 220.0


@dataclass(frozen=True, slots=True)
class Strip:
    """A row's place: its top, its height, and how many lanes share it."""

    top: float
    height: float
    lanes: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Where everything on a board stands, from the top down.

    Attributes:
        gutter: Width of the names at the left.
        strips: Of rows and people, by key.
        lane_of: Which lane a bar takes on a row: (row, bar) to lane; 0 is left out.
        levels: Of levels, in order.
        orders: Middle line of each order, in order.
    """

    gutter: float
    strips: dict[str, Strip]
    lane_of: dict[tuple[str, str], int]
    levels: tuple[Strip, ...]
    orders: tuple[float, ...]
    bottom: float


def layout_of(board: Board, *, most_gutter_px: float = _MOST_GUTTER_PX) -> Layout:
    """Return the layout. Rows whose bars overlap in time are cut into lanes."""
    on_row = bars_by_row(board.bars)
    strips: dict[str, Strip] = {}
    lane_of: dict[tuple[str, str], int] = {}
    y = HEAD_PX
    for row in board.rows:
        lanes = _lanes(row.key, on_row.get(row.key, ()), lane_of)
        height = BAR_PX if lanes == 1 else lanes * LANE_PX
        strips[row.key] = Strip(y, height, lanes)
        y += height + ROW_GAP_PX
    levels = []
    for _ in board.levels:
        levels.append(Strip(y, LEVEL_PX))
        y += LEVEL_PX + ROW_GAP_PX
    y += _ROOM_GAP_PX - ROW_GAP_PX if board.people and (board.rows or board.levels) else 0
    for person in board.people:
        strips[person.key] = Strip(y, PERSON_PX)
        y += PERSON_PX + ROW_GAP_PX
    y += _ROOM_GAP_PX if board.orders else 0
    orders = tuple(y + at * ORDER_PX + 6 for at in range(len(board.orders)))
    y += len(board.orders) * ORDER_PX
    return Layout(
        gutter=min(_gutter(board), most_gutter_px),
        strips=strips,
        lane_of=lane_of,
        levels=tuple(levels),
        orders=orders,
        bottom=y,
    )


def bars_by_row(bars: Iterable[BoardBar]) -> dict[str, list[BoardBar]]:
    """Return the bars shown on each row, in order of time."""
    found: dict[str, list[BoardBar]] = {}
    for bar in sorted(bars, key=lambda bar: (bar.spans[0][0], bar.spans[-1][1], bar.key)):
        for row in (bar.row, *bar.also):
            found.setdefault(row, []).append(bar)
    return found


def _lanes(row: str, bars: Iterable[BoardBar], lane_of: dict[tuple[str, str], int]) -> int:
    """Give each bar the first lane that is free by its start; return how many are needed."""
    free_from: list[int] = []
    for bar in bars:
        start, end = bar.spans[0][0], bar.spans[-1][1]
        lane = next((at for at, free in enumerate(free_from) if free <= start), len(free_from))
        if lane == len(free_from):
            free_from.append(end)
        else:
            free_from[lane] = end
        if lane:
            lane_of[row, bar.key] = lane
    return max(len(free_from), 1)


def _gutter(board: Board) -> float:
    names = [name_width(row) for row in (*board.rows, *board.people)]
    names += [lettered_px(level.title, bold=True) for level in board.levels]
    names += [
        lettered_px(order.number, bold=True) + 5 + lettered_px(order.title)
        for order in board.orders
    ]
    return min(max(names, default=0.0) + 14, _MOST_GUTTER_PX)


def name_width(row: BoardRow) -> float:
    """Return how wide a row's title and note are."""
    note = 5 + lettered_px(row.note) if row.note else 0.0
    return lettered_px(row.title, bold=True) + note
