"""What to buy: for the open orders, or for one more on top of them."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.domain.errors import InvalidInput, MouldwrightError
from mouldwright.domain.shop import Shop
from mouldwright.usecases import questions
from mouldwright.usecases.buying import Wanted
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.form_values import whole_text
from mouldwright.web.view_models.buying import buying_view
from mouldwright.web.visit import InShop

router = APIRouter(prefix="/shops/{shop}")


@router.get("/buying")
def show_buying(visit: InShop, part: str = "", quantity: str = "", by: str = "") -> HTMLResponse:
    """Show the cheapest packs for what the work draws beyond stock."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    view, faults = None, []
    try:
        view = buying_view(
            questions.to_buy(
                visit.services, visit.shop, by=by or None, beside=_beside(part, quantity)
            )
        )
    except InvalidInput as wrong:
        faults = [str(fault) for fault in wrong.faults]
    except MouldwrightError as refused:
        faults = [str(refused)]
    return visit.show(
        "buying.html",
        title="Buying",
        shop_name=shop.name,
        place="buying",
        view=view,
        faults=faults,
        typed={"part": part, "quantity": quantity, "by": by},
        ways=_ways(shop),
        sells=bool(shop.suppliers),
        status=422 if faults else 200,
    )


def _beside(part: str, quantity: str) -> Wanted | None:
    """Return what is asked beside the open orders: a part and its process, parted by a slash."""
    if not part:
        return None
    key, _, process = part.partition("/")
    pieces = whole_text("quantity", quantity or "1")
    return Wanted(part=key, process=process or None, quantity=pieces)


def _ways(shop: Shop) -> list[tuple[str, str]]:
    found = [
        (f"{part.key}/{way}", f"{part.title}, {shop.processes[way].title.lower()}")
        for part in shop.parts.values()
        for way in part.made_by
        if way in shop.processes
    ]
    return [*found, *((key, sold.title) for key, sold in shop.sets.items())]
