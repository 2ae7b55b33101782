"""Answer to "what if we said yes to this order?"."""

from __future__ import annotations

from datetime import datetime
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from mouldwright.domain.hours.opening import local
from mouldwright.domain.money import Currency
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.planning.gains import TriedOption, TriedOrder
from mouldwright.wire.answers.gains import OrderShiftAnswer, shift_answer
from mouldwright.wire.answers.money import amount_text

OptionKindName = Literal["mould", "opening", "split", "process"]

_OPTION: dict[str, Any] = {
    "key": "mould fin-mould",
    "kind": "mould",
    "title": "one more mould fin-mould",
    "note": "counted as at hand from now on: add what it takes to come",
    "finish": "2027-03-02T12:20:00+00:00",
    "late_min": 0,
    "first": None,
    "first_finish": None,
    "orders": [],
    "kept": 410,
    "moved": 0,
    "chance": 0.94,
    "promise": "2027-03-02T11:40:00+00:00",
    "promise_chance": 0.81,
    "first_promise": None,
    "first_promise_chance": None,
    "cost_more": "46.00",
    "cost_words": "the mould, which stays",
    "used_min": 0,
    "price_each": "14.20",
    "net": "113.60",
    "refused": [],
}
TRIED: dict[str, Any] = {
    "part": "sensor-fin",
    "process": "cast-fin",
    "quantity": 8,
    "starts": 10,
    "finish": "2027-03-02T16:20:00+00:00",
    "due": None,
    "late_min": 0,
    "orders": [],
    "kept": 410,
    "moved": 0,
    "because": "closed hours take 13 h 27 min of it",
    "chance": None,
    "promise": "2027-03-04T11:05:00+00:00",
    "promise_chance": 0.82,
    "quote_promise": None,
    "quote_promise_chance": None,
    "quote_differs": "",
    "currency": "EUR",
    "price_each": "14.20",
    "net": "113.60",
    "unpriced": [],
    "options": [_OPTION],
    "left_out": 0,
    "moulds": [],
}


class TriedOptionAnswer(BaseModel):
    """One other way to take the order, planned and priced."""

    model_config = ConfigDict(json_schema_extra={"examples": [_OPTION]})

    key: str
    kind: OptionKindName
    title: str
    note: str
    finish: datetime | None = Field(description="all of it ready; null where it cannot be")
    late_min: int = Field(description="in a split delivery, of the first share")
    first: int | None = Field(description="pieces by the date, in a split delivery")
    first_finish: datetime | None
    orders: list[OrderShiftAnswer] = Field(description="orders whose finish would change")
    kept: int = Field(description="tasks still to come that would stand as they stand")
    moved: int = Field(description="tasks that would stand elsewhere")
    chance: float | None = Field(
        description="share of runs of the plan in which it is ready by the date; in a split "
        "delivery, the first share; null without a date"
    )
    promise: datetime | None = Field(
        default=None,
        description="likely ready by then, as often as the shop promises, by the same runs; in a "
        "split delivery, the rest",
    )
    promise_chance: float | None = Field(
        default=None, description="share of the runs in which it is ready by then"
    )
    first_promise: datetime | None = Field(
        default=None, description="when the first share of a split delivery is likely ready"
    )
    first_promise_chance: float | None = None
    cost_more: str | None = Field(
        description="what it costs the shop beyond the order as asked, below nought where less; "
        "null where not known"
    )
    cost_words: str
    used_min: int = Field(description="minutes of hands in hours closed before")
    price_each: str | None
    net: str | None = Field(description="what a quote asks for all of it")
    refused: list[str] = Field(description="why it cannot be; empty where it can")


class TriedOrderAnswer(BaseModel):
    """When one more order would be ready, and which promises would move; nothing is kept."""

    model_config = ConfigDict(json_schema_extra={"examples": [TRIED]})

    part: str
    process: str | None
    quantity: int
    starts: int = Field(description="parts begun")
    finish: datetime
    due: datetime | None
    late_min: int
    orders: list[OrderShiftAnswer] = Field(description="orders whose finish would change")
    kept: int = Field(description="tasks still to come that would stand as they stand")
    moved: int = Field(description="tasks that would stand elsewhere")
    because: str = Field(description="what keeps it longest")
    chance: float | None = Field(
        description="share of the plan's runs in which it is ready by the date; null without a date"
    )
    promise: datetime | None = Field(
        default=None,
        description="what may be promised: likely ready by then, as often as the shop promises, "
        "by the same runs of the same plan as all the rest",
    )
    promise_chance: float | None = Field(
        default=None, description="share of those runs in which it is ready by then"
    )
    quote_promise: datetime | None = Field(
        default=None,
        description="what a quote of it, given out now, would promise; null where that is the "
        "same minute",
    )
    quote_promise_chance: float | None = Field(
        default=None, description="share of the runs of the quote's own plan in which that is kept"
    )
    quote_differs: str = Field(
        default="", description="why a quote goes by another plan; empty where it promises the same"
    )
    currency: str
    price_each: str | None
    net: str | None = Field(description="what a quote asks for all of it")
    unpriced: list[str] = Field(description="why there is no price; empty where there is one")
    options: list[TriedOptionAnswer] | None = Field(
        description="other ways to take it, the best first; null where they were not asked for"
    )
    left_out: int = Field(description="ways that were not tried any more when it was stopped")
    moulds: list[str] = Field(
        default_factory=list,
        description="moulds it counts on that are not there yet, in sentences",
    )
    arrivals: list[str] = Field(
        default_factory=list,
        description="when material arrives that it waits for, in sentences",
    )

    @classmethod
    def of(cls, tried: TriedOrder) -> TriedOrderAnswer:
        """Return the answer for an order that was tried."""
        zone, currency = tried.zone, tried.currency
        return cls(
            part=tried.part,
            process=tried.process,
            quantity=tried.quantity,
            starts=tried.starts,
            finish=local(tried.finish, zone),
            due=None if tried.due is None else local(tried.due, zone),
            late_min=tried.late_min,
            orders=[shift_answer(shift, zone) for shift in tried.shifts],
            kept=tried.kept,
            moved=tried.moved,
            because=tried.because,
            chance=tried.chance,
            promise=_at(tried.promise, zone),
            promise_chance=_chance(tried.promise),
            quote_promise=_at(tried.quote_promise, zone),
            quote_promise_chance=_chance(tried.quote_promise),
            quote_differs=tried.quote_differs,
            currency=currency.code,
            price_each=amount_text(currency, tried.price_each),
            net=amount_text(currency, tried.net),
            unpriced=list(tried.unpriced),
            options=None
            if tried.options is None
            else [_option(option, currency, zone) for option in tried.options],
            left_out=tried.left_out,
            moulds=list(tried.moulds),
            arrivals=list(tried.arrivals),
        )


def _option(option: TriedOption, currency: Currency, zone: str) -> TriedOptionAnswer:
    return TriedOptionAnswer(
        key=option.key,
        kind=option.kind,
        title=option.title,
        note=option.note,
        finish=None if option.finish is None else local(option.finish, zone),
        late_min=option.late_min,
        first=option.first,
        first_finish=None if option.first_finish is None else local(option.first_finish, zone),
        orders=[shift_answer(shift, zone) for shift in option.shifts],
        kept=option.kept,
        moved=option.moved,
        chance=option.chance,
        promise=_at(option.promise, zone),
        promise_chance=_chance(option.promise),
        first_promise=_at(option.first_promise, zone),
        first_promise_chance=_chance(option.first_promise),
        cost_more=amount_text(currency, option.cost_more),
        cost_words=option.cost_words,
        used_min=option.used_min,
        price_each=amount_text(currency, option.price_each),
        net=amount_text(currency, option.net),
        refused=list(option.refused),
    )


def _at(promise: ReadyBy | None, zone: str) -> datetime | None:
    return None if promise is None else local(promise.finish, zone)


def _chance(promise: ReadyBy | None) -> float | None:
    return None if promise is None else promise.chance
