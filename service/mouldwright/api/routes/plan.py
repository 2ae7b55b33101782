"""The published plan: whole, by what one looks for, or only the tasks that fit."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import Path, Query
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Known, KnownTags, Viewer, new_router, sent, tag_of
from mouldwright.usecases.plan_views import Sight, groups_of, tasks_seen
from mouldwright.usecases.promise_lists import PlanRead, read_plan
from mouldwright.usecases.session_costs import sessions_of_plan
from mouldwright.usecases.why import use_of_everything, what_changed, why_ready
from mouldwright.wire.answers.explanation import ExplanationAnswer, ResourcesAnswer
from mouldwright.wire.answers.plan import task_answers
from mouldwright.wire.answers.sessions import SessionCostsAnswer
from mouldwright.wire.kept_plan import KeptPlanDocument
from mouldwright.wire.service.changes import ChangesAnswer
from mouldwright.wire.service.run import PlanBy, PlanTasks, PublishedPlan, TaskGroup

Name = Annotated[str | None, Query(min_length=1, max_length=200)]
Version = Annotated[
    int | None, Query(ge=1, le=2**31 - 1, description="of that plan; without, the one that holds")
]
By = Annotated[PlanBy | None, Query(description="tell which tasks belong together, and for what")]

router = new_router(f"{SHOP}/plan", "plan")


def published(found: PlanRead, by: PlanBy | None = None) -> PublishedPlan:
    """Return the answer for a plan."""
    kept = found.kept
    groups = None
    if by is not None:
        groups = [
            TaskGroup(key=key, tasks=list(places))
            for key, places in groups_of(kept.plan, by).items()
        ]
    return PublishedPlan(
        version=kept.version,
        run=kept.run,
        made_at=kept.made_at,
        shop_version=kept.basis.shop_version,
        is_current=found.is_current,
        plan=KeptPlanDocument.of(kept.plan),
        groups=groups,
    )


def plan_tag(found: PlanRead) -> str:
    """Return the ETag of a plan: it changes when the plan is no longer current, too."""
    return tag_of(f"{found.kept.version}-{'current' if found.is_current else 'past'}")


def _answer(known: KnownTags, found: PlanRead, by: PlanBy | None) -> Response:
    tag = plan_tag(found)
    if known.fits(tag):
        return known.or_answer(tag, "")
    return sent(published(found, by), tag=tag)


@router.get("", response_model=PublishedPlan, operation_id="read_plan")
def read_newest(seat: Viewer, known: Known, by: By = None) -> Response:
    """Return the plan that holds."""
    return _answer(known, read_plan(seat.services.units, seat.shop), by)


@router.get("/tasks", response_model=PlanTasks, operation_id="read_plan_tasks")
def read_tasks(
    seat: Viewer,
    order: Name = None,
    person: Name = None,
    mould: Name = None,
    day: Annotated[date | None, Query(description="a local day some of the task lies in")] = None,
) -> Response:
    """Return the tasks of the plan that holds which fit all that is named."""
    found = read_plan(seat.services.units, seat.shop)
    plan = found.kept.plan
    seen = tasks_seen(plan, Sight(order=order, person=person, mould=mould, day=day))
    tasks = task_answers(seen, plan.zone)
    answer = PlanTasks(
        version=found.kept.version, is_current=found.is_current, zone=plan.zone, tasks=tasks
    )
    return sent(answer, tag=plan_tag(found))


@router.get("/orders/{order}/why", response_model=ExplanationAnswer, operation_id="explain_order")
def explain(
    seat: Viewer,
    order: Annotated[str, Path(min_length=1, max_length=200, examples=["1005"])],
) -> Response:
    """Return what fixes an order's date in the plan that holds, from its finish back."""
    found = why_ready(seat.services, seat.shop, order)
    return sent(ExplanationAnswer.of(found.explanation, found.plan))


@router.get("/resources", response_model=ResourcesAnswer, operation_id="read_plan_resources")
def read_resources(seat: Viewer) -> Response:
    """Return what every person, mould and station does in the plan that holds, and idles for."""
    return sent(ResourcesAnswer.of(use_of_everything(seat.services, seat.shop)))


@router.get("/sessions", response_model=SessionCostsAnswer, operation_id="read_plan_sessions")
def read_sessions(seat: Viewer) -> Response:
    """Return what going in and coming out costs in the plan that holds, and as reckoned without."""
    shop, costs = sessions_of_plan(seat.services, seat.shop)
    return sent(SessionCostsAnswer.of(costs, shop.currency))


@router.get("/changes", response_model=ChangesAnswer, operation_id="read_plan_changes")
def read_changes(seat: Viewer, version: Version = None) -> Response:
    """Return what a published plan changed beside the one before it, why, and for which dates."""
    found = what_changed(seat.services, seat.shop, version)
    zone = found.plan.zone
    return sent(ChangesAnswer.of(found.changes, found.moves, beside=found.beside, zone=zone))


@router.get("/{version}", response_model=PublishedPlan, operation_id="read_plan_version")
def read_version(
    seat: Viewer,
    version: Annotated[int, Path(ge=1, le=2**31 - 1, examples=[4])],
    known: Known,
    by: By = None,
) -> Response:
    """Return a plan as it was published."""
    return _answer(known, read_plan(seat.services.units, seat.shop, version), by)
