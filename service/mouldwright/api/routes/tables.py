"""Tables handed out as files: CSV and workbooks."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from typing import Annotated

from fastapi import Path, Query
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Viewer, new_router, sent
from mouldwright.api.kinds import problems
from mouldwright.documents.table_file import MEDIA_TYPES, TableForm, table_file
from mouldwright.usecases.tables.every import TABLES, TableAsk
from mouldwright.usecases.tables.read import kept_table
from mouldwright.wire.service.table import ColumnAnswer, TableAnswer, TableList

router = new_router(f"{SHOP}/tables", "tables")
_FILE = {"schema": {"type": "string", "format": "binary"}}


@router.get("", response_model=TableList, operation_id="list_tables")
def list_tables(seat: Viewer) -> Response:
    """List the tables there are, and what their columns say."""
    return sent(
        TableList(
            tables=[
                TableAnswer(
                    name=kind.name,
                    title=kind.title,
                    about=kind.about,
                    columns=[ColumnAnswer(**asdict(column)) for column in kind.columns],
                )
                for kind in TABLES.values()
            ]
        )
    )


@router.get(
    "/{table}.{form}",
    operation_id="read_table",
    response_class=Response,
    responses={
        200: {"content": {kind.partition(";")[0]: _FILE for kind in MEDIA_TYPES.values()}},
        **problems(404, 409, 422),
    },
)
def read_table(
    seat: Viewer,
    table: Annotated[str, Path(description="its name", examples=["stock"])],
    form: Annotated[TableForm, Path(description="what kind of file", examples=["csv"])],
    day: Annotated[date | None, Query(description="of the day sheet; left out, today")] = None,
    person: Annotated[
        str | None, Query(max_length=200, description="of the day sheet; left out, everyone")
    ] = None,
    part: Annotated[str | None, Query(max_length=200, description="of the comparison")] = None,
    quantity: Annotated[int, Query(ge=1, le=100_000, description="of the comparison")] = 1,
    order: Annotated[
        str | None, Query(max_length=200, description="of the parts traced and of the log")
    ] = None,
    mould: Annotated[
        str | None, Query(max_length=200, description="of the parts traced and of the log")
    ] = None,
) -> Response:
    """Return a table as a file. What looks like a formula in it is kept as words."""
    ask = TableAsk(day=day, person=person, part=part, quantity=quantity, order=order, mould=mould)
    found = kept_table(seat.services, seat.shop, table, ask)
    named = f'attachment; filename="{table}.{form}"'
    return sent(
        table_file(found, form),
        media_type=MEDIA_TYPES[form],
        headers={"Content-Disposition": named},
    )
