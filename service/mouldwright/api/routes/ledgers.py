"""The ledgers of moulds and stock, the parts they lead to, and what orders really cost."""

from __future__ import annotations

from typing import Annotated

from fastapi import Path, Query
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Viewer, new_router, sent
from mouldwright.api.kinds import problems
from mouldwright.usecases.ledgers import by_address, cost_beside_quote, ledgers
from mouldwright.wire.answers.actual_cost import ActualCostAnswer
from mouldwright.wire.answers.mould_ledger import MouldLedgerAnswer, MouldLedgersAnswer
from mouldwright.wire.answers.stock_ledger import StockLedgerAnswer, StockLedgersAnswer
from mouldwright.wire.answers.trace import PartLine, PartsAnswer, TraceAnswer

router = new_router(SHOP, "ledgers")
Name = Annotated[str, Path(min_length=1, max_length=200)]
Asked = Annotated[str | None, Query(min_length=1, max_length=200)]


@router.get("/ledgers/moulds", response_model=MouldLedgersAnswer, operation_id="read_mould_ledgers")
def read_moulds(seat: Viewer) -> Response:
    """Return how every mould stands by the log, and what the plan leaves of it."""
    found = ledgers(seat.services, seat.shop)
    return sent(MouldLedgersAnswer.of(found.moulds(), now=found.now, zone=found.shop.zone))


@router.get(
    "/ledgers/moulds/{mould:path}",
    response_model=MouldLedgerAnswer,
    operation_id="read_mould_ledger",
)
def read_mould(seat: Viewer, mould: Name) -> Response:
    """Return how one mould stands, and all that happened to it."""
    found = ledgers(seat.services, seat.shop)
    with by_address():
        ledger, ahead = found.mould(mould)
    return sent(MouldLedgerAnswer.of(ledger, ahead, now=found.now, zone=found.shop.zone))


@router.get("/ledgers/stock", response_model=StockLedgersAnswer, operation_id="read_stock_ledgers")
def read_stock(seat: Viewer) -> Response:
    """Return how every material stands by the log, and when the plan runs out of it."""
    found = ledgers(seat.services, seat.shop)
    return sent(StockLedgersAnswer.of(found.stock(), now=found.now, zone=found.shop.zone))


@router.get(
    "/ledgers/stock/{material}", response_model=StockLedgerAnswer, operation_id="read_stock_ledger"
)
def read_material(seat: Viewer, material: Name) -> Response:
    """Return one material's lots, every line of them, and what the plan will take."""
    found = ledgers(seat.services, seat.shop)
    with by_address():
        ledger, ahead = found.material(material)
    shop = found.shop
    return sent(StockLedgerAnswer.of(shop.currency, ledger, ahead, now=found.now, zone=shop.zone))


@router.get(
    "/trace",
    response_model=PartsAnswer,
    operation_id="trace_parts",
    responses=problems(422),
)
def trace_parts(
    seat: Viewer,
    order: Asked = None,
    mould: Asked = None,
    material: Asked = None,
    lot: Asked = None,
    mix: Annotated[int | None, Query(ge=1, description="an entry that tells of the mix")] = None,
) -> Response:
    """Return the parts of an order, of a mould, of a lot or of a mix; of several, those of all."""
    found = ledgers(seat.services, seat.shop)
    parts = found.parts(order=order, mould=mould, material=material, lot=lot, mix=mix)
    return sent(PartsAnswer(parts=[PartLine.of(record) for record in parts]))


@router.get(
    "/trace/{serial}",
    response_model=TraceAnswer,
    operation_id="trace_part",
    responses=problems(422),
)
def trace_part(seat: Viewer, serial: Name) -> Response:
    """Return all that is known of one part: mould, pull, mixes, cure, tests, weight, customer."""
    records = ledgers(seat.services, seat.shop).records()
    with by_address():
        record = records.part(serial)
    return sent(TraceAnswer.of(records, record))


@router.get(
    "/orders/{number}/cost",
    response_model=ActualCostAnswer,
    operation_id="read_order_cost",
    responses=problems(409, 422),
)
def read_cost(seat: Viewer, number: Name) -> Response:
    """Return what an order really cost so far, group by group beside what it was reckoned to."""
    shop, cost = cost_beside_quote(seat.services, seat.shop, number)
    return sent(ActualCostAnswer.of(shop.currency, cost))
