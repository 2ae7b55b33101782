"""Answers to "what would one more buy?" and "how many moulds does this order want?"."""

from __future__ import annotations

from datetime import datetime
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from mouldwright.domain.hours.opening import local
from mouldwright.domain.money import Currency
from mouldwright.planning.gains import CountTried, Gain, LateOrder, MouldCount, OneMore, OrderShift
from mouldwright.wire.answers.money import amount_text

ChangeKindName = Literal["mould", "hour", "day", "station", "cure"]

_GAIN: dict[str, Any] = {
    "key": "mould stabiliser-pressed",
    "kind": "mould",
    "title": "one more mould stabiliser-pressed",
    "note": "counted as at hand from now on: add what it takes to come",
    "late_gain_min": 0,
    "finish_gain_min": 1440,
    "sooner_min": 1440,
    "orders": [],
    "cost": "46.00",
    "cost_words": "the mould",
    "used_min": 0,
}
_COUNT: dict[str, Any] = {
    "moulds": 4,
    "new": 0,
    "finish": "2027-03-11T17:39:00+00:00",
    "late_min": 0,
    "others_late_min": 0,
    "tooling": "0.00",
    "work": "864.23",
    "cost": "864.23",
}


MOULDS: dict[str, Any] = {
    "order": "1001",
    "family": "stabiliser-pressed",
    "currency": "EUR",
    "at_hand": 5,
    "by": "2027-03-19T13:00:00+00:00",
    "counts": [_COUNT],
    "advised": 4,
    "meets": True,
    "stops": "more did not bring it sooner",
}


class OrderShiftAnswer(BaseModel):
    """An order's finish before a change and after."""

    number: str
    before: datetime
    after: datetime
    late_before_min: int
    late_after_min: int


class GainAnswer(BaseModel):
    """What one change would buy."""

    model_config = ConfigDict(json_schema_extra={"examples": [_GAIN]})

    key: str
    kind: ChangeKindName
    title: str
    note: str
    late_gain_min: int = Field(description="weighted minutes less of lateness")
    finish_gain_min: int = Field(description="minutes by which the last order is sooner")
    sooner_min: int = Field(description="sum over orders of weight x minutes sooner")
    orders: list[OrderShiftAnswer]
    cost: str | None = Field(description="null where it is not known")
    cost_words: str
    used_min: int = Field(description="minutes of hands in hours closed before")


class LateOptionAnswer(BaseModel):
    """One way to have a late order sooner."""

    title: str
    sooner_min: int
    late_min: int = Field(description="how late it still is")
    cost: str | None
    used_min: int


class LateOrderAnswer(BaseModel):
    """An order that is late, why, and what could be done."""

    number: str
    late_min: int
    because: str
    options: list[LateOptionAnswer]


class OneMoreAnswer(BaseModel):
    """What one more of each thing would buy, the most first."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "now": "2027-03-01T08:30:00+00:00",
                    "finish": "2027-03-15T13:33:00+00:00",
                    "late_min": 0,
                    "currency": "EUR",
                    "gains": [_GAIN],
                    "late": [],
                    "tried": 1,
                    "changes": 1,
                }
            ]
        }
    )

    now: datetime
    finish: datetime = Field(description="of the last order as things are")
    late_min: int = Field(description="weighted minutes late as things are")
    currency: str
    gains: list[GainAnswer]
    late: list[LateOrderAnswer]
    tried: int = Field(description="changes planned; fewer than `changes` where it was stopped")
    changes: int

    @classmethod
    def of(cls, found: OneMore, currency: Currency) -> OneMoreAnswer:
        """Return the answer for what was found."""
        zone = found.zone
        return cls(
            now=local(found.now, zone),
            finish=local(found.finish, zone),
            late_min=found.late_min,
            currency=currency.code,
            gains=[_gain(gain, currency, zone) for gain in found.gains],
            late=[_late(order, currency) for order in found.late],
            tried=found.tried,
            changes=found.changes,
        )


class CountAnswer(BaseModel):
    """What one count of moulds comes to."""

    moulds: int
    new: int
    finish: datetime
    late_min: int
    others_late_min: int = Field(description="weighted")
    tooling: str | None = Field(description="what the new ones cost; null where not known")
    work: str = Field(description="what hands cost in the whole plan, whichever the count")
    cost: str | None


class MouldCountAnswer(BaseModel):
    """How many moulds an order wants, and the curve behind it."""

    model_config = ConfigDict(json_schema_extra={"examples": [MOULDS]})

    order: str
    family: str
    currency: str
    at_hand: int
    by: datetime | None
    counts: list[CountAnswer]
    advised: int
    meets: bool | None = Field(description="whether it meets the date; null without one")
    stops: str = Field(description="why no more were tried")

    @classmethod
    def of(cls, found: MouldCount, currency: Currency) -> MouldCountAnswer:
        """Return the answer for what was found."""
        return cls(
            order=found.order,
            family=found.family,
            currency=currency.code,
            at_hand=found.at_hand,
            by=None if found.by is None else local(found.by, found.zone),
            counts=[_count(tried, currency, found.zone) for tried in found.counts],
            advised=found.advised,
            meets=found.meets,
            stops=found.stops,
        )


def shift_answer(shift: OrderShift, zone: str) -> OrderShiftAnswer:
    """Return the answer for an order's finish before a change and after."""
    return OrderShiftAnswer(
        number=shift.number,
        before=local(shift.before, zone),
        after=local(shift.after, zone),
        late_before_min=shift.late_before_min,
        late_after_min=shift.late_after_min,
    )


def _gain(gain: Gain, currency: Currency, zone: str) -> GainAnswer:
    return GainAnswer(
        key=gain.key,
        kind=gain.kind,
        title=gain.title,
        note=gain.note,
        late_gain_min=gain.late_gain_min,
        finish_gain_min=gain.finish_gain_min,
        sooner_min=gain.sooner_min,
        orders=[shift_answer(shift, zone) for shift in gain.orders],
        cost=amount_text(currency, gain.cost),
        cost_words=gain.cost_words,
        used_min=gain.used_min,
    )


def _late(order: LateOrder, currency: Currency) -> LateOrderAnswer:
    return LateOrderAnswer(
        number=order.number,
        late_min=order.late_min,
        because=order.because,
        options=[
            LateOptionAnswer(
                title=option.title,
                sooner_min=option.sooner_min,
                late_min=option.late_min,
                cost=amount_text(currency, option.cost),
                used_min=option.used_min,
            )
            for option in order.options
        ],
    )


def _count(tried: CountTried, currency: Currency, zone: str) -> CountAnswer:
    return CountAnswer(
        moulds=tried.moulds,
        new=tried.new,
        finish=local(tried.finish, zone),
        late_min=tried.late_min,
        others_late_min=tried.others_late_min,
        tooling=amount_text(currency, tried.tooling),
        work=amount_text(currency, tried.work) or "",
        cost=amount_text(currency, tried.cost),
    )
