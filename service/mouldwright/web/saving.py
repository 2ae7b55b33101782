"""A figure or its table as a file to keep."""

from __future__ import annotations

from starlette.responses import Response

from mouldwright.documents.csv_file import MARK, MEDIA_TYPE, csv_text
from mouldwright.figures.pen import Drawing
from mouldwright.figures.table import Table


def as_csv(table: Table, name: str) -> Response:
    """Return a table as a file to keep."""
    return Response(
        MARK + csv_text(table.headers, table.rows),
        media_type=MEDIA_TYPE,
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
