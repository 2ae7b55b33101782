"""Today: the sheet the shop opens at."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.usecases.today import today
from mouldwright.usecases.today_told import told
from mouldwright.web.view_models.today import today_view
from mouldwright.web.visit import InShop
from mouldwright.web.words import long_day, moment

router = APIRouter(prefix="/shops/{shop}/today")


@router.get("")
def show_today(visit: InShop) -> HTMLResponse:
    """Show what is in hand, each person's work, what waits for someone, what is due next."""
    shop, seen = today(visit.services, visit.shop)
    found = told(shop, seen)
    return visit.show(
        "today.html",
        title="Today",
        shop_name=shop.name,
        place="today",
        view=today_view(visit.shop, found),
        day=long_day(found.day),
        drawn=moment(found.now),
        plan=found.plan_version,
        is_current=found.is_current,
        is_logged=bool(shop.log),
        has_orders=bool(shop.orders),
        can_ask=bool(shop.parts and shop.processes),
    )
