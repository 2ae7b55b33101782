"""Moulds: each tool's count by the log, and the sheet of one with all that happened to it."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.usecases.kept import Role
from mouldwright.usecases.ledgers import by_address, ledgers
from mouldwright.web.view_models.bench import family_view
from mouldwright.web.view_models.mould_ledger import mould_sheet, stand_rows
from mouldwright.web.visit import InShop

router = APIRouter(prefix="/shops/{shop}/moulds")


@router.get("")
def show_moulds(visit: InShop) -> HTMLResponse:
    """Show every mould with its count, and what the plan leaves of it."""
    found = ledgers(visit.services, visit.shop)
    rows = stand_rows(found.shop, found.moulds(), now=found.now)
    return visit.show(
        "moulds.html",
        title="Moulds",
        shop_name=found.shop.name,
        place="moulds",
        families=[
            (family_view(found.shop, family), rows.get(family.key, ()))
            for family in found.shop.moulds.values()
        ],
        pressing=[row for of in rows.values() for row in of if row.presses],
        has_plan=found.plan is not None,
    )


@router.get("/{mould:path}")
def show_mould(visit: InShop, mould: str) -> HTMLResponse:
    """Show one mould: how it stands, what is ahead, all that happened to it."""
    found = ledgers(visit.services, visit.shop)
    with by_address():
        ledger, ahead = found.mould(mould)
    view = mould_sheet(found.shop, ledger, ahead, now=found.now)
    return visit.show(
        "mould.html",
        title=view.title,
        shop_name=found.shop.name,
        place="moulds",
        view=view,
        has_plan=found.plan is not None,
        may_write=visit.may(Role.PLANNER),
    )
