"""Questions: compare processes, price, deflection, rate, what to buy. Nothing is kept of them."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Query
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Viewer, new_router, sent
from mouldwright.api.kinds import problems
from mouldwright.domain.record.charge_sheet import weighed
from mouldwright.domain.record.sample import operating_curve
from mouldwright.usecases import questions
from mouldwright.usecases.buying import Wanted
from mouldwright.wire.answers.bench_tests import BenchTestsAnswer
from mouldwright.wire.answers.buying import BuyListAnswer
from mouldwright.wire.answers.charge import ChargeAnswer, SampleAnswer
from mouldwright.wire.answers.comparison import ComparisonAnswer
from mouldwright.wire.answers.deflection import DeflectionAnswer
from mouldwright.wire.answers.hour import HourAnswer
from mouldwright.wire.answers.quote import QuoteAnswer
from mouldwright.wire.answers.rate import RateAnswer
from mouldwright.wire.answers.switching import WhatChangesAnswer
from mouldwright.wire.service import examples
from mouldwright.wire.service.question import (
    BuyAsk,
    ChargeAsk,
    CompareAsk,
    DeflectionAsk,
    PriceAsk,
    RateAsk,
    SampleAsk,
    WhatChangesAsk,
)

router = new_router(SHOP, "questions")
OneProcess = Annotated[
    str | None, Query(max_length=200, description="key of one process; all of them if left out")
]


def _shown(example: dict[str, Any], *statuses: int) -> dict[int | str, dict[str, Any]]:
    """Return what is said of an answer: an example of it, and how it may end otherwise."""
    return {
        200: {"content": {"application/json": {"example": example}}},
        **problems(422, *statuses),
    }


@router.post(
    "/compare",
    response_model=ComparisonAnswer,
    operation_id="compare",
    responses=_shown(examples.COMPARISON),
)
def compare(seat: Viewer, ask: CompareAsk) -> Response:
    """Set every process for a part side by side, on top of what is booked."""
    found = questions.compare(
        seat.services,
        seat.shop,
        ask.part,
        ask.quantity,
        by=ask.by,
        by_rate=ask.finish == "by_rate",
        with_odds=ask.odds,
    )
    return sent(ComparisonAnswer.of(found.shop, found.comparison))


@router.post(
    "/what-changes",
    response_model=WhatChangesAnswer,
    operation_id="what_changes",
    responses=problems(422),
)
def what_changes(seat: Viewer, ask: WhatChangesAsk) -> Response:
    """Say at which value of each number another process would be the best, nearest first."""
    found = questions.what_changes(
        seat.services, seat.shop, ask.part, ask.quantity, aim=ask.aim, by=ask.by
    )
    return sent(WhatChangesAnswer.of(found.shop, found.found))


@router.post(
    "/price",
    response_model=QuoteAnswer,
    operation_id="price",
    responses=_shown(examples.QUOTE, 409),
)
def price(seat: Viewer, ask: PriceAsk) -> Response:
    """Price a part or a set as a quote would, without keeping one."""
    found = questions.price(
        seat.services,
        seat.shop,
        ask.part,
        ask.process,
        ask.quantity,
        by_rate=ask.finish == "by_rate",
        with_odds=ask.odds,
        terms=ask.terms.terms(),
        by=ask.by,
    )
    return sent(QuoteAnswer.of(found.shop, found.quote))


@router.post(
    "/deflection",
    response_model=DeflectionAnswer,
    operation_id="deflection",
    responses=_shown(examples.DEFLECTION),
)
def deflection(seat: Viewer, ask: DeflectionAsk) -> Response:
    """Say how far a part bends when a process makes it, and what it weighs."""
    judged = questions.deflection(seat.services, seat.shop, ask.part, ask.process)
    return sent(DeflectionAnswer.of(judged))


@router.post(
    "/rate",
    response_model=RateAnswer,
    operation_id="rate",
    responses=_shown(examples.RATE, 409),
)
def rate(seat: Viewer, ask: RateAsk) -> Response:
    """Say how many parts a day a process makes, and what holds it back."""
    found = questions.rate(seat.services, seat.shop, ask.part, ask.process, moulds=ask.moulds)
    return sent(RateAnswer.of(ask.part, ask.process, found))


@router.get(
    "/hour",
    response_model=HourAnswer,
    operation_id="read_hour",
    responses=problems(422),
)
def read_hour(seat: Viewer) -> Response:
    """Say what an hour of hands costs, step by step, and what it is sold at."""
    return sent(HourAnswer.of(*questions.hour(seat.services, seat.shop)))


@router.get(
    "/stiffness",
    response_model=BenchTestsAnswer,
    operation_id="read_stiffness",
    responses=problems(422),
)
def read_stiffness(seat: Viewer, process: OneProcess = None) -> Response:
    """Say what the bench tests of each process show, and how much stiffness is counted on."""
    return sent(BenchTestsAnswer.of(questions.stiffness(seat.services, seat.shop, process)))


@router.post(
    "/buy-list",
    response_model=BuyListAnswer,
    operation_id="buy_list",
    responses=_shown(examples.BUY_LIST, 409),
)
def buy_list(seat: Viewer, ask: BuyAsk) -> Response:
    """Say which packs to buy, and from whom, so that the work costs least in material."""
    beside = None
    if ask.part is not None:
        beside = Wanted(part=ask.part, process=ask.process, quantity=ask.quantity)
    found = questions.to_buy(seat.services, seat.shop, by=ask.by, beside=beside)
    return sent(
        BuyListAnswer.of(
            found.shop.currency,
            found.found,
            today=found.today,
            by=found.by,
            arrives=found.arrives,
            days=found.days,
            orders=found.orders,
        )
    )


@router.post(
    "/charge",
    response_model=ChargeAnswer,
    operation_id="charge",
    responses=problems(409, 422),
)
def charge(seat: Viewer, ask: ChargeAsk) -> Response:
    """Say what to weigh for so many pulls, and what a finished part that was weighed says."""
    sheet = questions.weights(seat.services, seat.shop, ask.part, ask.process, ask.pulls)
    on_scale = None if ask.weighed_g is None else weighed(sheet, ask.weighed_g)
    return sent(ChargeAnswer.of(sheet, on_scale))


@router.post(
    "/sample",
    response_model=SampleAnswer,
    operation_id="sample",
    responses=problems(422),
)
def sample(_seat: Viewer, ask: SampleAsk) -> Response:
    """Say how many parts of a lot to test, so that a bad one is found out."""
    plan = questions.sample(
        lot=ask.lot,
        bad_share=ask.bad_share,
        confidence=ask.confidence,
        may_fail=ask.may_fail,
        good_share=ask.good_share,
        good_passes=ask.good_passes,
    )
    return sent(SampleAnswer.of(plan, operating_curve(plan)))
