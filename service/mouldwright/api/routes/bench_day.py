"""A day at the bench in the order of the hands, handing over, and how far an order is."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import Path, Query
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Viewer, new_router, sent
from mouldwright.usecases.handover import handover
from mouldwright.usecases.stage import kept_stage
from mouldwright.usecases.tomorrow import kept_bench_day
from mouldwright.usecases.tomorrow_told import bench_day_told
from mouldwright.wire.answers.bench_day import BenchDayAnswer, HandoverAnswer, StageAnswer

router = new_router(SHOP, "plan")


@router.get("/tomorrow", response_model=BenchDayAnswer, operation_id="read_tomorrow")
def read_tomorrow(
    seat: Viewer,
    day: Annotated[
        date | None, Query(description="left out, the next day after today with work")
    ] = None,
) -> Response:
    """Return a day in the order of the hands, what is started before going home last."""
    read = kept_bench_day(seat.services, seat.shop, day)
    told = bench_day_told(read.shop, read.plan, read.found)
    return sent(BenchDayAnswer.model_validate(told))


@router.get("/handover", response_model=HandoverAnswer, operation_id="read_handover")
def read_handover(seat: Viewer) -> Response:
    """Return what cures, what must be taken up by when, what is at risk and who comes next."""
    _, _, found = handover(seat.services, seat.shop)
    return sent(HandoverAnswer.model_validate(found))


@router.get("/orders/{number}/stage", response_model=StageAnswer, operation_id="read_order_stage")
def read_stage(
    seat: Viewer,
    number: Annotated[str, Path(min_length=1, max_length=80, examples=["Q7"])],
) -> Response:
    """Return how far an order is, as its customer is told."""
    return sent(StageAnswer.model_validate(kept_stage(seat.services, seat.shop, number)))
