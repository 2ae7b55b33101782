"""What if we said yes? One more order tried on top of all that is booked; nothing is kept."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.errors import HardLimit, InvalidInput, NotFound
from mouldwright.usecases import studies
from mouldwright.usecases.kept import Role
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.studies import Answered
from mouldwright.usecases.try_order import try_order_of
from mouldwright.web.pages.more import asked_at_length
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.more import study_run
from mouldwright.web.view_models.tried import TryForm, options_view, tried_view, try_form, try_path
from mouldwright.web.visit import InShop, Posted, Visit
from mouldwright.wire.answers.tried_order import TriedOrderAnswer

router = APIRouter(prefix="/shops/{shop}")
# Each way is searched for so long, seconds.
EACH_S = 1.5
SEED = 1


@router.get("/try")
def show_try(
    visit: InShop, made: str = "", quantity: str = "", by: str = "", part: str = ""
) -> HTMLResponse:
    """Show the form, what accepting the order in it would come to, and the other ways."""
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    form = try_form(shop, made=made, quantity=quantity, by=by)
    view, fault = None, ""
    values: dict[str, Any] = {"shop": visit.shop, "run": None}
    if made and quantity:
        try:
            found = studies.newest(visit.services, visit.shop, studies.try_subject(**_asked(form)))
            values |= _values(visit, form, found)
            if part:
                return visit.part("parts/_try_options.html", **values)
            view = tried_view(_answer(found) or _tried(visit, form))
        except (InvalidInput, NotFound) as error:
            fault = str(error)
        except HardLimit as limit:
            fault = " ".join(limit.reasons)
    return visit.show(
        "try_order.html",
        title="Try an order",
        shop_name=shop.name,
        place="enquiry",
        form=form,
        view=view,
        fault=fault,
        **values,
    )


@router.post("/try")
def ask_ways(
    visit: InShop, form: Posted, made: str = "", quantity: str = "", by: str = ""
) -> Response:
    """Ask for the other ways to take an order, each planned and priced."""
    visit.must(Role.PLANNER)
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    wanted = try_form(shop, made=made, quantity=quantity, by=by)
    question = studies.try_question(
        visit.services, visit.shop, **_asked(wanted), seconds=EACH_S, seed=SEED
    )
    return asked_at_length(visit, form, question, try_path(**_asked(wanted)))


def _asked(form: TryForm) -> dict[str, Any]:
    return {
        "part": form.part,
        "process": form.process or None,
        "quantity": form.whole_quantity(),
        "by": form.by or None,
    }


def _answer(found: Answered | None) -> TriedOrderAnswer | None:
    """Return what was worked out at length, as long as nothing changed since."""
    if found is None or found.answer is None or not found.is_current:
        return None
    return TriedOrderAnswer.model_validate_json(found.answer)


def _values(visit: Visit, form: TryForm, found: Answered | None) -> dict[str, Any]:
    options = None
    if found is not None and found.answer is not None:
        options = options_view(TriedOrderAnswer.model_validate_json(found.answer))
    return {
        "run": None if found is None else study_run(found.run),
        "options": options,
        "is_current": found is not None and found.is_current,
        "may_plan": visit.may(Role.PLANNER),
        "once": visit.services.chance(),
        "where": shop_path(visit.shop, try_path(**_asked(form))),
    }


def _tried(visit: Visit, form: TryForm) -> TriedOrderAnswer:
    return TriedOrderAnswer.of(try_order_of(visit.services, visit.shop, **_asked(form)))
