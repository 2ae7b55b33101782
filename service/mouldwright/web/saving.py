"""A figure or its table as a file to keep."""

from __future__ import annotations

import csv
import io

from starlette.responses import Response

from mouldwright.figures.pen import Drawing
from mouldwright.figures.table import Table

# A cell that begins so is worked out by a spreadsheet; before it stands a mark that says text.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_text(table: Table) -> str:
    """Return a table as CSV (RFC 4180); words that look like a formula are kept words."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in (table.headers, *table.rows):
        writer.writerow(["" if cell is None else _inert(cell) for cell in row])
    return out.getvalue()


def _inert(cell: str | int | float) -> str | int | float:
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(_FORMULA) else cell


def as_csv(table: Table, name: str) -> Response:
    """Return a table as a file to keep. A byte order mark lets spreadsheets read it as UTF-8."""
    return Response(
        "\ufeff" + csv_text(table),
        media_type="text/csv; charset=utf-8",
        headers={"content-disposition": f'attachment; filename="{name}.csv"'},
    )


def as_svg(drawing: Drawing, name: str) -> Response:
    """Return a figure as a file to keep, its style within it."""
    return Response(
        drawing.standalone(),
        media_type="image/svg+xml",
        headers={
            "content-disposition": f'attachment; filename="{name}.svg"',
            # A saved figure carries a style of its own, and nothing else.
            "content-security-policy": "default-src 'none'; style-src 'unsafe-inline'",
        },
    )
