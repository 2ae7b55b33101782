"""Orders that accepted quotes became: listed, changed, called off; and customers erased."""

from __future__ import annotations

from typing import Annotated

from fastapi import Path, Query
from starlette.responses import Response

from mouldwright.api.deps import (
    SHOP,
    Change,
    Owner,
    Paging,
    Planner,
    Precondition,
    Seat,
    Viewer,
    new_router,
    sent,
    tag_of,
)
from mouldwright.api.kinds import problems
from mouldwright.domain.promise.booking import Booking
from mouldwright.usecases import promises
from mouldwright.usecases.promise_lists import list_orders
from mouldwright.usecases.questions import check_quantity
from mouldwright.wire.service.order import (
    BookedOrder,
    CallOffAsk,
    EraseAsk,
    ErasedAnswer,
    OrderChangeAsk,
    OrderList,
    SettlementAnswer,
    WrittenOrder,
)
from mouldwright.wire.service.quote import quote_document

OrderNumber = Annotated[
    str, Path(min_length=1, max_length=80, description="number of the order", examples=["Q7"])
]

router = new_router(SHOP, "orders")


def _read(seat: Seat, number: str) -> tuple[Booking, str]:
    """Return an order and its shop's time zone, as the revision that holds has it."""
    with seat.services.units.read(seat.shop) as unit:
        booking = unit.bookings.by_number(number)
        figures = unit.quotes.revision(booking.quote, booking.revision).figures
    return booking, figures.zone


def _read_to_change(seat: Seat, number: str, change: Precondition) -> tuple[int, str]:
    """Return the version that was read, and the time zone. Raises Stale."""
    booking, zone = _read(seat, number)
    return change.version(booking.version), zone


@router.get("/orders", response_model=OrderList, operation_id="list_orders")
def list_all(
    seat: Viewer,
    page: Paging,
    only_open: Annotated[bool, Query(alias="open", description="only those that are open")] = False,
) -> Response:
    """List orders, the first booked first; those written in the shop are on the first page."""
    found = list_orders(
        seat.services.units,
        seat.shop,
        written=seat.services.written,
        cursor=page.cursor,
        limit=page.limit,
        only_open=only_open,
    )
    answer = OrderList(
        orders=[BookedOrder.of(booking, found.zone) for booking in found.bookings],
        written=[WrittenOrder.of(order) for order in found.written],
        next=found.cursor,
    )
    return sent(answer)


@router.get("/orders/{number}", response_model=BookedOrder, operation_id="read_order")
def read(seat: Viewer, number: OrderNumber) -> Response:
    """Return an order. Its ETag is for changing it: what is expected of it moves by itself."""
    booking, zone = _read(seat, number)
    return sent(BookedOrder.of(booking, zone), tag=tag_of(booking.version))


@router.patch(
    "/orders/{number}",
    response_model=BookedOrder,
    operation_id="change_order",
    responses=problems(409),
)
def change_one(seat: Planner, number: OrderNumber, ask: OrderChangeAsk, change: Change) -> Response:
    """Change an order and ask for a new plan. Another quantity is priced anew."""
    check_quantity(seat.services, ask.quantity or 1)
    read_version, zone = _read_to_change(seat, number, change)
    changed = promises.change_order(
        seat.services,
        seat.shop,
        number,
        read_version=read_version,
        quantity=ask.quantity,
        due=ask.due,
        weight=ask.weight,
        begun=ask.begun,
        pay_for_begun=ask.pay_for_begun,
        freeze=quote_document,
    )
    return sent(BookedOrder.of(changed, zone), tag=tag_of(changed.version))


@router.post(
    "/orders/{number}/cancel",
    response_model=SettlementAnswer,
    operation_id="cancel_order",
    responses=problems(409),
)
def cancel(seat: Planner, number: OrderNumber, ask: CallOffAsk, change: Change) -> Response:
    """Call an order off and say what that comes to; the rest is planned anew."""
    read_version, zone = _read_to_change(seat, number, change)
    booking, settlement = promises.call_off_order(
        seat.services, seat.shop, number, by=ask.by, read_version=read_version
    )
    answer = SettlementAnswer.of(booking, settlement, zone)
    return sent(answer, tag=tag_of(booking.version))


# The name comes in the body: an address is noted by whatever stands between.
@router.post(
    "/customers/erase",
    response_model=ErasedAnswer,
    operation_id="erase_customer",
    tags=["customers"],
)
def erase_customer(seat: Owner, ask: EraseAsk) -> Response:
    """Erase a customer's name from quotes and orders for good; every figure stays."""
    places = promises.erase_customer(seat.services, seat.shop, ask.customer)
    return sent(ErasedAnswer(places=places))
