"""What the log teaches of times, yields and failures, and the taking of it into the shop."""

from __future__ import annotations

from typing import Annotated

from fastapi import Path
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Once, Planner, Viewer, new_router, replied, reply, sent
from mouldwright.api.kinds import problems
from mouldwright.domain.record.learnt_changes import LearntChange
from mouldwright.usecases.kept import Reply
from mouldwright.usecases.learning import Taking, decline_change, learning, show_again, take_change
from mouldwright.wire.answers.learnt import (
    LearntAnswer,
    LearntChangeAnswer,
    TakeAsk,
    TakenAnswer,
)

router = new_router(SHOP, "learning")
ChangeKey = Annotated[
    str,
    Path(min_length=1, max_length=400, description="of a change", examples=["time:pressed:cut"]),
]


@router.get("/learnt", response_model=LearntAnswer, operation_id="read_learnt")
def read_learnt(seat: Viewer) -> Response:
    """Return times, yields and failures by the log, and what they would change."""
    found = learning(seat.services, seat.shop)
    return sent(LearntAnswer.of(found.found, version=found.version, declined=found.declined))


@router.post(
    "/learnt/taken",
    status_code=201,
    response_model=TakenAnswer,
    operation_id="take_learnt",
    responses=problems(404, 409, 412, 422),
)
def take(seat: Planner, ask: TakeAsk, asked: Once) -> Response:
    """Take a learnt change into the shop as a new version.

    Refused where it rests on other evidence by now, or the operation was changed since.
    """

    def present(version: int, change: LearntChange) -> Reply:
        where = f"{SHOP.format(shop=seat.shop)}?version={version}"
        answer = TakenAnswer(version=version, change=LearntChangeAnswer.of(change))
        return reply(answer, headers={"Location": where})

    taking = Taking(
        key=ask.key, evidence=ask.evidence, read=ask.version, now=seat.now, by=seat.token.id
    )
    return replied(take_change(seat.services, seat.shop, taking, asked=asked, reply=present))


@router.put(
    "/learnt/declined/{change:path}",
    response_model=LearntChangeAnswer,
    operation_id="decline_learnt",
    responses=problems(404),
)
def decline(seat: Planner, change: ChangeKey) -> Response:
    """Leave a change: it is not proposed again until it rests on twice the evidence."""
    left = decline_change(seat.services, seat.shop, change, by=seat.token.label, now=seat.now)
    return sent(LearntChangeAnswer.of(left))


@router.delete(
    "/learnt/declined/{change:path}",
    status_code=204,
    operation_id="show_learnt_again",
    responses=problems(404),
)
def show(seat: Planner, change: ChangeKey) -> None:
    """Propose a declined change again."""
    show_again(seat.services, seat.shop, change)
