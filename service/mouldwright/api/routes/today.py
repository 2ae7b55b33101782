"""Today at the bench."""

from __future__ import annotations

from starlette.responses import Response

from mouldwright.api.deps import SHOP, Viewer, new_router, sent
from mouldwright.usecases.today import today
from mouldwright.usecases.today_told import told
from mouldwright.wire.answers.today import TodayAnswer

router = new_router(f"{SHOP}/today", "plan")


@router.get("", response_model=TodayAnswer, operation_id="read_today")
def read_today(seat: Viewer) -> Response:
    """Return what is in hand, each person's work, what waits for someone and what is due next."""
    shop, found = today(seat.services, seat.shop)
    return sent(TodayAnswer.model_validate(told(shop, found)))
