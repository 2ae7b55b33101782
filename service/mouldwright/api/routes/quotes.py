"""Quotes: made, revised, sent, accepted, declined. Each revision stays as it was given out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Annotated

from fastapi import Path, Query
from starlette.responses import Response

from mouldwright.api.deps import (
    SHOP,
    Change,
    Known,
    Once,
    Paging,
    Planner,
    Precondition,
    Viewer,
    new_router,
    replied,
    reply,
    sent,
    tag_of,
)
from mouldwright.api.kinds import problems
from mouldwright.domain.hours.opening import local
from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.promise.revision import QuoteRevision, differences
from mouldwright.usecases import promises
from mouldwright.usecases.kept import Reply
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.orders import look_again
from mouldwright.usecases.promise_lists import list_quotes
from mouldwright.usecases.questions import check_quantity
from mouldwright.usecases.quotes import Wanted, WasRead, mark_of
from mouldwright.wire.service.order import (
    AcceptAnswer,
    AcceptedAnswer,
    BookedOrder,
    PromiseAnswer,
)
from mouldwright.wire.service.quote import (
    KeptQuoteAnswer,
    QuoteAsk,
    QuoteDifference,
    QuoteEntry,
    QuoteList,
    QuoteMoveAsk,
    QuoteReviseAsk,
    QuoteRevisionList,
    State,
    kept_quote_text,
    quote_document,
)

QuoteNumber = Annotated[
    int, Path(ge=1, le=2**31 - 1, description="number of the quote", examples=[7])
]
RevisionNumber = Annotated[int, Path(ge=1, le=2**31 - 1, examples=[1])]

router = new_router(f"{SHOP}/quotes", "quotes")


def _tag(revision: QuoteRevision) -> str:
    return tag_of(mark_of(revision))


def _as_read(change: Precondition) -> WasRead:
    return lambda revision: change.require(_tag(revision))


def _made(shop: str) -> Callable[[QuoteRevision], Reply]:
    """Return what makes the answer about a revision just made."""

    def answer(made: QuoteRevision) -> Reply:
        path = SHOP.format(shop=shop)
        where = f"{path}/quotes/{made.number}/revisions/{made.revision}"
        return reply(kept_quote_text(made), headers={"Location": where, "ETag": _tag(made)})

    return answer


@router.get("", response_model=QuoteList, operation_id="list_quotes")
def list_all(
    seat: Viewer,
    page: Paging,
    state: Annotated[State | None, Query(description="only those that stand so")] = None,
) -> Response:
    """List quotes by their newest revision, the highest number first."""
    promises.lapse_quotes(seat.services, seat.shop)
    found = list_quotes(
        seat.services.units, seat.shop, cursor=page.cursor, limit=page.limit, state=state
    )
    return sent(QuoteList(quotes=[QuoteEntry.of(q) for q in found.quotes], next=found.cursor))


@router.post(
    "",
    status_code=201,
    response_model=KeptQuoteAnswer,
    operation_id="make_quote",
    responses=problems(409),
)
def make(seat: Planner, ask: QuoteAsk, asked: Once) -> Response:
    """Work a quote out on top of what is booked, and keep it under the next number."""
    check_quantity(seat.services, ask.quantity)
    made = promises.create_quote(
        seat.services,
        seat.shop,
        Wanted(
            part=ask.part,
            process=ask.process,
            quantity=ask.quantity,
            customer=ask.customer,
            due=ask.due,
            terms=ask.terms.terms(),
            address=tuple(ask.address),
        ),
        asked=asked,
        freeze=quote_document,
        present=_made(seat.shop),
    )
    return replied(made)


@router.get("/{number}", response_model=KeptQuoteAnswer, operation_id="read_quote")
def read(seat: Viewer, number: QuoteNumber, known: Known) -> Response:
    """Return the newest revision of a quote, as it was given out."""
    found = promises.read_quote(seat.services, seat.shop, number)
    return known.or_answer(_tag(found), kept_quote_text(found))


@router.get("/{number}/revisions", response_model=QuoteRevisionList, operation_id="list_revisions")
def list_revisions(seat: Viewer, number: QuoteNumber) -> Response:
    """Return every revision of a quote, the first first."""
    promises.lapse_quotes(seat.services, seat.shop)
    with seat.services.units.read(seat.shop) as unit:
        found = unit.quotes.revisions(number)
    return sent(f'{{"revisions":[{",".join(kept_quote_text(each) for each in found)}]}}')


@router.get(
    "/{number}/revisions/{revision}",
    response_model=KeptQuoteAnswer,
    operation_id="read_revision",
)
def read_revision(
    seat: Viewer, number: QuoteNumber, revision: RevisionNumber, known: Known
) -> Response:
    """Return one revision of a quote, as it was given out."""
    found = promises.read_quote(seat.services, seat.shop, number, revision)
    return known.or_answer(_tag(found), kept_quote_text(found))


@router.get(
    "/{number}/differences", response_model=QuoteDifference, operation_id="compare_revisions"
)
def read_differences(
    seat: Viewer,
    number: QuoteNumber,
    before: Annotated[int, Query(ge=1, le=2**31 - 1, description="the earlier revision")],
    after: Annotated[int, Query(ge=1, le=2**31 - 1, description="the later one")],
) -> Response:
    """Say in words what differs between two revisions."""
    with seat.services.units.read(seat.shop) as unit:
        old, new = unit.quotes.revision(number, before), unit.quotes.revision(number, after)
    told = list(differences(old, new))
    return sent(QuoteDifference(before=before, after=after, differences=told))


@router.post(
    "/{number}/revisions",
    status_code=201,
    response_model=KeptQuoteAnswer,
    operation_id="revise_quote",
    responses=problems(409),
)
def revise(
    seat: Planner, number: QuoteNumber, ask: QuoteReviseAsk, change: Change, asked: Once
) -> Response:
    """Work a quote out anew with some of it otherwise, and keep that as a further revision."""
    check_quantity(seat.services, ask.quantity or 1)

    def changed(wanted: Wanted) -> Wanted:
        said = ask.model_dump(include={"process", "quantity", "customer", "due"}, exclude_none=True)
        changed = replace(wanted, **said)
        if ask.address is not None:
            changed = replace(changed, address=tuple(ask.address))
        return changed if ask.terms is None else replace(changed, terms=ask.terms.terms())

    made = promises.revise_quote(
        seat.services,
        seat.shop,
        number,
        changed,
        pay_for_begun=ask.pay_for_begun,
        asked=asked,
        freeze=quote_document,
        present=_made(seat.shop),
        was_read=_as_read(change),
    )
    return replied(made)


@router.post(
    "/{number}/send",
    response_model=KeptQuoteAnswer,
    operation_id="send_quote",
    responses=problems(409),
)
def send(
    seat: Planner, number: QuoteNumber, change: Change, ask: QuoteMoveAsk | None = None
) -> Response:
    """Note that a quote went to the customer."""
    revision = ask.revision if ask else None
    moved = promises.send_quote(
        seat.services, seat.shop, number, revision, was_read=_as_read(change)
    )
    return sent(kept_quote_text(moved), tag=_tag(moved))


@router.post(
    "/{number}/decline",
    response_model=KeptQuoteAnswer,
    operation_id="decline_quote",
    responses=problems(409),
)
def decline(
    seat: Planner, number: QuoteNumber, change: Change, ask: QuoteMoveAsk | None = None
) -> Response:
    """Note that the customer does not want a quote."""
    revision = ask.revision if ask else None
    moved = promises.decline_quote(
        seat.services, seat.shop, number, revision, was_read=_as_read(change)
    )
    return sent(kept_quote_text(moved), tag=_tag(moved))


@router.post(
    "/{number}/accept",
    response_model=AcceptAnswer,
    operation_id="accept_quote",
    responses=problems(409),
)
def accept(
    seat: Planner,
    number: QuoteNumber,
    change: Change,
    asked: Once,
    ask: QuoteMoveAsk | None = None,
) -> Response:
    """Book what a quote promised.

    The order is kept for good before anything is planned. Then the promise is looked at
    again, and the answer says whether it has moved since it was made.
    """
    services, shop = seat.services, seat.shop
    with services.units.read(shop) as unit:
        zone = unit.quotes.revision(number).figures.zone

    def present(booking: Booking, run: Run) -> Reply:
        answer = AcceptedAnswer(order=BookedOrder.of(booking, zone), run=run.id)
        return reply(answer, status=200)

    kept = promises.accept_quote(
        services,
        shop,
        number,
        ask.revision if ask else None,
        asked=asked,
        present=present,
        was_read=_as_read(change),
    )
    booked = AcceptedAnswer.model_validate_json(kept.body)
    looked = look_again(
        services.units,
        shop,
        number,
        written=services.written,
        now=seat.now,
        finish=services.finish,
    )
    promise = PromiseAnswer(
        expected=None if looked.expected is None else local(looked.expected, zone),
        moved=looked.moved,
        words=looked.words,
    )
    return sent(AcceptAnswer(order=booked.order, run=booked.run, promise=promise))
