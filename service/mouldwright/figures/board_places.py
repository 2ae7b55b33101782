"""Where a drawn board's minutes and rows lie, for a page on which its tasks are moved by hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from mouldwright.figures.board import Board
from mouldwright.figures.board_layout import layout_of
from mouldwright.figures.time_scale import TimeScale

RowKind = Literal["thing", "person"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardPlaces:
    """A board drawn without its names, as places.

    Attributes:
        knees: Minutes and their places across; straight between two of them.
        rows: Key, kind, top and height of each row, from the top down.
    """

    knees: tuple[tuple[int, float], ...]
    rows: tuple[tuple[str, RowKind, float, float], ...]


def board_places(board: Board, *, width_px: float) -> BoardPlaces:
    """Return where everything lies on a board drawn so wide, without its names."""
    layout = layout_of(board)
    scale = TimeScale(
        board.first,
        board.last,
        board.open,
        closed_share=board.closed_share,
        start=0.0,
        end=width_px - 1,
    )
    kinds: tuple[tuple[RowKind, tuple[str, ...]], ...] = (
        ("thing", tuple(row.key for row in board.rows if not row.is_ground)),
        ("person", tuple(person.key for person in board.people)),
    )
    return BoardPlaces(
        knees=tuple((minute, round(place, 2)) for minute, place in scale.knees),
        rows=tuple(
            (key, kind, layout.strips[key].top, layout.strips[key].height)
            for kind, keys in kinds
            for key in keys
        ),
    )
