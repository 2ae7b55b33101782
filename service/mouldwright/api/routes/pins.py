"""Tasks moved to try, and tasks pinned: what every plan from now on keeps to the minute."""

from __future__ import annotations

from typing import Annotated

from fastapi import Path
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Once, Planner, Viewer, new_router, replied, reply, sent
from mouldwright.api.kinds import problems
from mouldwright.domain.hours.opening import minute_of
from mouldwright.usecases import board
from mouldwright.usecases.board import Move
from mouldwright.usecases.kept import Reply
from mouldwright.usecases.kept_pin import Pin
from mouldwright.usecases.promise_lists import read_plan
from mouldwright.wire.answers.plan import task_answers
from mouldwright.wire.service.changes import FinishChange
from mouldwright.wire.service.pin import (
    MoveAsk,
    PinAnswer,
    PinAsk,
    PinList,
    VerdictAnswer,
)

Version = Annotated[int, Path(ge=1, le=2**31 - 1, description="of a published plan", examples=[4])]
Place = Annotated[
    int, Path(ge=0, le=2**31 - 1, description="place in the plan's tasks, from 0", examples=[17])
]
PinId = Annotated[str, Path(min_length=1, max_length=80, examples=["q3Jw0bX9sTnLzE5a"])]

router = new_router(SHOP, "plan")


def _move(task: int, ask: MoveAsk) -> Move:
    return Move(
        task=task,
        start=minute_of(ask.start.replace(second=0, microsecond=0)),
        mould=ask.mould,
        people=None if ask.people is None else tuple(ask.people),
        with_rest=ask.with_rest,
    )


def _answer(pin: Pin, zone: str) -> PinAnswer:
    return PinAnswer(
        id=pin.id, tasks=task_answers(pin.tasks, zone), pinned_at=pin.pinned_at, by=pin.by
    )


@router.post(
    "/plan/{version}/tasks/{task}/verdict",
    response_model=VerdictAnswer,
    operation_id="judge_move",
)
def judge(seat: Viewer, version: Version, task: Place, ask: MoveAsk) -> Response:
    """Say what moving a task would do, all others left where they are; nothing is kept."""
    zone = read_plan(seat.services.units, seat.shop, version).kept.plan.zone
    verdict = board.judge(seat.services, seat.shop, version, _move(task, ask))
    return sent(
        VerdictAnswer(
            moved=task_answers(verdict.moved, zone),
            breaks=list(verdict.breaks),
            orders=[FinishChange.of(before, after, zone) for before, after in verdict.orders],
        )
    )


@router.get("/pins", response_model=PinList, operation_id="list_pins")
def list_all(seat: Viewer) -> Response:
    """List what is pinned, the first pinned first."""
    pins = board.pins_of(seat.services, seat.shop)
    zone = _zone(seat)
    return sent(PinList(pins=[_answer(pin, zone) for pin in pins]))


@router.post(
    "/pins",
    status_code=201,
    response_model=PinAnswer,
    operation_id="pin_task",
    responses=problems(404, 409, 412),
)
def pin(seat: Planner, ask: PinAsk, asked: Once) -> Response:
    """Pin a task where it should stand, in place of any pin of the same work.

    Refused where no plan can keep it there, and where another plan holds than was read.
    """
    zone = _zone(seat)

    def present(pinned: Pin) -> Reply:
        where = f"{SHOP.format(shop=seat.shop)}/pins"
        return reply(_answer(pinned, zone), headers={"Location": where})

    kept = board.pin_once(
        seat.services,
        seat.shop,
        ask.plan,
        _move(ask.task, ask),
        by=seat.token.label,
        asked=asked,
        present=present,
    )
    return replied(kept)


@router.delete("/pins/{pin}", status_code=204, operation_id="unpin_task", responses=problems(404))
def unpin(seat: Planner, pin: PinId) -> None:
    """Take a pin out; the next plan may put its tasks elsewhere."""
    board.unpin(seat.services, seat.shop, pin)


def _zone(seat: Viewer) -> str:
    with seat.services.units.read(seat.shop) as unit:
        document = unit.shops.now().document
    return seat.services.written.read(document).zone
