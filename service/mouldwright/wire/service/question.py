"""What may be asked without keeping anything: compare, bend, rate, price and buy."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from mouldwright.domain.standing import Aim
from mouldwright.wire.service.terms import TermsAsk

LARGEST_QUANTITY = 100_000
FinishBy = Literal["planned", "by_rate"]
BestOf = Aim

_FINISH = (
    "how the date is found: by planning it on top of all that is booked, or quickly, by the rate "
    "alone, as if nothing else were booked"
)


class CompareAsk(BaseModel):
    """Which process is right for so many of a part?"""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [{"part": "stabiliser", "quantity": 12, "by": "2027-04-16"}]
        },
    )

    part: str = Field(min_length=1, max_length=200, description="key of a part")
    quantity: int = Field(ge=1, le=LARGEST_QUANTITY, description="good pieces wanted")
    by: str | None = Field(
        default=None,
        max_length=40,
        description="when they are wanted: a date, or a date and time, local to the shop where "
        "it has no offset",
    )
    finish: FinishBy = Field(default="planned", description=_FINISH)
    odds: bool = Field(default=False, description="whether to say what each may cost")


class WhatChangesAsk(BaseModel):
    """At which value of each number would another process be the best?"""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={"examples": [{"part": "sensor-fin", "quantity": 16}]},
    )

    part: str = Field(min_length=1, max_length=200, description="key of a part")
    quantity: int = Field(ge=1, le=LARGEST_QUANTITY, description="good pieces wanted")
    aim: BestOf = Field(default="recommended", description="what it is the best of")
    by: str | None = Field(
        default=None,
        max_length=40,
        description="when they are wanted: a date, or a date and time; dates are then by the rate "
        "alone",
    )


class PriceAsk(BaseModel):
    """What would so many cost, and when are they ready?"""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [{"part": "stabiliser", "process": "pressed", "quantity": 12}]
        },
    )

    part: str = Field(min_length=1, max_length=200, description="key of a part or of a set")
    process: str | None = Field(
        default=None, max_length=200, description="key of a process; null for a set"
    )
    quantity: int = Field(ge=1, le=LARGEST_QUANTITY, description="good pieces wanted")
    finish: FinishBy = Field(default="planned", description=_FINISH)
    odds: bool = Field(default=False, description="whether to say what the order may cost")
    by: str | None = Field(default=None, max_length=40, description="when it is wanted")
    terms: TermsAsk = Field(
        default_factory=TermsAsk, description="what is agreed beside part and quantity"
    )


class TryOrderAsk(BaseModel):
    """What if we said yes to this order?"""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [
                {"part": "sensor-fin", "process": "cast-fin", "quantity": 8, "by": "2027-03-19"}
            ]
        },
    )

    part: str = Field(min_length=1, max_length=200, description="key of a part or of a set")
    process: str | None = Field(
        default=None, max_length=200, description="key of a process; null for a set"
    )
    quantity: int = Field(ge=1, le=LARGEST_QUANTITY, description="good pieces wanted")
    by: str | None = Field(default=None, max_length=40, description="when it is wanted")
    weight: int = Field(default=1, ge=1, le=1_000, description="how much its lateness counts")


class DeflectionAsk(BaseModel):
    """How far does a part bend, made by a process?"""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={"examples": [{"part": "stabiliser", "process": "pressed"}]},
    )

    part: str = Field(min_length=1, max_length=200, description="key of a part")
    process: str = Field(min_length=1, max_length=200, description="key of a process")


class ChargeAsk(BaseModel):
    """What is weighed for so many pulls?"""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [{"part": "stabiliser", "process": "pressed", "pulls": 3, "weighed_g": 104}]
        },
    )

    part: str = Field(min_length=1, max_length=200, description="key of a part")
    process: str = Field(min_length=1, max_length=200, description="key of a process")
    pulls: int = Field(default=1, ge=1, le=1000, description="loaded at once")
    weighed_g: float | None = Field(
        default=None, gt=0, le=1e7, description="grams of a finished part, to be judged"
    )


class SampleAsk(BaseModel):
    """How many parts of a lot are to be tested?"""

    model_config = ConfigDict(extra="forbid", json_schema_extra={"examples": [{"lot": 24}]})

    lot: int | None = Field(
        default=None, ge=1, le=LARGEST_QUANTITY, description="parts in it; null for endless"
    )
    bad_share: float = Field(
        default=0.1, gt=0, lt=1, description="share of bad parts that must not pass unseen"
    )
    confidence: float = Field(default=0.95, gt=0, lt=1, description="that it does not")
    may_fail: int = Field(
        default=0, ge=0, le=100, description="of those tested; worked out where good_share is given"
    )
    good_share: float | None = Field(
        default=None, ge=0, lt=1, description="share of bad parts with which a lot must still pass"
    )
    good_passes: float = Field(
        default=0.95, gt=0, lt=1, description="chance that a lot so good passes; with good_share"
    )


class RateAsk(BaseModel):
    """How many a day, and what holds it back?"""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={"examples": [{"part": "stabiliser", "process": "pressed", "moulds": 3}]},
    )

    part: str = Field(min_length=1, max_length=200, description="key of a part")
    process: str = Field(min_length=1, max_length=200, description="key of a process")
    moulds: int | None = Field(
        default=None,
        ge=1,
        le=1000,
        description="as if there were so many; null for those there are",
    )


class BuyAsk(BaseModel):
    """What must be bought?"""

    model_config = ConfigDict(
        extra="forbid",
        json_schema_extra={
            "examples": [{"part": "stabiliser", "process": "pressed", "quantity": 24}]
        },
    )

    part: str | None = Field(
        default=None,
        max_length=200,
        description="buy for so many of this part or set, on top of the open orders; null buys "
        "for the open orders",
    )
    process: str | None = Field(default=None, max_length=200, description="key of a process")
    quantity: int = Field(
        default=1, ge=1, le=LARGEST_QUANTITY, description="good pieces wanted of that part"
    )
    by: str | None = Field(
        default=None, max_length=40, description="a date, local to the shop, it must be there by"
    )
