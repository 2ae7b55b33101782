"""Customers' links to quotes: made, listed, withdrawn."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated

from fastapi import Path
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Once, Planner, new_router, replied, sent
from mouldwright.usecases.kept import Reply
from mouldwright.usecases.kept_link import QuoteLink
from mouldwright.usecases.once import once
from mouldwright.usecases.promise_ports import PromiseWriting
from mouldwright.usecases.quote_links import links_of, make_link, withdraw_link
from mouldwright.usecases.session import offer_path
from mouldwright.wire.service.link import LinkAnswer, LinkAsk, LinkList, MadeLinkAnswer

router = new_router(f"{SHOP}/quotes/{{number}}/links", "quotes")
QuoteNumber = Annotated[
    int, Path(ge=1, le=2**31 - 1, description="number of the quote", examples=[7])
]


def _answer(link: QuoteLink) -> LinkAnswer:
    return LinkAnswer.model_validate(asdict(link))


@router.get("", response_model=LinkList, operation_id="list_quote_links")
def list_links(seat: Planner, number: QuoteNumber) -> Response:
    """List the links to a quote, withdrawn ones too, without their secrets."""
    found = links_of(seat.services.units, seat.shop, number)
    return sent(LinkList(links=[_answer(link) for link in found]))


@router.post("", status_code=201, response_model=MadeLinkAnswer, operation_id="make_quote_link")
def make(seat: Planner, number: QuoteNumber, asked: Once, ask: LinkAsk | None = None) -> Response:
    """Make a link by which a customer sees this quote and nothing else.

    Its path is shown this once; asked again, the link comes without.
    """
    ask = ask or LinkAsk()

    def work(unit: PromiseWriting) -> Reply:
        made = make_link(
            unit,
            number,
            days=ask.days,
            may_answer=ask.may_answer,
            by=seat.token.id,
            now=seat.now,
            chance=seat.services.chance,
        )
        answer = MadeLinkAnswer(link=_answer(made.link), path=offer_path(made.secret))
        return Reply(status=201, body=answer.model_dump_json())

    kept = once(
        seat.services.units.write(seat.shop), asked, work, now=seat.now, kept=_without_secret
    )
    return replied(kept)


def _without_secret(reply: Reply) -> Reply:
    answer = MadeLinkAnswer.model_validate_json(reply.body)
    hidden = answer.model_copy(update={"path": None})
    return Reply(status=reply.status, body=hidden.model_dump_json())


@router.delete("/{link}", status_code=204, operation_id="withdraw_quote_link")
def withdraw(seat: Planner, number: QuoteNumber, link: str) -> None:
    """Withdraw a link for good; withdrawing it again changes nothing."""
    withdraw_link(seat.services.units, seat.shop, number, link, now=seat.now)
