"""What if we said yes? One more order in a sandbox; nothing is kept."""

from __future__ import annotations

from starlette.responses import Response

from mouldwright.api.deps import SHOP, Viewer, new_router, sent
from mouldwright.api.kinds import problems
from mouldwright.usecases.try_order import try_order_of
from mouldwright.wire.answers.tried_order import TriedOrderAnswer
from mouldwright.wire.service.question import TryOrderAsk

router = new_router(SHOP, "questions")


@router.post(
    "/try-order",
    response_model=TriedOrderAnswer,
    operation_id="try_order",
    responses=problems(409, 422),
)
def try_order(seat: Viewer, ask: TryOrderAsk) -> Response:
    """Say when one more order would be ready and which promises would move."""
    tried = try_order_of(
        seat.services,
        seat.shop,
        part=ask.part,
        process=ask.process,
        quantity=ask.quantity,
        by=ask.by,
        weight=ask.weight,
    )
    return sent(TriedOrderAnswer.of(tried))
