"""Runs to watch, and the plans they leave."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from mouldwright.wire.answers.gains import MOULDS, MouldCountAnswer, OneMoreAnswer
from mouldwright.wire.answers.plan import TaskAnswer
from mouldwright.wire.answers.tried_order import TriedOrderAnswer
from mouldwright.wire.kept_plan import KeptPlanDocument
from mouldwright.wire.service.examples import PLAN
from mouldwright.wire.service.question import TryOrderAsk

PlanBy = Literal["order", "person", "mould", "day"]
RunStateName = Literal[
    "waiting", "running", "done", "stale", "cancelled", "impossible", "set aside"
]


class PlanAsk(BaseModel):
    """How long to look for a better plan."""

    model_config = ConfigDict(extra="forbid", json_schema_extra={"examples": [{"seconds": 10}]})

    seconds: float = Field(default=10.0, gt=0, le=600, allow_inf_nan=False)
    seed: int = Field(default=1, ge=0, le=2**31 - 1)
    publish: bool = Field(
        default=True,
        description="whether the plan holds as the run ends; else it is looked at and published",
    )
    keep: bool = Field(
        default=True,
        description="whether what stands of the plan that holds stays where it is; else all that "
        "has not begun may move",
    )


class OneMoreAsk(BaseModel):
    """How hard each plan is searched for while one more of each thing is tried."""

    model_config = ConfigDict(extra="forbid", json_schema_extra={"examples": [{"seconds": 3}]})

    seconds: float = Field(default=3.0, gt=0, le=60, allow_inf_nan=False)
    seed: int = Field(default=1, ge=0, le=2**31 - 1)


class MouldsAsk(BaseModel):
    """Which order's count of moulds is asked for."""

    model_config = ConfigDict(extra="forbid", json_schema_extra={"examples": [{"order": "1001"}]})

    order: str = Field(min_length=1, max_length=200)
    most: int | None = Field(default=None, ge=1, le=24, description="try no more than this")
    seconds: float = Field(default=3.0, gt=0, le=60, allow_inf_nan=False)
    seed: int = Field(default=1, ge=0, le=2**31 - 1)


class TryAtLengthAsk(TryOrderAsk):
    """How could we say yes to this order? Each way is planned and priced."""

    seconds: float = Field(
        default=1.5, gt=0, le=60, allow_inf_nan=False, description="each plan is searched for"
    )
    seed: int = Field(default=1, ge=0, le=2**31 - 1)


class TrailAnswer(BaseModel):
    """A better plan, or a higher bound, and when it was found; minutes from now."""

    seconds: float = Field(description="since the run began to look")
    weighted_late_min: int
    finish_min: int
    bound: int | None


class ProgressAnswer(BaseModel):
    """Where the search stands; minutes from now, of the best plan so far."""

    weighted_late_min: int
    finish_min: int
    attended_min: int
    bound: int | None
    gap: float | None
    trying: str
    tries: int
    trail: list[TrailAnswer] = Field(default=[], description="how the search came there")
    done: int = Field(default=0, description="plans made of `total`, where a question is answered")
    total: int = 0


class RunAnswer(BaseModel):
    """A run: waiting, under way, or ended one way or another."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "id": "q3Jw0bX9sTnLzE5a",
                    "state": "running",
                    "why": "quote 7 was accepted",
                    "seconds": 10.0,
                    "seed": 1,
                    "asked_at": "2027-03-01T09:10:00Z",
                    "attempts": 1,
                    "begun_at": "2027-03-01T09:10:01Z",
                    "ended_at": None,
                    "cancel_asked": False,
                    "publishes": True,
                    "progress": {
                        "weighted_late_min": 0,
                        "finish_min": 12_340,
                        "attended_min": 2_210,
                        "bound": 12_100,
                        "gap": 0.0194,
                        "trying": "smaller batches",
                        "tries": 412,
                        "trail": [
                            {
                                "seconds": 0.4,
                                "weighted_late_min": 0,
                                "finish_min": 12_980,
                                "bound": 12_100,
                            }
                        ],
                    },
                    "problems": [],
                    "plan_version": None,
                }
            ]
        }
    )

    id: str
    state: RunStateName
    why: str
    seconds: float
    seed: int
    asked_at: datetime
    attempts: int = Field(description="how often it was taken up")
    begun_at: datetime | None
    ended_at: datetime | None
    cancel_asked: bool
    publishes: bool = Field(default=True, description="whether its plan holds as it ends")
    progress: ProgressAnswer | None
    problems: list[str] = Field(description="why there is no plan")
    plan_version: int | None = Field(description="the plan it left")
    subject: str = Field(
        default="plan",
        description="`plan`, or the question it answers: `one more`, `moulds 1003`, "
        "`try 8 sensor-fin ...`",
    )


class StudyAnswer(BaseModel):
    """What a question at length was answered; one of them, all null where there is none."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "run": "q3Jw0bX9sTnLzE5a",
                    "state": "done",
                    "is_current": True,
                    "one_more": None,
                    "moulds": MOULDS,
                    "tried": None,
                }
            ]
        }
    )

    run: str
    state: RunStateName
    is_current: bool = Field(
        description="whether the shop and its orders are still as they were when it was taken up"
    )
    one_more: OneMoreAnswer | None
    moulds: MouldCountAnswer | None
    tried: TriedOrderAnswer | None = None


class RunList(BaseModel):
    """Runs, the newest first."""

    runs: list[RunAnswer]
    next: str | None = Field(description="send it as `cursor` for more; null at the end")


class TaskGroup(BaseModel):
    """Tasks that belong together: of one order, person, mould or local day."""

    key: str
    tasks: list[int] = Field(description="places in the plan's tasks, from 0, the first to begin")


class PublishedPlan(BaseModel):
    """A plan that was published; the highest version holds."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "version": 4,
                    "run": "q3Jw0bX9sTnLzE5a",
                    "made_at": "2027-03-01T09:10:12Z",
                    "shop_version": 3,
                    "is_current": True,
                    "plan": {"zone": "Europe/Lisbon", **PLAN},
                    "groups": [{"key": "1005", "tasks": [0]}],
                }
            ]
        }
    )

    version: int
    run: str
    made_at: datetime
    shop_version: int
    is_current: bool = Field(
        description="whether the shop and its orders are still as they were when it was made"
    )
    plan: KeptPlanDocument
    groups: list[TaskGroup] | None = Field(
        default=None, description="the tasks by what was asked for; null where nothing was"
    )


class PlanTasks(BaseModel):
    """Tasks of the plan that fit what was asked, the first to begin first."""

    model_config = ConfigDict(
        json_schema_extra={
            "examples": [
                {
                    "version": 4,
                    "is_current": True,
                    "zone": "Europe/Lisbon",
                    "tasks": PLAN["tasks"],
                }
            ]
        }
    )

    version: int
    is_current: bool
    zone: str
    tasks: list[TaskAnswer]
