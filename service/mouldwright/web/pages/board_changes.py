"""What the plan that holds moved beside the one before it: tasks, dates, chances, and why."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.why import what_changed
from mouldwright.web.view_models.board_run import changes_view
from mouldwright.web.visit import InShop
from mouldwright.web.words import moment

router = APIRouter(prefix="/shops/{shop}/board")


@router.get("/changes")
def show_changes(visit: InShop) -> HTMLResponse:
    """Show what the plan that holds moved."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    with visit.services.units.read(visit.shop) as unit:
        try:
            holds = unit.plans.newest()
        except Unknown:
            holds = None
    changes = beside = None
    if holds is not None and holds.version > 1:
        done = what_changed(visit.services, visit.shop, holds.version)
        changes, beside = changes_view(done.changes, done.plan, done.moves), done.beside
    return visit.show(
        "board_changes.html",
        title="What moved",
        shop_name=shop.name,
        place="board",
        changes=changes,
        beside=beside,
        holds=True,
        version=None if holds is None else holds.version,
        made="" if holds is None else moment(local(minute_of(holds.made_at), shop.zone)),
        shop=visit.shop,
    )
