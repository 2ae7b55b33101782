"""Questions at length: what one more would buy, how many moulds an order wants, how to say yes."""

from __future__ import annotations

from typing import Annotated

from fastapi import Path
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Once, Planner, Seat, Viewer, new_router, replied, reply, sent
from mouldwright.api.kinds import problems
from mouldwright.api.routes.runs import answer_of
from mouldwright.usecases import studies
from mouldwright.usecases.kept import Reply
from mouldwright.usecases.kept_run import Run
from mouldwright.wire.answers.gains import MouldCountAnswer, OneMoreAnswer
from mouldwright.wire.answers.tried_order import TriedOrderAnswer
from mouldwright.wire.service.run import (
    MouldsAsk,
    OneMoreAsk,
    RunAnswer,
    StudyAnswer,
    TryAtLengthAsk,
)

router = new_router(f"{SHOP}/runs", "runs")


def _ask(seat: Seat, question: studies.Question, asked: Once) -> Response:
    def present(run: Run) -> Reply:
        where = f"{SHOP.format(shop=seat.shop)}/runs/{run.id}"
        return reply(answer_of(run), status=202, headers={"Location": where})

    kept = studies.ask_once(seat.services, seat.shop, question, asked=asked, present=present)
    return replied(kept)


@router.post("/one-more", status_code=202, response_model=RunAnswer, operation_id="ask_one_more")
def ask_one_more(seat: Planner, ask: OneMoreAsk, asked: Once) -> Response:
    """Ask what one more mould, hour, day or machine, or a shorter cure, would buy."""
    question = studies.one_more_question(
        seat.services, seat.shop, seconds=ask.seconds, seed=ask.seed
    )
    return _ask(seat, question, asked)


@router.post("/moulds", status_code=202, response_model=RunAnswer, operation_id="ask_moulds")
def ask_moulds(seat: Planner, ask: MouldsAsk, asked: Once) -> Response:
    """Ask how many moulds an open order wants."""
    question = studies.moulds_question(
        seat.services, seat.shop, ask.order, most=ask.most, seconds=ask.seconds, seed=ask.seed
    )
    return _ask(seat, question, asked)


@router.post("/try-order", status_code=202, response_model=RunAnswer, operation_id="ask_try_order")
def ask_try_order(seat: Planner, ask: TryAtLengthAsk, asked: Once) -> Response:
    """Ask how one more order could be taken: each way planned and priced."""
    question = studies.try_question(
        seat.services,
        seat.shop,
        part=ask.part,
        process=ask.process,
        quantity=ask.quantity,
        by=ask.by,
        weight=ask.weight,
        seconds=ask.seconds,
        seed=ask.seed,
    )
    return _ask(seat, question, asked)


@router.get(
    "/{run}/answer",
    response_model=StudyAnswer,
    operation_id="read_run_answer",
    responses=problems(409),
)
def read_answer(
    seat: Viewer,
    run: Annotated[str, Path(min_length=1, max_length=80, examples=["q3Jw0bX9sTn"])],
) -> Response:
    """Return what a question was answered; nothing of it while it is still worked on."""
    found = studies.read_answer(seat.services, seat.shop, run)
    one_more = moulds = tried = None
    if found.answer is not None:
        if found.run.subject == studies.ONE_MORE:
            one_more = OneMoreAnswer.model_validate_json(found.answer)
        elif found.run.subject.startswith(f"{studies.TRY} "):
            tried = TriedOrderAnswer.model_validate_json(found.answer)
        else:
            moulds = MouldCountAnswer.model_validate_json(found.answer)
    return sent(
        StudyAnswer(
            run=found.run.id,
            state=found.run.state,
            is_current=found.is_current,
            one_more=one_more,
            moulds=moulds,
            tried=tried,
        )
    )
