"""Take it with you: every table as a file, and the whole shop as a scenario."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from mouldwright.documents.table_file import MEDIA_TYPES, form_of, table_file
from mouldwright.usecases.present import day_asked
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.tables.every import TABLES, TableAsk
from mouldwright.usecases.tables.read import kept_table
from mouldwright.web.form_values import whole_text
from mouldwright.web.places import shop_path
from mouldwright.web.visit import InShop

router = APIRouter(prefix="/shops/{shop}/tables")
# Those of which one says which part is meant.
_ASKED = "comparison"


@router.get("")
def show_tables(visit: InShop) -> HTMLResponse:
    """Show what can be taken away."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    return visit.show(
        "tables.html",
        title="Take it with you",
        shop_name=shop.name,
        place="shop",
        here=shop_path(visit.shop, "tables"),
        tables=[kind for kind in TABLES.values() if kind.name != _ASKED],
        comparison=TABLES[_ASKED],
        parts=[(part.key, part.title) for part in shop.parts.values()],
    )


@router.get("/{table}.{form}")
def hand_out(
    visit: InShop,
    table: str,
    form: str,
    day: str = "",
    person: str = "",
    part: str = "",
    quantity: str = "",
    order: str = "",
    mould: str = "",
) -> Response:
    """Hand out a table as a file."""
    kind = form_of(form, path="form")
    ask = TableAsk(
        day=day_asked(day, "day"),
        person=person or None,
        part=part or None,
        quantity=whole_text("quantity", quantity or "1"),
        order=order or None,
        mould=mould or None,
    )
    found = kept_table(visit.services, visit.shop, table, ask)
    named = {"content-disposition": f'attachment; filename="{table}.{kind}"'}
    return Response(table_file(found, kind), media_type=MEDIA_TYPES[kind], headers=named)
