"""A table as an answer: each row by the names of its columns."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Protocol

from pydantic import BaseModel

Cell = str | int | float | Decimal | bool | date | datetime | None


class _Named(Protocol):
    @property
    def name(self) -> str: ...


class RowsAnswer(BaseModel):
    """The rows of a table; amounts are text."""

    table: str
    rows: list[dict[str, str | int | float | bool | None]]

    @classmethod
    def of(cls, name: str, columns: Sequence[_Named], rows: Sequence[Sequence[Cell]]) -> RowsAnswer:
        """Return the answer for a table."""
        names = [column.name for column in columns]
        return cls(
            table=name,
            rows=[{key: _told(cell) for key, cell in zip(names, row, strict=True)} for row in rows],
        )


def _told(cell: Cell) -> str | int | float | bool | None:
    if isinstance(cell, date):
        return cell.isoformat()
    return f"{cell:f}" if isinstance(cell, Decimal) else cell
