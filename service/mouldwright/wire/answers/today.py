"""Answer to "what does the bench need today?"."""

from __future__ import annotations

from datetime import date, datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from mouldwright.domain.notice_kind import NoticeKind

DueState = Literal["ready", "late", "close", "in time", "no date", "not planned"]


class _Told(BaseModel):
    """Filled from values of the same names."""

    model_config = ConfigDict(from_attributes=True)


class NextStep(_Told):
    """What comes after a task."""

    place: int = Field(description="in the plan's tasks, from 0")
    operation: str
    start: datetime = Field(description="when it is planned")
    by: datetime | None = Field(
        description="the last it may begin, by a greatest wait or a pot life; null without a limit"
    )
    people: list[str] = Field(description="who does it, by name")


class TaskInHand(_Told):
    """A task that goes on, or is over while its pull stands and waits."""

    place: int = Field(description="in the plan's tasks, from 0")
    operation: str
    process: str
    part: str
    what: str = Field(description="title of the part or set; empty for the upkeep of a mould")
    mould: str | None
    stations: list[str]
    where: str = Field(description="what people call its mould, or else its stations")
    orders: list[str]
    people: list[str] = Field(description="whose hands are in it, by name; none where it runs")
    start: datetime
    end: datetime
    stands: bool = Field(description="whether it is over, and its pull waits for the next step")
    then: NextStep | None


class PersonToday(_Told):
    """One person's today."""

    person: str
    name: str
    hours: list[tuple[datetime, datetime]]
    steps: int
    booked_min: int
    doing: str = Field(description="the step being done, or else the next; empty once all is done")
    doing_from: datetime | None
    until: datetime | None = Field(description="when the last step ends")


class Notice(_Told):
    """Something that waits for someone."""

    kind: NoticeKind
    key: str = Field(
        description="of what it is about: order, quote, run, material, mould, or a task's place"
    )
    text: str
    at: datetime | None = Field(description="by when it matters; null where it matters now")
    presses: bool = Field(description="whether something breaks, is late or cannot go on")


class DueOrder(_Told):
    """An order and its date."""

    number: str
    part: str
    what: str
    quantity: int
    customer: str
    due: datetime | None
    finish: datetime | None
    likely: datetime | None = Field(
        default=None,
        description="ready by then as often as the shop promises, by the runs of the plan; null "
        "where nobody worked it out",
    )
    slack_min: int | None = Field(description="minutes in hand, below zero where it is late")
    state: DueState = Field(description='"close" has less than a day in hand')


class TodayAnswer(_Told):
    """A day at the bench by the plan that holds, seen at one moment of it."""

    model_config = ConfigDict(
        from_attributes=True,
        json_schema_extra={
            "examples": [
                {
                    "now": "2027-03-02T09:10:00Z",
                    "day": "2027-03-02",
                    "zone": "Europe/Lisbon",
                    "plan_version": 4,
                    "has_plan": True,
                    "is_current": True,
                    "in_hand": [],
                    "tonight": [],
                    "closes": "2027-03-02T17:15:00Z",
                    "people": [],
                    "notices": [
                        {
                            "kind": "late",
                            "key": "1004",
                            "text": "Order 1004 is ready Fri 12 Mar, 16:40, 23 h 40 min late.",
                            "at": "2027-03-12T16:40:00Z",
                            "presses": True,
                        }
                    ],
                    "due": [],
                    "due_more": 0,
                }
            ]
        },
    )

    now: datetime
    day: date
    zone: str
    plan_version: int | None = Field(description="null where the plan is not published")
    has_plan: bool
    is_current: bool = Field(
        description="whether the plan is of the shop and its orders as they are"
    )
    in_hand: list[TaskInHand] = Field(description="what runs and what stands, by the plan")
    tonight: list[TaskInHand] = Field(description="what runs or stands as the last person goes")
    closes: datetime | None = Field(
        description="when the last person goes; null where nobody comes"
    )
    people: list[PersonToday]
    notices: list[Notice] = Field(description="what waits for someone, the most pressing first")
    due: list[DueOrder] = Field(description="the orders with the next dates")
    due_more: int = Field(description="how many orders there are besides")
