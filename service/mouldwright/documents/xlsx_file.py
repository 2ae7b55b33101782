"""A table as a workbook (Office Open XML, ECMA-376): numbers as numbers, dates as dates."""

from __future__ import annotations

import io
from datetime import UTC, date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.workbook import Workbook
from xlsxwriter.worksheet import Worksheet

from mouldwright.documents.csv_file import is_like_a_formula
from mouldwright.domain.money import Currency
from mouldwright.usecases.tables.sheet import Cell, Column, SheetTable

MEDIA_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
# The same table is the same file: no time of its making is written.
_MADE = datetime(2000, 1, 1, tzinfo=UTC)
_WIDTHS = {"text": 24, "whole": 10, "number": 12, "money": 12, "day": 12, "moment": 17}
# A workbook's cell takes no more.
_LONGEST = 32_767


def xlsx_file(table: SheetTable) -> bytes:
    """Return a table as a workbook: its rows on one sheet, what its columns mean on another.

    Times are written as the clock of the shop shows them, for a workbook knows no zone.
    """
    out = io.BytesIO()
    with Workbook(
        out,
        {
            "in_memory": True,
            "strings_to_formulas": False,
            "strings_to_urls": False,
            "strings_to_numbers": False,
        },
    ) as book:
        book.set_properties({"title": table.title, "created": _MADE})
        looks = _Looks(book, Currency(table.currency))
        sheet = book.add_worksheet(table.title[:31])
        for place, column in enumerate(table.columns):
            sheet.write_string(0, place, column.name, looks.head)
            sheet.set_column(place, place, _WIDTHS.get(column.kind, 12))
        for line, row in enumerate(table.rows, 1):
            for place, (cell, column) in enumerate(zip(row, table.columns, strict=True)):
                _write(sheet, (line, place), cell, column, table.zone, looks)
        sheet.freeze_panes(1, 0)
        if table.rows:
            sheet.autofilter(0, 0, len(table.rows), len(table.columns) - 1)
        _meanings(book.add_worksheet("Columns"), table, looks)
    return out.getvalue()


class _Looks:
    """How cells of each kind are shown."""

    def __init__(self, book: xlsxwriter.Workbook, currency: Currency) -> None:
        decimals = "." + "0" * currency.digits if currency.digits else ""
        self.head: Format = book.add_format({"bold": True, "bottom": 2})
        self.money: Format = book.add_format({"num_format": f"#,##0{decimals}"})
        self.day: Format = book.add_format({"num_format": "yyyy-mm-dd"})
        self.moment: Format = book.add_format({"num_format": "yyyy-mm-dd hh:mm"})
        # What says so stays words even after it was edited.
        self.words: Format = book.add_format({"quote_prefix": True})
        self.currency = currency


def _write(
    sheet: Worksheet, at: tuple[int, int], cell: Cell, column: Column, zone: str, looks: _Looks
) -> None:
    line, place = at
    if cell is None or cell == "":
        return
    if isinstance(cell, str):
        look = looks.words if is_like_a_formula(cell) else None
        sheet.write_string(line, place, cell[:_LONGEST], look)
    elif isinstance(cell, bool):
        sheet.write_boolean(line, place, cell)
    elif isinstance(cell, datetime):
        shown = cell.astimezone(ZoneInfo(zone)).replace(tzinfo=None)
        sheet.write_datetime(line, place, shown, looks.moment)
    elif isinstance(cell, date):
        sheet.write_datetime(line, place, cell, looks.day)
    elif isinstance(cell, Decimal) and column.kind == "money":
        sheet.write_number(line, place, float(looks.currency.round(cell)), looks.money)
    else:
        sheet.write_number(line, place, float(cell))


def _meanings(sheet: Worksheet, table: SheetTable, looks: _Looks) -> None:
    for place, words in enumerate(("column", "what it says")):
        sheet.write_string(0, place, words, looks.head)
    for line, column in enumerate(table.columns, 1):
        sheet.write_string(line, 0, column.name)
        sheet.write_string(line, 1, _meaning(column, table))
    sheet.set_column(0, 0, 26)
    sheet.set_column(1, 1, 60)


def _meaning(column: Column, table: SheetTable) -> str:
    if column.kind == "money":
        return f"{column.about}, in {table.currency}"
    if column.kind == "moment":
        return f"{column.about}, by the clock of {table.zone}"
    return column.about
