"""Figures on the service itself, for whoever looks after it."""

from __future__ import annotations

from fastapi import Request
from starlette.responses import Response

from mouldwright.api.deps import Keeper, new_router, sent
from mouldwright.api.metrics import MEDIA_TYPE, Metrics

router = new_router("/metrics", "service")


@router.get(
    "",
    operation_id="read_metrics",
    response_class=Response,
    responses={200: {"content": {MEDIA_TYPE: {"schema": {"type": "string"}}}}},
)
def read_metrics(request: Request, seat: Keeper) -> Response:
    """Return counts and times of requests, and how the runs stand, as Prometheus reads it."""
    metrics: Metrics = request.app.state.metrics
    with seat.services.units.read_house() as unit:
        work = unit.house.work(seat.now)
    text = metrics.text(work, now=seat.now)
    return sent(text, media_type=MEDIA_TYPE)
