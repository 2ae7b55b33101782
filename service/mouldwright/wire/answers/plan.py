"""Answer to "who does what, when, and when is the last one ready?"."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import asdict
from datetime import date
from functools import partial
from typing import Literal

from pydantic import BaseModel, Field

from mouldwright.domain.hours.opening import local
from mouldwright.planning.plan import Plan, Task
from mouldwright.wire.answers.odds import PlanOddsAnswer


class MemberAnswer(BaseModel):
    """What of one order takes part in a task; ids are unique within the order."""

    order: str
    pulls: list[int]
    parts: list[int]


class TaskAnswer(BaseModel):
    """One operation done once."""

    operation: str
    process: str
    part: str
    start: str
    end: str
    spans: list[tuple[str, str]] = Field(description="more than one only where the work pauses")
    people: list[str]
    mould: str | None
    stations: list[str] = Field(description="units held during the task")
    members: list[MemberAnswer]
    mixed_g: float | None


class SessionAnswer(BaseModel):
    """One person's run of work that is geared up for and cleaned down after."""

    session: str
    person: str
    start: str = Field(description="gearing up begins")
    end: str = Field(description="cleaning down ends")
    gear_up_min: int
    clean_down_min: int


class OrderAnswer(BaseModel):
    """When an order finishes."""

    number: str
    finish: str
    due: str | None
    late_min: int
    starts: int
    binds: list[str] = Field(description="what fixes the finish, last cause first")


class ShortageAnswer(BaseModel):
    """A material that an order waits for."""

    order: str
    material: str
    unit: Literal["g", "m"]
    needed: float = Field(description="drawn by the order")
    short: float = Field(description="of that not on the shelf")
    there_on: date = Field(description="local day from which all of it is there")
    bought: float = Field(description="what no delivery brings, to be bought now")
    supplier: str | None = Field(description="who delivers that soonest; null where none is bought")


class ObjectiveAnswer(BaseModel):
    """What the plan makes small, in this order; minutes from now."""

    weighted_late_min: int
    finish_min: int
    attended_min: int


class PlanAnswer(BaseModel):
    """Every task of every open order, with a proven bound."""

    now: str
    tasks: list[TaskAnswer]
    orders: list[OrderAnswer]
    objective: ObjectiveAnswer
    bound: int | None = Field(description="of the first part of the objective that is not zero")
    bound_name: str | None
    gap: float | None
    checked: bool
    sessions: list[SessionAnswer] = Field(default=[], description="by start")
    odds: PlanOddsAnswer | None = Field(
        default=None, description="how likely each order is finished by when; null unless asked"
    )
    shortages: list[ShortageAnswer] | None = Field(
        default=None,
        description="materials that orders wait for, empty where none is short; null where the "
        "shop takes materials as there",
    )
    cautions: list[str] = Field(
        default=[], description="what the dates rest on and may not hold, in sentences"
    )

    @classmethod
    def of(cls, plan: Plan) -> PlanAnswer:
        """Return the answer for a plan."""
        at = partial(_time, plan.zone)
        return cls(
            now=at(plan.now),
            tasks=task_answers(plan.tasks, plan.zone),
            orders=[
                OrderAnswer(
                    number=order.number,
                    finish=at(order.finish),
                    due=None if order.due is None else at(order.due),
                    late_min=order.late_min,
                    starts=order.starts,
                    binds=list(order.binds),
                )
                for order in plan.orders
            ],
            objective=ObjectiveAnswer(
                weighted_late_min=plan.objective.weighted_late_min,
                finish_min=plan.objective.finish_min,
                attended_min=plan.objective.attended_min,
            ),
            bound=plan.bound,
            bound_name=plan.bound_name,
            gap=plan.gap,
            checked=plan.checked,
            sessions=[
                SessionAnswer(
                    session=s.session,
                    person=s.person,
                    start=at(s.start),
                    end=at(s.end),
                    gear_up_min=s.gear_up_min,
                    clean_down_min=s.clean_down_min,
                )
                for s in plan.sessions
            ],
            odds=None if plan.odds is None else PlanOddsAnswer.of(plan.odds, plan.zone),
            shortages=None
            if plan.shortages is None
            else [ShortageAnswer(**asdict(each)) for each in plan.shortages],
            cautions=list(plan.cautions),
        )


def task_answers(tasks: Iterable[Task], zone: str) -> list[TaskAnswer]:
    """Return the answers for tasks, their times in a time zone."""
    at = partial(_time, zone)
    return [_task(task, at) for task in tasks]


def _time(zone: str, minute: int) -> str:
    return local(minute, zone).isoformat()


def _task(task: Task, at: Callable[[int], str]) -> TaskAnswer:
    return TaskAnswer(
        operation=task.operation,
        process=task.process,
        part=task.part,
        start=at(task.start),
        end=at(task.end),
        spans=[(at(start), at(end)) for start, end in task.spans],
        people=list(task.people),
        mould=task.mould,
        stations=list(task.stations),
        members=[
            MemberAnswer(order=m.order, pulls=list(m.pulls), parts=list(m.parts))
            for m in task.members
        ],
        mixed_g=task.mixed_g,
    )
