"""Quotes: the list, one quote's sheet, and its whole life by the press of a button."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import get_args

from fastapi import APIRouter
from starlette.datastructures import FormData
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.promise.quote_state import QuoteState
from mouldwright.domain.promise.revision import QuoteRevision
from mouldwright.domain.shop import Shop
from mouldwright.domain.terms import Terms
from mouldwright.figures.marks import marks_for
from mouldwright.usecases import promises
from mouldwright.usecases.errors import Stale
from mouldwright.usecases.given_out import given_out, shop_then
from mouldwright.usecases.kept import Reply, Role
from mouldwright.usecases.orders import look_again
from mouldwright.usecases.promise_lists import list_quotes
from mouldwright.usecases.quotes import Wanted
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.terms_asked import terms_asked
from mouldwright.web.charts import part_figures
from mouldwright.web.doing_once import asked_by, led_to, path_of
from mouldwright.web.form_values import due_of, whole_of
from mouldwright.web.paper import quote_file
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.quote import quote_view, seen_of
from mouldwright.web.view_models.quote_list import link_rows, quote_rows
from mouldwright.web.visit import InShop, Posted, Visit, text_of
from mouldwright.web.words import QUOTE_STATES
from mouldwright.wire.service.quote import quote_document

router = APIRouter(prefix="/shops/{shop}/quotes")
A_PAGE = 50
LONGEST_CUSTOMER = 200
MOST_ADDRESS_LINES = 8


@router.get("")
def show_quotes(visit: InShop, state: str = "", cursor: str = "") -> HTMLResponse:
    """Show the quotes by their newest revision, the highest number first."""
    promises.lapse_quotes(visit.services, visit.shop)
    chosen = _state(state)
    found = list_quotes(
        visit.services.units, visit.shop, cursor=cursor or None, limit=A_PAGE, state=chosen
    )
    shop = _shop(visit)
    return visit.show(
        "quotes.html",
        title="Quotes",
        shop_name=shop.name,
        place="quotes",
        rows=quote_rows(shop, found.quotes),
        currency=shop.currency.code,
        state=chosen or "",
        states=QUOTE_STATES,
        next=found.cursor,
        shop=visit.shop,
        is_first=not cursor,
    )


@router.post("")
def make_quote(visit: InShop, form: Posted) -> Response:
    """Work a quote out and keep it under the next number."""
    visit.must(Role.PLANNER)
    shop = _shop(visit)
    wanted = Wanted(
        part=text_of(form, "part"),
        process=text_of(form, "process") or None,
        quantity=whole_of(form, "quantity"),
        customer=text_of(form, "customer")[:LONGEST_CUSTOMER],
        due=due_of(shop, text_of(form, "by")),
        terms=_terms(shop, form),
    )
    reply = promises.create_quote(
        visit.services,
        visit.shop,
        wanted,
        asked=asked_by(visit, form),
        freeze=quote_document,
        present=_to_quote(visit),
    )
    return visit.go(path_of(reply), say="The quote is kept. It is a draft until you send it.")


@router.get("/{number}/pdf")
def quote_on_paper(
    visit: InShop, number: int, revision: int | None = None, language: str = "en", paper: str = "a4"
) -> Response:
    """Hand out a revision as its customer reads it, set on paper."""
    found = given_out(visit.services, visit.shop, number, revision)
    return quote_file(found, language=language, paper=paper)


@router.get("/{number}")
def show_quote(visit: InShop, number: int, revision: int | None = None) -> HTMLResponse:
    """Show a revision of a quote, the newest where none is named."""
    promises.lapse_quotes(visit.services, visit.shop)
    with visit.services.units.read(visit.shop) as unit:
        shown = unit.quotes.revision(number, revision)
        revisions = unit.quotes.revisions(number)
        booking = unit.bookings.by_quote(number)
        links = unit.links.listed(number)
    now = _shop(visit)
    then = shop_then(visit.services, visit.shop, shown)
    today = local(minute_of(visit.now), now.zone).date()
    mark = shop_path(visit.shop, f"mark.svg?version={shown.inputs.shop_version}")
    view = quote_view(then, shown, revisions, today=today, mark_path=mark)
    part = then.parts.get(shown.inputs.part)
    marks = marks_for(then.processes.values())
    ways = [now.processes[key] for key in part.made_by if key in now.processes] if part else []
    return visit.show(
        "quote.html",
        title=f"Quote {number}",
        shop_name=now.name,
        place="quotes",
        view=view,
        shop=visit.shop,
        order=booking.order.number if booking else "",
        drawings=part_figures(then, part, shown.inputs.process, marks) if part else (),
        ways=ways,
        may_change=visit.may(Role.PLANNER),
        links=link_rows(links, zone=now.zone, now=visit.now),
        once=visit.services.chance(),
    )


@router.post("/{number}/send")
def send(visit: InShop, number: int, form: Posted) -> Response:
    """Note that the quote went to the customer."""
    visit.must(Role.PLANNER)
    promises.send_quote(visit.services, visit.shop, number, was_read=_as_seen(form))
    return _back(visit, number, "Noted: it is with the customer.")


@router.post("/{number}/decline")
def decline(visit: InShop, number: int, form: Posted) -> Response:
    """Note that the customer does not want it."""
    visit.must(Role.PLANNER)
    promises.decline_quote(visit.services, visit.shop, number, was_read=_as_seen(form))
    return _back(visit, number, "Noted: the customer declined. A new revision can still be made.")


@router.post("/{number}/accept")
def accept(visit: InShop, number: int, form: Posted) -> Response:
    """Book what the quote promised, then look at the promise again."""
    visit.must(Role.PLANNER)
    services = visit.services
    reply = promises.accept_quote(
        services,
        visit.shop,
        number,
        None,
        asked=asked_by(visit, form),
        present=lambda booking, run: led_to(
            shop_path(visit.shop, f"orders/{booking.order.number}")
        ),
        was_read=_as_seen(form),
    )
    looked = look_again(
        services.units,
        visit.shop,
        number,
        written=services.written,
        now=visit.now,
        finish=services.finish,
    )
    return visit.go(path_of(reply), say=f"Booked. {looked.words}")


@router.post("/{number}/revise")
def revise(visit: InShop, number: int, form: Posted) -> Response:
    """Work the quote out anew, as a further revision."""
    visit.must(Role.PLANNER)
    shop = _shop(visit)
    quantity, due = whole_of(form, "quantity"), due_of(shop, text_of(form, "by"))
    terms = _terms(shop, form)
    address = tuple(line.strip() for line in text_of(form, "address").splitlines() if line.strip())

    def change(wanted: Wanted) -> Wanted:
        return replace(
            wanted,
            process=text_of(form, "process") or wanted.process,
            quantity=quantity,
            customer=text_of(form, "customer")[:LONGEST_CUSTOMER],
            due=due,
            address=tuple(line[:LONGEST_CUSTOMER] for line in address[:MOST_ADDRESS_LINES]),
            terms=terms,
        )

    reply = promises.revise_quote(
        visit.services,
        visit.shop,
        number,
        change,
        pay_for_begun=bool(text_of(form, "pay_for_begun")),
        asked=asked_by(visit, form),
        freeze=quote_document,
        present=_to_quote(visit),
        was_read=_as_seen(form),
    )
    return visit.go(path_of(reply), say="A new revision is kept, at today’s prices.")


def _terms(shop: Shop, form: FormData) -> Terms:
    """Return what the form says is agreed; a discount there is typed in per cent."""
    discount = text_of(form, "discount").strip().removesuffix("%").strip()
    return terms_asked(
        shop,
        customer_class=text_of(form, "customer_class"),
        discount=f"{discount} %" if discount else "",
        discount_amount=text_of(form, "discount_amount"),
        deliveries=text_of(form, "deliveries").splitlines(),
        rush=bool(text_of(form, "rush")),
        spares=bool(text_of(form, "spares")),
    )


def _to_quote(visit: Visit) -> Callable[[QuoteRevision], Reply]:
    return lambda made: led_to(shop_path(visit.shop, f"quotes/{made.number}"))


def _back(visit: Visit, number: int, say: str) -> Response:
    return visit.go(shop_path(visit.shop, f"quotes/{number}"), say=say)


def _shop(visit: Visit) -> Shop:
    return open_kept(visit.services.units, visit.services.written, visit.shop).shop


def _as_seen(form: FormData) -> Callable[[QuoteRevision], None]:
    """Return what refuses a quote that is no longer as the page showed it."""
    seen = text_of(form, "seen")

    def check(stands: QuoteRevision) -> None:
        if seen_of(stands) != seen:
            raise Stale(read=f"revision {seen}", holds=f"revision {seen_of(stands)}")

    return check


def _state(text: str) -> QuoteState | None:
    return next((known for known in get_args(QuoteState) if known == text), None)
