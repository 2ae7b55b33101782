"""Whether the service and its store are there. Open to anyone who may speak to it at all."""

from __future__ import annotations

from fastapi import Request
from starlette.responses import Response

from mouldwright import __version__
from mouldwright.api.deps import new_router, sent, services_of
from mouldwright.api.faults import problem_response
from mouldwright.api.kinds import KINDS
from mouldwright.wire.service.health import HealthAnswer

router = new_router("/v1/health", "service")


@router.get("", response_model=HealthAnswer, operation_id="health")
def health(request: Request) -> Response:
    """Say whether the service runs and its store answers."""
    try:
        services_of(request).alive()
    except Exception:  # whatever keeps the store from answering, that is the answer
        kind = KINDS["store-away"]
        return problem_response(kind, kind.meaning)
    return sent(HealthAnswer(status="ok", version=__version__))
