"""The table beside a figure: the same data in rows, for a page's table, a CSV and a reader."""

from __future__ import annotations

from dataclasses import dataclass

Cell = str | int | float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Headers and rows of plain values; an empty cell is None.

    Attributes:
        headers: One a column, the unit in it.
        rows: Each as long as the headers.
    """

    headers: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def __post_init__(self) -> None:
        """Raise ValueError where a row is longer or shorter than the headers."""
        for row in self.rows:
            if len(row) != len(self.headers):
                raise ValueError(f"a row of {len(row)} cells under {len(self.headers)} headers")
