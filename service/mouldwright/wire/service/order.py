"""Orders as they are booked, changed and called off."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field
from pydantic.config import JsonDict

from mouldwright.domain.hours.opening import local
from mouldwright.domain.money import Currency
from mouldwright.domain.order import Order
from mouldwright.domain.promise.booking import Booking, Settlement
from mouldwright.wire.service.instant import Instant, in_zone

_ORDER: JsonDict = {
    "number": "Q7",
    "state": "open",
    "part": "stabiliser",
    "process": "pressed",
    "quantity": 12,
    "customer": "Tern survey club",
    "wished": "2027-04-12T18:00:00+01:00",
    "due": "2027-04-16T17:00:00+01:00",
    "weight": 1,
    "quote": 7,
    "revision": 1,
    "version": 1,
    "booked_at": "2027-03-01T09:10:00Z",
    "promised": "2027-04-14T15:20:00+01:00",
    "expected": "2027-04-14T15:20:00+01:00",
    "moved_min": 0,
    "begun": 0,
}


class BookedOrder(BaseModel):
    """An order that came from an accepted quote."""

    model_config = ConfigDict(json_schema_extra={"examples": [_ORDER]})

    number: str
    state: Literal["open", "cancelled"]
    part: str
    process: str | None
    quantity: int
    customer: str
    wished: datetime | None = Field(
        description="when the customer wished for it; null where for no day"
    )
    due: datetime | None = Field(description="when it is due: as promised, or as agreed since")
    weight: int = Field(description="how much a minute of lateness counts")
    quote: int
    revision: int = Field(description="the revision of the quote that holds")
    version: int = Field(description="from 1; its ETag is this number in quotes")
    booked_at: datetime
    promised: datetime | None
    expected: datetime | None = Field(
        description="when it is ready by what was booked when last looked at"
    )
    moved_min: int | None = Field(
        description="minutes that is past the promise; 0 while it is within the day promised"
    )
    begun: int = Field(description="parts begun; they stay, whatever is changed")

    @classmethod
    def of(cls, booking: Booking, zone: str) -> BookedOrder:
        """Return the answer for a booking of a shop in a time zone."""
        order = booking.order
        return cls(
            number=order.number,
            state=booking.state,
            part=order.part,
            process=order.process,
            quantity=order.quantity,
            customer=order.customer,
            wished=in_zone(booking.wished, zone),
            due=in_zone(order.due, zone),
            weight=order.weight,
            quote=booking.quote,
            revision=booking.revision,
            version=booking.version,
            booked_at=booking.booked_at,
            promised=None if booking.promised is None else local(booking.promised, zone),
            expected=None if booking.expected is None else local(booking.expected, zone),
            moved_min=booking.moved_min(zone),
            begun=booking.begun,
        )


class WrittenOrder(BaseModel):
    """An order that is written in the shop; it is changed there."""

    number: str
    part: str
    process: str | None
    quantity: int
    customer: str
    due: datetime | None

    @classmethod
    def of(cls, order: Order) -> WrittenOrder:
        """Return the answer for an order."""
        return cls(
            number=order.number,
            part=order.part,
            process=order.process,
            quantity=order.quantity,
            customer=order.customer,
            due=order.due,
        )


class OrderList(BaseModel):
    """Orders, the first booked first."""

    model_config = ConfigDict(
        json_schema_extra={"examples": [{"orders": [_ORDER], "written": [], "next": None}]}
    )

    orders: list[BookedOrder]
    written: list[WrittenOrder] = Field(
        description="orders written in the shop; on the first page only"
    )
    next: str | None = Field(description="send it as `cursor` for more; null at the end")


class PromiseAnswer(BaseModel):
    """The promise against what is booked now."""

    expected: datetime | None = Field(description="null where it could not be said")
    moved: bool = Field(description="whether that is on a later day than was promised")
    words: str


class AcceptedAnswer(BaseModel):
    """What an acceptance leaves for good: the order, and the run that plans it."""

    order: BookedOrder
    run: str = Field(description="the run that plans it")


class AcceptAnswer(AcceptedAnswer):
    """A quote accepted: the order is booked for good, and a plan of it was asked for."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "order": _ORDER,
                    "promise": {
                        "expected": "2027-04-14T15:20:00+01:00",
                        "moved": False,
                        "words": "Promised for Wed 14 Apr 2027; with what is booked now it is "
                        "ready Wed 14 Apr 2027, 15:20.",
                    },
                    "run": "q3Jw0bX9sTnLzE5a",
                }
            ]
        }
    )

    promise: PromiseAnswer


class OrderChangeAsk(BaseModel):
    """What of an order is to be otherwise; what is left out stays.

    Another quantity is priced anew and makes a further revision of the quote.
    """

    model_config = ConfigDict(extra="forbid", json_schema_extra={"examples": [{"quantity": 20}]})

    quantity: int | None = Field(default=None, ge=1, le=100_000)
    due: Instant | None = Field(default=None, description="when it is wanted")
    weight: int | None = Field(
        default=None, ge=0, le=1_000_000, description="how much a minute of lateness counts"
    )
    begun: int | None = Field(default=None, ge=0, le=1_000_000, description="parts begun")
    pay_for_begun: bool = Field(
        default=False,
        description="let a cancellation line pay for parts begun and no longer wanted",
    )


class CallOffAsk(BaseModel):
    """Who calls an order off."""

    model_config = ConfigDict(extra="forbid", json_schema_extra={"examples": [{"by": "customer"}]})

    by: Literal["customer", "shop"]


class SettlementAnswer(BaseModel):
    """What an order called off comes to, if the deposit was paid."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "order": _ORDER | {"state": "cancelled", "version": 2, "begun": 3},
                    "currency": "EUR",
                    "work_done": "118.20",
                    "deposit": "375.14",
                    "kept": "118.20",
                    "refunded": "256.94",
                    "owed": "0.00",
                }
            ]
        }
    )

    order: BookedOrder
    currency: str
    work_done: str = Field(description="parts begun, at cost")
    deposit: str
    kept: str = Field(description="share of the deposit that covers work done")
    refunded: str
    owed: str = Field(description="work done beyond the deposit")

    @classmethod
    def of(cls, booking: Booking, settlement: Settlement, zone: str) -> SettlementAnswer:
        """Return the answer for a booking called off."""
        money = Currency(settlement.currency)
        return cls(
            order=BookedOrder.of(booking, zone),
            currency=money.code,
            work_done=money.text(settlement.work_done),
            deposit=money.text(settlement.deposit),
            kept=money.text(settlement.kept),
            refunded=money.text(settlement.refunded),
            owed=money.text(settlement.owed),
        )


class EraseAsk(BaseModel):
    """A customer to be erased."""

    model_config = ConfigDict(
        extra="forbid", json_schema_extra={"examples": [{"customer": "Tern survey club"}]}
    )

    customer: str = Field(
        min_length=1, max_length=200, description="as the name stands in quotes and orders"
    )


class ErasedAnswer(BaseModel):
    """A customer erased; every figure stays."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"places": 3}]})

    places: int = Field(
        description="in how many revisions of quotes, booked orders and versions of the shop the "
        "name stood"
    )
