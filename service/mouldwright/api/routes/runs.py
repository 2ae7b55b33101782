"""Runs: a plan asked for, watched while it is made, stopped, published."""

from __future__ import annotations

import hashlib
from collections.abc import AsyncIterator
from dataclasses import asdict
from typing import Annotated

import anyio
import anyio.to_thread
from fastapi import Depends, Header, Path
from fastapi.sse import EventSourceResponse, ServerSentEvent
from starlette.responses import Response

from mouldwright.api.deps import (
    SHOP,
    Known,
    Once,
    Paging,
    Planner,
    Seat,
    Viewer,
    new_router,
    replied,
    reply,
    sent,
    tag_of,
)
from mouldwright.api.kinds import may_answer, problems
from mouldwright.api.routes.plan import plan_tag, published
from mouldwright.usecases import promises
from mouldwright.usecases.board import changes_between
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import Reply
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.promise_lists import PlanRead, list_runs
from mouldwright.usecases.why import why_moved
from mouldwright.wire.kept_plan import KeptPlanDocument
from mouldwright.wire.service import examples
from mouldwright.wire.service.changes import ChangesAnswer
from mouldwright.wire.service.run import (
    PlanAsk,
    ProgressAnswer,
    PublishedPlan,
    RunAnswer,
    RunList,
)

LOOK_EVERY_S = 0.3
# A stream ends by then, and whoever still watches asks again; so none outlives its token by much.
LONGEST_STREAM_S = 300.0

RunId = Annotated[
    str, Path(min_length=1, max_length=80, description="id of the run", examples=["q3Jw0bX9sTn"])
]

router = new_router(f"{SHOP}/runs", "runs")


def answer_of(run: Run) -> RunAnswer:
    """Return the answer about a run."""
    return RunAnswer(
        id=run.id,
        state=run.state,
        why=run.why,
        seconds=run.seconds,
        seed=run.seed,
        asked_at=run.asked_at,
        attempts=run.attempts,
        begun_at=run.begun_at,
        ended_at=run.ended_at,
        cancel_asked=run.cancel_asked,
        publishes=run.publishes,
        progress=None if run.progress is None else ProgressAnswer(**asdict(run.progress)),
        problems=list(run.problems),
        plan_version=run.plan_version,
        subject=run.subject,
    )


def _mark(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:20]


def _read(seat: Seat, run: str) -> Run:
    with seat.services.units.read(seat.shop) as unit:
        return unit.runs.by_id(run)


@router.get("", response_model=RunList, operation_id="list_runs")
def list_all(seat: Viewer, page: Paging) -> Response:
    """List runs, the newest first."""
    found = list_runs(seat.services.units, seat.shop, cursor=page.cursor, limit=page.limit)
    return sent(RunList(runs=[answer_of(run) for run in found.runs], next=found.cursor))


@router.post(
    "",
    status_code=202,
    response_model=RunAnswer,
    operation_id="ask_for_plan",
)
def ask_for_one(seat: Planner, ask: PlanAsk, asked: Once) -> Response:
    """Ask for a plan of all that is booked; one that waits already will do."""

    def present(run: Run) -> Reply:
        where = f"{SHOP.format(shop=seat.shop)}/runs/{run.id}"
        return reply(answer_of(run), status=202, headers={"Location": where})

    kept = promises.ask_for_run(
        seat.services,
        seat.shop,
        seconds=ask.seconds,
        seed=ask.seed,
        publishes=ask.publish,
        keeps=ask.keep,
        asked=asked,
        present=present,
    )
    return replied(kept)


@router.get("/{run}", response_model=RunAnswer, operation_id="read_run")
def read(seat: Viewer, run: RunId, known: Known) -> Response:
    """Return a run as it stands."""
    text = answer_of(_read(seat, run)).model_dump_json()
    return known.or_answer(tag_of(_mark(text)), text)


@router.get(
    "/{run}/plan",
    response_model=KeptPlanDocument,
    operation_id="read_run_plan",
    responses={
        200: {
            "content": {"application/json": {"example": {"zone": "Europe/Lisbon", **examples.PLAN}}}
        }
    },
)
def read_best(seat: Viewer, run: RunId) -> Response:
    """Return the best plan of a run so far, published or not."""
    with seat.services.units.read(seat.shop) as unit:
        best = unit.runs.best(run)
    if best is None:
        raise Unknown(kind="plan of run", key=run)
    return sent(KeptPlanDocument.of(best))


@router.get("/{run}/changes", response_model=ChangesAnswer, operation_id="read_run_changes")
def read_changes(seat: Viewer, run: RunId) -> Response:
    """Return what the best plan of a run would change beside the plan that holds."""
    with seat.services.units.read(seat.shop) as unit:
        best = unit.runs.best(run)
        if best is None:
            raise Unknown(kind="plan of run", key=run)
        holds = unit.plans.newest()
    changes = changes_between(holds.plan, best)
    why = why_moved(seat.services, seat.shop, holds.plan, best)
    return sent(ChangesAnswer.of(changes, why, beside=holds.version, zone=best.zone))


@router.post("/{run}/cancel", response_model=RunAnswer, operation_id="cancel_run")
def cancel(seat: Planner, run: RunId) -> Response:
    """Ask a run to stop with the best plan so far; one that waits ends at once."""
    return sent(answer_of(promises.stop_run(seat.services, seat.shop, run)))


@router.post(
    "/{run}/publish",
    response_model=PublishedPlan,
    operation_id="publish_run",
    responses=problems(409),
)
def publish(seat: Planner, run: RunId) -> Response:
    """Let the best plan of a run hold. Refused where the shop or its orders changed since."""
    kept = promises.publish_run(seat.services, seat.shop, run)
    found = PlanRead(kept=kept, is_current=True)
    return sent(published(found), tag=plan_tag(found))


@may_answer(401, 403, 404)
def run_to_watch(seat: Viewer, run: RunId) -> Run:
    """Return the run as it stands before its stream begins. Raises Unknown."""
    return _read(seat, run)


@router.get(
    "/{run}/events",
    response_class=EventSourceResponse,
    operation_id="watch_run",
    responses={200: {"description": "`run` with a RunAnswer whenever it has changed"}},
)
async def watch(
    seat: Viewer,
    run: Annotated[Run, Depends(run_to_watch)],
    last_event_id: Annotated[
        str | None,
        Header(
            alias="Last-Event-ID",
            max_length=80,
            description="id of the last event that came; what was told is not told again",
        ),
    ] = None,
) -> AsyncIterator[ServerSentEvent]:
    """Tell of a run whenever it changes, until it has ended or the service is told to stop.

    Each event carries the whole of it, so that nothing is lost by coming late.
    """
    told = last_event_id
    until = anyio.current_time() + LONGEST_STREAM_S
    while True:
        answer = answer_of(run)
        mark = _mark(answer.model_dump_json())
        if mark != told:
            yield ServerSentEvent(data=answer, event="run", id=mark)
            told = mark
        if run.ended or anyio.current_time() > until or seat.services.stopping.is_set():
            return
        await anyio.sleep(LOOK_EVERY_S)
        run = await anyio.to_thread.run_sync(_read, seat, run.id)
