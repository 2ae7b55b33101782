"""Serials: a part looked up by what is written on it, and parts by what they have in common."""

from __future__ import annotations

from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.errors import InvalidInput
from mouldwright.usecases.ledgers import by_address, ledgers
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.trace import common_words, part_rows, part_sheet
from mouldwright.web.visit import InShop

router = APIRouter(prefix="/shops/{shop}/trace")


@router.get("")
def show_parts(
    visit: InShop,
    serial: str = "",
    order: str = "",
    mould: str = "",
    material: str = "",
    lot: str = "",
    mix: int | None = None,
) -> Response:
    """Go to the part of a serial, or show the parts that have something in common."""
    found = ledgers(visit.services, visit.shop)
    fault = ""
    if serial.strip():
        try:
            record = found.records().part(serial)
        except InvalidInput as wrong:
            fault = str(wrong)
        else:
            return visit.go(shop_path(visit.shop, f"trace/{record.serial}"))
    asked = {"order": order, "mould": mould, "material": material, "lot": lot}
    parts = found.parts(**{key: value or None for key, value in asked.items()}, mix=mix)
    return visit.show(
        "trace.html",
        title="Trace",
        shop_name=found.shop.name,
        place="moulds",
        rows=part_rows(found.shop, parts),
        common=common_words(found.shop, asked, mix),
        typed=serial,
        as_table=_query({"order": order, "mould": mould}),
        fault=fault,
        has_any=bool(found.shop.log),
        status=422 if fault else 200,
    )


def _query(asked: dict[str, str]) -> str:
    given = {key: value for key, value in asked.items() if value}
    return f"?{urlencode(given)}" if given else ""


@router.get("/{serial}")
def show_part(visit: InShop, serial: str) -> HTMLResponse:
    """Show all that is known of one part."""
    found = ledgers(visit.services, visit.shop)
    records = found.records()
    with by_address():
        record = records.part(serial)
    view = part_sheet(records, record)
    return visit.show(
        "trace_part.html",
        title=view.serial,
        shop_name=found.shop.name,
        place="moulds",
        view=view,
    )
