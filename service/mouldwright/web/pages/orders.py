"""Orders: the list, one order's sheet, and what may be changed of it."""

from __future__ import annotations

from typing import Literal

from fastapi import APIRouter
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.errors import Fault, InvalidInput, MouldwrightError
from mouldwright.domain.money import Currency
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases import promises
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import Role
from mouldwright.usecases.ledgers import cost_beside_quote, ledgers
from mouldwright.usecases.promise_lists import list_orders, read_plan
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.why import why_ready
from mouldwright.web.form_values import due_of, whole_of
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.order import booked_view, order_rows, written_view
from mouldwright.web.view_models.spent import SpentView, spent_view
from mouldwright.web.view_models.trace import PartRow, part_rows
from mouldwright.web.view_models.why import WhyView, why_view
from mouldwright.web.visit import InShop, Posted, Visit, text_of
from mouldwright.web.words import money
from mouldwright.wire.service.quote import quote_document

router = APIRouter(prefix="/shops/{shop}/orders")
A_PAGE = 50


@router.get("")
def show_orders(visit: InShop, cursor: str = "", which: str = "open") -> HTMLResponse:
    """Show the orders, the first booked first."""
    shop = _shop(visit)
    found = list_orders(
        visit.services.units,
        visit.shop,
        written=visit.services.written,
        cursor=cursor or None,
        limit=A_PAGE,
        only_open=which != "all",
    )
    return visit.show(
        "orders.html",
        title="Orders",
        shop_name=shop.name,
        place="orders",
        rows=order_rows(shop, found.bookings, found.written, _plan(visit)),
        which=which,
        next=found.cursor,
        shop=visit.shop,
        is_first=not cursor,
    )


@router.get("/{number}")
def show_order(visit: InShop, number: str) -> HTMLResponse:
    """Show an order."""
    shop, plan = _shop(visit), _plan(visit)
    written = next((order for order in shop.orders if order.number == number), None)
    if written is not None:
        view = written_view(shop, written, plan)
    else:
        with visit.services.units.read(visit.shop) as unit:
            booking = unit.bookings.by_number(number)
        view = booked_view(shop, booking, plan)
    parts, spent = _really(visit, number)
    return visit.show(
        "order.html",
        title=f"Order {number}",
        shop_name=shop.name,
        place="orders",
        view=view,
        why=_why(visit, number),
        parts=parts,
        spent=spent,
        shop=visit.shop,
        may_change=visit.may(Role.PLANNER),
        may_note=visit.may(Role.BENCH),
    )


@router.post("/{number}/change")
def change(visit: InShop, number: str, form: Posted) -> Response:
    """Change how many are wanted, or by when."""
    visit.must(Role.PLANNER)
    promises.change_order(
        visit.services,
        visit.shop,
        number,
        read_version=whole_of(form, "version"),
        quantity=whole_of(form, "quantity"),
        due=due_of(_shop(visit), text_of(form, "by")),
        begun=None,
        pay_for_begun=bool(text_of(form, "pay_for_begun")),
        freeze=quote_document,
    )
    return _back(visit, number, "Changed. A new plan is being made.")


@router.post("/{number}/begun")
def note_begun(visit: InShop, number: str, form: Posted) -> Response:
    """Note how many parts are begun."""
    visit.must(Role.BENCH)
    promises.change_order(
        visit.services,
        visit.shop,
        number,
        read_version=whole_of(form, "version"),
        quantity=None,
        due=None,
        begun=whole_of(form, "begun"),
        pay_for_begun=False,
        freeze=quote_document,
    )
    return _back(visit, number, "Noted. A new plan is being made.")


@router.post("/{number}/call-off")
def call_off(visit: InShop, number: str, form: Posted) -> Response:
    """Call the order off and say what that comes to."""
    visit.must(Role.PLANNER)
    _, settled = promises.call_off_order(
        visit.services,
        visit.shop,
        number,
        by=_caller(text_of(form, "by")),
        read_version=whole_of(form, "version"),
    )
    currency = Currency(settled.currency)
    words = (
        f"Called off. Work done comes to {money(currency, settled.work_done)}; of the deposit of "
        f"{money(currency, settled.deposit)}, {money(currency, settled.refunded)} goes back"
    )
    if settled.owed:
        words += f", and {money(currency, settled.owed)} is owed besides"
    return _back(visit, number, f"{words}.")


def _caller(text: str) -> Literal["customer", "shop"]:
    if text == "customer":
        return "customer"
    if text == "shop":
        return "shop"
    raise InvalidInput(
        [
            Fault(
                path="by",
                value=text,
                problem="who calls it off is not said.",
                remedy="Choose the customer or the shop.",
            )
        ]
    )


def _back(visit: Visit, number: str, say: str) -> Response:
    return visit.go(shop_path(visit.shop, f"orders/{number}"), say=say)


def _shop(visit: Visit) -> Shop:
    return open_kept(visit.services.units, visit.services.written, visit.shop).shop


def _why(visit: Visit, number: str) -> WhyView | None:
    """Return what fixes an order's date, None where no plan holds it."""
    try:
        found = why_ready(visit.services, visit.shop, number)
    except Unknown:
        return None
    return why_view(found.explanation, found.plan.zone)


def _really(visit: Visit, number: str) -> tuple[tuple[PartRow, ...], SpentView | None]:
    """Return the parts of an order and where its money went, where the log tells of any."""
    found = ledgers(visit.services, visit.shop)
    parts = found.parts(order=number)
    if not parts:
        return (), None
    rows = part_rows(found.shop, parts)
    try:
        return rows, spent_view(*cost_beside_quote(visit.services, visit.shop, number))
    except MouldwrightError:
        # The shop was changed since, and what it is reckoned to is not known any more.
        return rows, None


def _plan(visit: Visit) -> Plan | None:
    """Return the plan that holds, None where there is none yet."""
    try:
        return read_plan(visit.services.units, visit.shop).kept.plan
    except Unknown:
        return None
