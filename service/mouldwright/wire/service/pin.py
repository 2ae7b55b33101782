"""Tasks moved to try, and tasks pinned."""

from __future__ import annotations

from datetime import datetime

from pydantic import BaseModel, ConfigDict, Field
from pydantic.config import JsonDict

from mouldwright.wire.answers.plan import TaskAnswer
from mouldwright.wire.service.changes import FinishChange
from mouldwright.wire.service.examples import PLAN
from mouldwright.wire.service.instant import Instant

_MOVE: JsonDict = {
    "start": "2027-03-04T10:40:00+00:00",
    "mould": None,
    "people": None,
    "with_rest": True,
}


class MoveAsk(BaseModel):
    """Where a task of a published plan should stand; all else stays where it is."""

    model_config = ConfigDict(extra="forbid", json_schema_extra={"examples": [_MOVE]})

    start: Instant = Field(description="when it should begin; seconds are dropped")
    mould: str | None = Field(
        default=None, min_length=1, max_length=200, description="null leaves it on its mould"
    )
    people: list[str] | None = Field(
        default=None, min_length=1, max_length=50, description="null leaves it to who does it"
    )
    with_rest: bool = Field(
        default=False, description="whether all its pulls and parts go through after moves along"
    )


class PinAsk(MoveAsk):
    """Where a task of the plan that holds is to be kept by every plan from now on."""

    model_config = ConfigDict(
        extra="forbid", json_schema_extra={"examples": [{"plan": 4, "task": 17, **_MOVE}]}
    )

    plan: int = Field(ge=1, le=2**31 - 1, description="version of the plan that was read")
    task: int = Field(ge=0, le=2**31 - 1, description="place in the plan's tasks, from 0")


class VerdictAnswer(BaseModel):
    """What a move does; nothing is kept."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "moved": PLAN["tasks"],
                    "breaks": ["It would begin before now."],
                    "orders": [
                        {
                            "order": "1005",
                            "before": "2027-03-02T12:06:00+00:00",
                            "after": "2027-03-02T13:06:00+00:00",
                            "late_min": 0,
                        }
                    ],
                }
            ]
        }
    )

    moved: list[TaskAnswer] = Field(description="as they would stand, the one named first")
    breaks: list[str] = Field(description="every rule it breaks, in words; empty where it fits")
    orders: list[FinishChange]


class PinAnswer(BaseModel):
    """What is pinned together."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "id": "q3Jw0bX9sTnLzE5a",
                    "tasks": PLAN["tasks"],
                    "pinned_at": "2027-03-01T09:10:00Z",
                    "by": "the planner's phone",
                }
            ]
        }
    )

    id: str
    tasks: list[TaskAnswer] = Field(description="as they must stand")
    pinned_at: datetime
    by: str = Field(description="label of the token that pinned it")


class PinList(BaseModel):
    """Every pin, the first pinned first."""

    pins: list[PinAnswer]
