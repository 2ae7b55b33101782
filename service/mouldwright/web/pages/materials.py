"""Materials: what is there by the log, what the plan will take, and one with all its lots."""

from __future__ import annotations

from dataclasses import replace

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.domain.record.stock_ledger import stock_as_it_stands
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.ledgers import ledgers
from mouldwright.web.view_models.bench import material_view
from mouldwright.web.view_models.stock_ledger import stock_rows, stock_sheet
from mouldwright.web.visit import InShop

router = APIRouter(prefix="/shops/{shop}/materials")


@router.get("")
def show_materials(visit: InShop) -> HTMLResponse:
    """Show every material with what is in stock, and when the plan runs out of it."""
    found = ledgers(visit.services, visit.shop)
    shop = replace(found.shop, stock=stock_as_it_stands(found.shop, at=found.now))
    stands = stock_rows(shop, found.stock())
    rows = [material_view(shop, material) for material in shop.materials.values()]
    return visit.show(
        "materials.html",
        title="Materials",
        shop_name=shop.name,
        place="materials",
        rows=[(row, stands.get(row.key)) for row in rows],
        short=[each for each in stands.values() if each.is_short],
        uncounted=[each for each in stands.values() if each.uncounted],
        has_plan=found.plan is not None,
    )


@router.get("/{key}")
def show_material(visit: InShop, key: str) -> HTMLResponse:
    """Show a material: what it is, its lots, what is reserved, what it is bought in."""
    found = ledgers(visit.services, visit.shop)
    if key not in found.shop.materials:
        raise Unknown(kind="material", key=key)
    shop = replace(found.shop, stock=stock_as_it_stands(found.shop, at=found.now))
    view = material_view(shop, shop.materials[key])
    held = {ledger.material: (ledger, ahead) for ledger, ahead in found.stock()}.get(key)
    return visit.show(
        "material.html",
        title=view.title,
        shop_name=shop.name,
        place="materials",
        view=view,
        stock=None if held is None else stock_sheet(shop, *held),
        has_plan=found.plan is not None,
        currency=shop.currency.code,
    )
