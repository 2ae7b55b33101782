"""The hour's price: what an hour of hands costs and is sold at, built up in front of the reader."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.domain.costing.hour_price import hour_prices
from mouldwright.usecases.kept import Role
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.view_models.hour import hour_view
from mouldwright.web.visit import InShop

router = APIRouter(prefix="/shops/{shop}")


@router.get("/hour")
def show_hour(visit: InShop) -> HTMLResponse:
    """Show every step of it, by person and by skill; what to write first where nobody works."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    return visit.show(
        "hour.html",
        title="The hour’s price",
        shop_name=shop.name,
        place="shop",
        view=hour_view(shop, hour_prices(shop)) if shop.people else None,
        may_own=visit.may(Role.OWNER),
    )
