"""Who changed what, for owners to read."""

from __future__ import annotations

from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from mouldwright.documents.csv_file import MEDIA_TYPE, csv_file
from mouldwright.usecases.audit import AuditQuery, list_audit, shops_audit
from mouldwright.usecases.kept import Role
from mouldwright.usecases.promise_lists import cursor_number
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.tables.of_audit import audit_table
from mouldwright.usecases.tables.read import MOST_ROWS
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.audit import change_rows
from mouldwright.web.visit import InShop

router = APIRouter(prefix="/shops/{shop}/audit")
_ON_A_PAGE = 50


@router.get("")
def show_audit(visit: InShop, thing: str = "", key: str = "", before: str = "") -> HTMLResponse:
    """Show who changed what, the newest first."""
    visit.must(Role.OWNER)
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    asked = {name: said.strip() for name, said in (("thing", thing), ("key", key))}
    query = AuditQuery(
        limit=_ON_A_PAGE,
        before=cursor_number(before or None),
        thing=asked["thing"] or None,
        key=asked["key"] or None,
    )
    with visit.services.units.read(visit.shop) as unit:
        entries, more = list_audit(unit, query)
        things = unit.audit.things()
    here = shop_path(visit.shop, "audit")
    kept = {name: said for name, said in asked.items() if said}
    return visit.show(
        "audit.html",
        title="Who changed what",
        shop_name=shop.name,
        place="access",
        here=here,
        rows=change_rows(shop, entries),
        things=things,
        asked=asked,
        is_asked=bool(kept),
        earlier=f"{here}?{urlencode({**kept, 'before': entries[-1].number})}" if more else "",
    )


@router.get(".csv")
def hand_out(visit: InShop) -> Response:
    """Hand all of it out as a file."""
    visit.must(Role.OWNER)
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    entries, _ = shops_audit(visit.services.units, visit.shop, AuditQuery(limit=MOST_ROWS))
    table = audit_table(entries, zone=shop.zone, currency=shop.currency.code)
    named = {"content-disposition": 'attachment; filename="audit.csv"'}
    return Response(csv_file(table), media_type=MEDIA_TYPE, headers=named)
