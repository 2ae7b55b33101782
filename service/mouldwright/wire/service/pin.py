"""Tasks moved to try, tasks pinned, and what one plan changes beside another."""

from __future__ import annotations

from datetime import datetime

from pydantic import BaseModel, ConfigDict, Field
from pydantic.config import JsonDict

from mouldwright.wire.answers.plan import TaskAnswer
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


class FinishChange(BaseModel):
    """An order whose finish changes."""

    order: str
    before: str | None = Field(description="null where it was not in the plan before")
    after: str | None = Field(description="null where it is in the plan no more")
    late_min: int | None = Field(description="how late it then is")


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


class MovedTask(BaseModel):
    """A task that stands elsewhere."""

    before: TaskAnswer
    after: TaskAnswer
    why: str = Field(default="", description="why it moves, in words")


class OddsChange(BaseModel):
    """How likely an order's day is kept, before and after."""

    order: str
    before: float = Field(description="share of runs of the plan in which its day was kept")
    after: float
    at_risk: bool = Field(description="whether that is less than the shop promises")


class ChangesAnswer(BaseModel):
    """What a plan would change beside the one that holds; upkeep of moulds is left out."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "beside": 4,
                    "moved": [],
                    "new": [],
                    "gone": [],
                    "gone_why": [],
                    "same": 473,
                    "orders": [],
                    "because": ["cure failed on main-pressed 2"],
                    "odds": [{"order": "1005", "before": 0.92, "after": 0.61, "at_risk": True}],
                }
            ]
        }
    )

    beside: int = Field(description="version of the plan that holds")
    moved: list[MovedTask]
    new: list[TaskAnswer]
    gone: list[TaskAnswer]
    gone_why: list[str] = Field(
        default_factory=list, description="why each of them is gone, in words"
    )
    same: int = Field(description="tasks that stand as they did")
    orders: list[FinishChange]
    because: list[str] = Field(
        default_factory=list,
        description="what happened that moves tasks, in words, what moves most of them first",
    )
    odds: list[OddsChange] = Field(
        default_factory=list,
        description="of each order with a day, how likely that is kept; empty where the odds of "
        "one of the plans were not worked out",
    )
