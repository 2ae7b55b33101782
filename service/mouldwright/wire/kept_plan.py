"""A plan as it is kept: what is answered about it, and back to the plan itself."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from pydantic import BaseModel, Field

from mouldwright.domain.hours.opening import Window, minute_of
from mouldwright.domain.promise.finish_odds import LimitPassed, OrderOdds, PlanOdds
from mouldwright.planning.plan import (
    Member,
    Objective,
    OrderOutcome,
    Plan,
    Shortage,
    Task,
    WorkSession,
)
from mouldwright.wire.answers.odds import PlanOddsAnswer
from mouldwright.wire.answers.plan import PlanAnswer, TaskAnswer, task_answers


class KeptPlanDocument(PlanAnswer):
    """A plan with its time zone, so that it reads back to an equal plan."""

    zone: str = Field(description="IANA time zone of the shop")

    @classmethod
    def of(cls, plan: Plan) -> KeptPlanDocument:
        """Return the document of a plan."""
        return cls(zone=plan.zone, **dict(PlanAnswer.of(plan)))

    def plan(self) -> Plan:
        """Return the plan."""
        return Plan(
            now=_minute(self.now),
            zone=self.zone,
            tasks=tuple(_task(task) for task in self.tasks),
            orders=tuple(
                OrderOutcome(
                    number=order.number,
                    finish=_minute(order.finish),
                    due=None if order.due is None else _minute(order.due),
                    starts=order.starts,
                    binds=tuple(order.binds),
                )
                for order in self.orders
            ),
            objective=Objective(**dict(self.objective)),
            bound=self.bound,
            bound_name=self.bound_name,
            checked=self.checked,
            sessions=tuple(
                WorkSession(
                    session=s.session,
                    person=s.person,
                    start=_minute(s.start),
                    end=_minute(s.end),
                    gear_up_min=s.gear_up_min,
                    clean_down_min=s.clean_down_min,
                )
                for s in self.sessions
            ),
            odds=None if self.odds is None else _odds(self.odds),
            shortages=None
            if self.shortages is None
            else tuple(Shortage(**dict(each)) for each in self.shortages),
            cautions=tuple(self.cautions),
        )


class KeptTasksDocument(BaseModel):
    """Tasks by themselves, as a plan holds them."""

    tasks: list[TaskAnswer]

    @classmethod
    def of(cls, tasks: Iterable[Task], zone: str) -> KeptTasksDocument:
        """Return the document of tasks, their times in a time zone."""
        return cls(tasks=task_answers(tasks, zone))

    def values(self) -> tuple[Task, ...]:
        """Return the tasks."""
        return tuple(_task(task) for task in self.tasks)


def _minute(text: str) -> int:
    return minute_of(datetime.fromisoformat(text))


def _odds(answer: PlanOddsAnswer) -> PlanOdds:
    def at(text: str | None) -> int | None:
        return None if text is None else _minute(text)

    return PlanOdds(
        runs=answer.runs,
        seed=answer.seed,
        level=answer.level,
        limits_passed=tuple(LimitPassed(**dict(each)) for each in answer.limits_passed),
        orders=tuple(
            OrderOdds(
                number=order.number,
                planned=_minute(order.planned),
                due=at(order.due),
                promised=at(order.promised),
                promised_chance=order.promised_chance,
                p50=at(order.p50),
                p80=at(order.p80),
                p95=at(order.p95),
                chance=order.chance,
            )
            for order in answer.orders
        ),
    )


def _task(task: TaskAnswer) -> Task:
    spans: tuple[Window, ...] = tuple((_minute(a), _minute(b)) for a, b in task.spans)
    return Task(
        operation=task.operation,
        process=task.process,
        part=task.part,
        spans=spans,
        people=tuple(task.people),
        mould=task.mould,
        stations=tuple(task.stations),
        members=tuple(
            Member(order=m.order, pulls=tuple(m.pulls), parts=tuple(m.parts)) for m in task.members
        ),
        mixed_g=task.mixed_g,
    )
