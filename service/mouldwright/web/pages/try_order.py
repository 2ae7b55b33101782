"""What if we said yes? One more order tried on top of all that is booked; nothing is kept."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse

from mouldwright.domain.errors import HardLimit, InvalidInput, NotFound
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.try_order import try_order_of
from mouldwright.web.view_models.tried import TryForm, tried_view, try_form
from mouldwright.web.visit import InShop, Visit
from mouldwright.wire.answers.tried_order import TriedOrderAnswer

router = APIRouter(prefix="/shops/{shop}")


@router.get("/try")
def show_try(visit: InShop, made: str = "", quantity: str = "", by: str = "") -> HTMLResponse:
    """Show the form, and what accepting the order in it would come to."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    form = try_form(shop, made=made, quantity=quantity, by=by)
    view, fault = None, ""
    if made and quantity:
        try:
            view = tried_view(_tried(visit, form))
        except (InvalidInput, NotFound) as error:
            fault = str(error)
        except HardLimit as limit:
            fault = " ".join(limit.reasons)
    return visit.show(
        "try_order.html",
        title="Try an order",
        shop_name=shop.name,
        place="enquiry",
        shop=visit.shop,
        form=form,
        view=view,
        fault=fault,
    )


def _tried(visit: Visit, form: TryForm) -> TriedOrderAnswer:
    tried = try_order_of(
        visit.services,
        visit.shop,
        part=form.part,
        process=form.process or None,
        quantity=form.whole_quantity(),
        by=form.by or None,
    )
    return TriedOrderAnswer.of(tried)
