"""Signing in, who one is, and the tokens of a shop."""

from __future__ import annotations

from datetime import timedelta
from typing import Annotated

from fastapi import Query, Request
from starlette.responses import Response

from mouldwright.api.deps import (
    SHOP,
    Anyone,
    Once,
    Owner,
    new_router,
    one_try,
    replied,
    reply,
    request_id,
    sent,
    services_of,
)
from mouldwright.api.kinds import problems
from mouldwright.usecases import access
from mouldwright.usecases.kept import Reply, Role, Token
from mouldwright.usecases.once import once
from mouldwright.usecases.ports import HouseWriting, Writing
from mouldwright.usecases.session import sign_everyone_out
from mouldwright.wire.service.access import (
    IssuedAnswer,
    SignedOutAnswer,
    SignInAsk,
    TokenAnswer,
    TokenAsk,
    TokenList,
)

router = new_router("", "access")
TokensToo = Annotated[bool, Query(description="whether tokens of tablets and programs end as well")]
Overlap = Annotated[
    int, Query(ge=0, le=1_440, description="how long the old token holds on; 0 ends it at once")
]


def _answer(token: Token) -> TokenAnswer:
    return TokenAnswer(
        id=token.id,
        shop=token.shop,
        role=token.role.value,
        label=token.label,
        issued_at=token.issued_at,
        expires_at=token.expires_at,
        revoked_at=token.revoked_at,
    )


def _issued(issued: access.Issued) -> IssuedAnswer:
    return IssuedAnswer(token=_answer(issued.token), secret=issued.secret)


@router.post(
    "/v1/sign-in",
    status_code=201,
    response_model=IssuedAnswer,
    operation_id="sign_in",
    responses=problems(401, 429),
)
def sign_in(request: Request, ask: SignInAsk) -> Response:
    """Use the code of a one-time link up for a token. Its secret is shown this once."""
    services = services_of(request).acting(access.by_code(request_id(request)))
    with one_try(request):
        issued = access.sign_in(
            services.units,
            ask.code,
            days=services.limits.token_days,
            now=services.clock(),
            chance=services.chance,
        )
    return sent(_issued(issued), status=201)


@router.get("/v1/me", response_model=TokenAnswer, operation_id="who_am_i")
def who_am_i(seat: Anyone) -> Response:
    """Say whose token was sent and how far it reaches."""
    return sent(_answer(seat.token))


@router.post("/v1/me/rotate", status_code=201, response_model=IssuedAnswer, operation_id="rotate")
def rotate(seat: Anyone, asked: Once, overlap_minutes: Overlap = 0) -> Response:
    """Give a new token for the one that was sent, which ends at once or after an overlap.

    The new secret is shown this once. Where the answer was lost and the old token holds on, ask
    with another key.
    """
    services = seat.services

    def work(unit: HouseWriting) -> Reply:
        issued = access.rotate(
            unit.tokens,
            seat.token.id,
            days=services.limits.token_days,
            now=seat.now,
            chance=services.chance,
            overlap=timedelta(minutes=overlap_minutes),
        )
        return reply(_issued(issued))

    kept = once(services.units.write_house(), asked, work, now=seat.now, kept=_without_secret)
    return replied(kept)


@router.get(f"{SHOP}/tokens", response_model=TokenList, operation_id="list_tokens")
def list_tokens(seat: Owner) -> Response:
    """List the tokens of the shop, withdrawn ones too, without their secrets."""
    with seat.services.units.read(seat.shop) as unit:
        tokens = unit.tokens.listed()
    return sent(TokenList(tokens=[_answer(token) for token in tokens]))


@router.post(
    f"{SHOP}/tokens", status_code=201, response_model=IssuedAnswer, operation_id="issue_token"
)
def issue_token(seat: Owner, ask: TokenAsk, asked: Once) -> Response:
    """Issue a token. Its secret is shown this once; asked again, it comes without."""
    services = seat.services

    def work(unit: Writing) -> Reply:
        issued = access.issue(
            unit.tokens,
            shop=seat.shop,
            role=Role(ask.role),
            label=ask.label,
            days=ask.days or services.limits.token_days,
            now=seat.now,
            chance=services.chance,
        )
        address = f"/v1/shops/{seat.shop}/tokens/{issued.token.id}"
        return Reply(
            status=201, body=_issued(issued).model_dump_json(), headers={"Location": address}
        )

    kept = once(services.units.write(seat.shop), asked, work, now=seat.now, kept=_without_secret)
    return replied(kept)


def _without_secret(made: Reply) -> Reply:
    answer = IssuedAnswer.model_validate_json(made.body)
    hidden = answer.model_copy(update={"secret": None})
    return Reply(status=made.status, body=hidden.model_dump_json(), headers=made.headers)


@router.get(f"{SHOP}/tokens/{{token}}", response_model=TokenAnswer, operation_id="read_token")
def read_token(seat: Owner, token: str) -> Response:
    """Return a token without its secret."""
    with seat.services.units.read(seat.shop) as unit:
        found = unit.tokens.by_id(token)
    return sent(_answer(found))


@router.delete(f"{SHOP}/tokens/{{token}}", status_code=204, operation_id="withdraw_token")
def withdraw_token(seat: Owner, token: str) -> None:
    """Withdraw a token for good; withdrawing it again changes nothing."""
    access.revoke(seat.services.units, seat.shop, token, now=seat.now)


@router.delete(f"{SHOP}/sessions", response_model=SignedOutAnswer, operation_id="sign_everyone_out")
def end_sessions(seat: Owner, tokens_too: TokensToo = False) -> Response:
    """Sign everyone out of the shop but who asks; links to sign in by that wait lapse with it."""
    ended = sign_everyone_out(
        seat.services.units,
        seat.shop,
        tokens_too=tokens_too,
        keep=seat.token.id,
        now=seat.now,
    )
    return sent(SignedOutAnswer(browsers=ended.browsers, tokens=ended.tokens, links=ended.links))
