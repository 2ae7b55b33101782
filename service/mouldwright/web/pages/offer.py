"""A customer's page of one quote, opened by the secret of its link and by nothing else.

Whoever sends the form knows the secret, which no other site does: that is what other pages
have the key of a session for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from functools import partial
from typing import get_args

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from mouldwright.domain.errors import Conflict
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.shop import Shop
from mouldwright.figures.marks import marks_for
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.given_out import GivenOut, shop_then
from mouldwright.usecases.kept_link import CustomersAnswer, QuoteLink
from mouldwright.usecases.quote_links import (
    Offer,
    answer_by_link,
    by_link,
    offer_of,
    opened_link,
)
from mouldwright.usecases.services import Services
from mouldwright.usecases.session import OFFERS, offer_path
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.stage import kept_stage
from mouldwright.web.charts import Figure, part_figures
from mouldwright.web.pages.mark import mark_response
from mouldwright.web.paper import quote_file
from mouldwright.web.render import Chrome, render
from mouldwright.web.view_models.offer import OfferView, offer_view
from mouldwright.web.view_models.quote import quote_view
from mouldwright.web.view_models.stage import stage_view
from mouldwright.web.visit import (
    AnyForm,
    one_try,
    request_id,
    services_of,
    text_of,
    theme_of,
)

router = APIRouter(prefix=OFFERS)

# The address opens the quote: it goes to no other page, into no cache and no search.
_HEADERS = {
    "referrer-policy": "no-referrer",
    "cache-control": "no-store",
    "x-robots-tag": "noindex, nofollow, noarchive",
}


@router.get("/{secret}")
def show_offer(request: Request, secret: str) -> Response:
    """Show the quote as it was sent."""
    return _by_link(request, secret, partial(_shown, request, secret))


@router.get("/{secret}/pdf")
def offer_on_paper(
    request: Request, secret: str, language: str = "en", paper: str = "a4"
) -> Response:
    """Hand out the quote as it was sent, set on paper."""

    def on_paper(services: Services, link: QuoteLink) -> Response:
        shown = offer_of(services, link).shown
        if shown is None:
            return _shown(request, secret, services, link)
        then = shop_then(services, link.shop, shown)
        found = GivenOut(shop=then, revision=shown)
        return quote_file(found, language=language, paper=paper, headers=_HEADERS)

    return _by_link(request, secret, on_paper)


@router.get("/{secret}/mark.svg")
def offer_mark(request: Request, secret: str) -> Response:
    """Return the shop's mark of the day the quote was made."""

    def mark(services: Services, link: QuoteLink) -> Response:
        shown = offer_of(services, link).shown
        answer = mark_response(shop_then(services, link.shop, shown).mark if shown else "")
        answer.headers.update(_HEADERS)
        return answer

    return _by_link(request, secret, mark)


@router.get("/{secret}/stage")
def show_stage(request: Request, secret: str) -> Response:
    """Show how far the order is that the quote became, and the next date; nothing else."""

    def stage(services: Services, link: QuoteLink) -> Response:
        booking = offer_of(services, link).booking
        if booking is None:
            return RedirectResponse(offer_path(secret), status_code=303, headers=_HEADERS)
        reached = kept_stage(services, link.shop, booking.order.number)
        now = open_kept(services.units, services.written, link.shop).shop
        chrome = Chrome(
            title="Your order",
            shop_name=now.name,
            theme=theme_of(request),
            path=f"{offer_path(secret)}/stage",
        )
        page = render(
            "offer_stage.html",
            chrome=chrome,
            form_key="",
            **asdict(stage_view(reached, local(minute_of(services.clock()), now.zone))),
        )
        return HTMLResponse(page, headers=_HEADERS)

    return _by_link(request, secret, stage)


@router.post("/{secret}")
def answer(request: Request, secret: str, form: AnyForm) -> Response:
    """Accept or decline the quote as it was shown."""

    def answered(services: Services, link: QuoteLink) -> Response:
        show = partial(_shown, request, secret, services, link)
        chosen, revision = text_of(form, "answer"), text_of(form, "revision")
        wanted: CustomersAnswer | None = next(
            (known for known in get_args(CustomersAnswer) if known == chosen), None
        )
        if wanted is None or not (revision.isascii() and revision.isdigit()):
            return show(problem="Choose one of the two.")
        if wanted == "accepted" and not text_of(form, "sure"):
            return show(
                problem="Tick that you have read the cautions and want to order, then send it "
                "again."
            )
        acting = services.acting(by_link(link, request_id(request)))
        try:
            answer_by_link(acting, link, int(revision[:9]), wanted)
        except Unknown:  # withdrawn meanwhile
            return _closed(request)
        except Conflict:
            problem = "It changed since you opened this page. This is how it stands now."
            return show(problem=problem, status=409)
        return RedirectResponse(offer_path(secret), status_code=303, headers=_HEADERS)

    return _by_link(request, secret, answered)


def _by_link(
    request: Request, secret: str, show: Callable[[Services, QuoteLink], Response]
) -> Response:
    """Return what is shown by a link that opens; a page that says no more than that it does not."""
    services = services_of(request)
    try:
        with one_try(request):
            link = opened_link(services.units, secret, now=services.clock())
    except Unknown:
        return _closed(request)
    return show(services, link)


def _shown(
    request: Request,
    secret: str,
    services: Services,
    link: QuoteLink,
    *,
    problem: str = "",
    status: int = 0,
) -> HTMLResponse:
    offer = offer_of(services, link)
    now = open_kept(services.units, services.written, link.shop).shop
    if offer.shown is None:
        sentence = "The offer is being worked on. Open this link again when you hear from us."
        return _page(
            request, secret, now, "offer_soon.html", status=status or 200, sentence=sentence
        )
    then = shop_then(services, link.shop, offer.shown)
    return _page(
        request,
        secret,
        now,
        "offer.html",
        status=status or (422 if problem else 200),
        view=_view(services, then, offer, f"{offer_path(secret)}/mark.svg"),
        drawings=_drawings(then, offer),
        problem=problem,
        here=offer_path(secret),
    )


def _view(services: Services, then: Shop, offer: Offer, mark_path: str) -> OfferView:
    shown = offer.shown
    assert shown is not None
    today = local(minute_of(services.clock()), then.zone).date()
    return offer_view(
        then, offer, quote_view(then, shown, (shown,), today=today, mark_path=mark_path)
    )


def _drawings(then: Shop, offer: Offer) -> tuple[Figure, ...]:
    inputs = offer.shown.inputs if offer.shown else None
    part = then.parts.get(inputs.part) if inputs else None
    if part is None or inputs is None:
        return ()
    return part_figures(then, part, inputs.process, marks_for(then.processes.values()))


def _page(
    request: Request, secret: str, shop: Shop, template: str, *, status: int, **values: object
) -> HTMLResponse:
    chrome = Chrome(
        title="Your quote", shop_name=shop.name, theme=theme_of(request), path=offer_path(secret)
    )
    page = render(template, chrome=chrome, form_key="", **values)
    return HTMLResponse(page, status_code=status, headers=_HEADERS)


def _closed(request: Request) -> HTMLResponse:
    """Say that a link opens nothing; never why, nor whose it was."""
    sentence = (
        "It has lapsed or was withdrawn, or a letter is missing. Ask the bench for a new one."
    )
    chrome = Chrome(title="This link opens nothing", theme=theme_of(request), path="/sign-in")
    page = render("offer_soon.html", chrome=chrome, form_key="", sentence=sentence)
    return HTMLResponse(page, status_code=404, headers=_HEADERS)
