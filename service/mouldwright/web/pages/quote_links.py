"""Links to a quote for its customer: made, shown once, withdrawn."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from mouldwright.usecases.kept import Role
from mouldwright.usecases.promise_ports import PromiseWriting
from mouldwright.usecases.quote_links import make_link, withdraw_link
from mouldwright.usecases.session import offer_path
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.doing_once import secret_once
from mouldwright.web.form_values import whole_of
from mouldwright.web.places import shop_path
from mouldwright.web.visit import InShop, Posted, Visit, text_of

router = APIRouter(prefix="/shops/{shop}/quotes/{number}/links")


@router.post("")
def make(visit: InShop, number: int, form: Posted) -> HTMLResponse:
    """Make a link and show it, this once."""
    visit.must(Role.PLANNER)
    days, may_answer = whole_of(form, "days"), bool(text_of(form, "may_answer"))

    def new_secret(unit: PromiseWriting) -> str:
        return make_link(
            unit,
            number,
            days=days,
            may_answer=may_answer,
            by=visit.token.id,
            now=visit.now,
            chance=visit.services.chance,
        ).secret

    secret = secret_once(visit, form, new_secret)
    return _shown(visit, number, secret)


@router.post("/{link}/withdraw")
def withdraw(visit: InShop, number: int, link: str, form: Posted) -> Response:
    """Withdraw a link for good."""
    visit.must(Role.PLANNER)
    withdraw_link(visit.services.units, visit.shop, number, link, now=visit.now)
    return visit.go(
        shop_path(visit.shop, f"quotes/{number}"), say="Withdrawn: the link opens nothing now."
    )


def _shown(visit: Visit, number: int, secret: str) -> HTMLResponse:
    shop = open_kept(visit.services.units, visit.services.written, visit.shop).shop
    base = visit.services.address(str(visit.request.base_url))
    page = visit.show(
        "secret_once.html",
        title="A link for the customer",
        shop_name=shop.name,
        place="quotes",
        secret=base + offer_path(secret) if secret else "",
        what="link",
        sentence=(
            f"Whoever has it sees quote {number} as it was sent, and nothing else of the bench. "
            "Send it to the customer alone."
        ),
        back=shop_path(visit.shop, f"quotes/{number}"),
        back_words=f"Back to quote {number}",
    )
    page.headers["cache-control"] = "no-store"
    return page
