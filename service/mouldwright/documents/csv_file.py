"""A table as CSV (RFC 4180), with nothing in it that a spreadsheet would work out."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from mouldwright.domain.money import Currency
from mouldwright.usecases.tables.sheet import Cell, Column, SheetTable

MEDIA_TYPE = "text/csv; charset=utf-8"
# Lets spreadsheets read the file as UTF-8.
MARK = "\ufeff"
# A cell that begins so is worked out by a spreadsheet; before it stands a mark that says text.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def is_like_a_formula(words: str) -> bool:
    """Return whether a spreadsheet might work words out instead of showing them."""
    return words.startswith(_FORMULA)


def csv_text(
    headers: Sequence[str], rows: Iterable[Sequence[str | int | float | Decimal | None]]
) -> str:
    """Return rows as CSV; words that look like a formula are kept words."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in (headers, *rows):
        writer.writerow(["" if cell is None else _inert(cell) for cell in row])
    return out.getvalue()


def csv_file(table: SheetTable) -> bytes:
    """Return a table as a file.

    Days and times are as ISO 8601 has them, times with the offset of the shop's zone; amounts
    have the decimals of its currency.
    """
    rows = (
        [_plain(cell, column, table) for cell, column in zip(row, table.columns, strict=True)]
        for row in table.rows
    )
    return (MARK + csv_text([column.name for column in table.columns], rows)).encode()


def _inert(cell: str | int | float | Decimal) -> str | int | float | Decimal:
    return f"'{cell}" if isinstance(cell, str) and is_like_a_formula(cell) else cell


def _plain(cell: Cell, column: Column, table: SheetTable) -> str | int | float | Decimal | None:
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, datetime):
        return cell.astimezone(ZoneInfo(table.zone)).isoformat(timespec="minutes")
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, Decimal):
        if column.kind == "money":
            return Decimal(Currency(table.currency).text(cell))
        return Decimal(f"{cell:f}")
    return cell
