"""Answers about a day at the bench: what to do in the order of the hands, and handing over."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, PlainSerializer

from mouldwright.wire.answers.today import Notice, TaskInHand

Grams = Annotated[Decimal, PlainSerializer(float, return_type=float)]


class _Told(BaseModel):
    """Filled from values of the same names."""

    model_config = ConfigDict(from_attributes=True)


class WeighedAnswer(_Told):
    """Something to put on the scale."""

    title: str
    grams: Grams = Field(description="of all of it; of each pull, for what is not mixed")
    pulls: int = Field(description="for how many pulls; 0 for a component of a mix")


class MixAnswer(_Told):
    """A mix card."""

    total_g: Grams
    components: list[WeighedAnswer]
    besides: list[WeighedAnswer] = Field(description="what else to weigh for its pulls")
    moulds: list[str]
    use_by: datetime | None


class BenchTaskAnswer(_Told):
    """A task of the day."""

    place: int = Field(description="in the plan's tasks, from 0")
    operation: str
    process: str
    what: str
    where: str
    room: str
    orders: list[str]
    people: list[str]
    start: datetime
    end: datetime
    begin_by: datetime | None = Field(
        description="the last it may begin, by a greatest wait or a pot life; null without a limit"
    )
    runs_until: datetime | None = Field(
        description="when what it starts is over, where that runs on after the last one goes"
    )
    mix: MixAnswer | None


class BenchPartAnswer(_Told):
    """Like work of the day."""

    hand: Literal["demould", "condition", "mix", "load", "oven", "other", "before going home"]
    title: str
    tasks: list[BenchTaskAnswer]


class BenchDayAnswer(_Told):
    """A day at the bench by the plan that holds, in the order of the hands."""

    day: date
    opens: datetime | None = Field(description="when the first comes; null where nobody does")
    closes: datetime | None = Field(description="when the last goes")
    overnight: list[TaskInHand] = Field(description="what runs or stands as the first comes")
    parts: list[BenchPartAnswer]
    cautions: list[str]


class ComingAnswer(_Told):
    """Someone who comes next."""

    person: str
    name: str
    at: datetime


class HandoverAnswer(_Told):
    """How the bench is handed over now."""

    now: datetime
    has_plan: bool
    curing: list[TaskInHand]
    attended: list[TaskInHand]
    take_up: list[TaskInHand] = Field(
        description="what must be taken up next, the earliest limit first"
    )
    at_risk: list[Notice]
    coming: list[ComingAnswer]


class StageAnswer(_Told):
    """How far an order is, as its customer is told."""

    model_config = ConfigDict(
        from_attributes=True,
        json_schema_extra={
            "examples": [{"stage": "being made", "next_day": "2027-03-12", "is_later": False}]
        },
    )

    stage: Literal["waiting", "being made", "being finished", "ready", "called off"]
    next_day: date | None = Field(
        description="when its work begins, else when it is ready; null where nothing says when"
    )
    is_later: bool = Field(description="whether it is ready later than the day that was promised")
