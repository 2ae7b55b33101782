"""What routes are given: who asks, which version was read, which page is wanted.

A new router is a module in ``api/routes`` with a ``router``, named in ``api.app.ROUTERS``::

    router = new_router(f"{SHOP}/things", "things")

    @router.get("/{thing}", response_model=ThingAnswer, operation_id="read_thing")
    def read_thing(seat: Viewer, thing: str, known: Known) -> Response:
        ...
        return known.or_answer(tag, answer)

- ``seat: Viewer`` (``Bench``, ``Planner``, ``Owner``, ``Keeper``) lets in whoever's role reaches
  that far, for the shop the path names, and no other. Every route has one; a test walks over
  them all. ``seat.shop`` is the key, ``seat.services`` the ports, ``seat.now`` the time,
  ``seat.token`` who asks. For what belongs to no one shop there is ``Anyone``, and ``Keeper``
  serves both.
- ``known: Known`` reads ``If-None-Match`` and answers 304 where it fits; else with an ETag.
- ``change: Change`` reads ``If-Match`` and refuses who sends none (428) or a stale one (412).
- ``asked: Once`` reads ``Idempotency-Key`` for ``usecases.once.once``; ``replied`` sends what
  that gives back.
- ``page: Paging`` reads ``cursor`` and ``limit``.

What looks nowhere is ``async``: it runs where the request came in, and saves a thread's turn.

Bodies are wire models. A route raises the errors of the domain and of the use cases and
nothing else: ``api.faults`` answers them, in the words of ``api.kinds``. What these
dependencies can answer stands in the description by itself; name the rest with
``responses=problems(409)``. Faults in a document within the body get their pointers by
``with in_body("scenario"):``.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Awaitable, Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Header, Path, Query, Request, Security
from fastapi.security import APIKeyCookie, HTTPAuthorizationCredentials, HTTPBearer
from pydantic import BaseModel
from starlette.responses import Response

from mouldwright.api.body import json_body
from mouldwright.api.kinds import may_answer
from mouldwright.usecases.access import admit, caller
from mouldwright.usecases.audit import actor_of
from mouldwright.usecases.errors import KeyMissing, NotSignedIn, Stale, VersionMissing
from mouldwright.usecases.kept import Asked, Reply, Role, Token
from mouldwright.usecases.services import Services
from mouldwright.usecases.session import COOKIE

SHOP = "/v1/shops/{shop}"


def new_router(prefix: str, *tags: str) -> APIRouter:
    """Return a router whose bodies are JSON of characters that exist."""
    return APIRouter(prefix=prefix, tags=list(tags), dependencies=[Depends(json_body)])


def services_of(request: Request) -> Services:
    """Return what the application was made with."""
    services: Services = request.app.state.services
    return services


def acting(request: Request, token: Token) -> Services:
    """Return the services for whoever asks, whose changes are noted as theirs."""
    return services_of(request).acting(actor_of(token, request_id(request)))


def request_id(request: Request) -> str:
    """Return the id that the answer and the log of requests have too."""
    return str(getattr(request.state, "request_id", ""))


def one_try(request: Request) -> AbstractContextManager[None]:
    """Return what a secret is tried within that opens something by itself. Raises TooManyTries."""
    services = services_of(request)
    came_from = request.client.host if request.client else ""
    return services.guesses.one(came_from, services.clock())


_bearer = HTTPBearer(
    auto_error=False, scheme_name="token", description="A token, as it was shown when issued."
)
_cookie = APIKeyCookie(
    name=COOKIE, auto_error=False, scheme_name="session", description="A signed-in browser."
)


@may_answer(401)
def token_of(
    request: Request,
    bearer: Annotated[HTTPAuthorizationCredentials | None, Security(_bearer)],
    session: Annotated[str | None, Security(_cookie)],
) -> Token:
    """Return who asks: by a bearer token, else by a browser's session. Raises NotSignedIn."""
    services = services_of(request)
    secret = bearer.credentials if bearer is not None else session
    if not secret:
        raise NotSignedIn
    return caller(services.units, secret, now=services.clock())


Caller = Annotated[Token, Depends(token_of)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """Someone let in.

    Attributes:
        services: The ports.
        token: Who asks.
        shop: Key of the shop the path names; empty for what belongs to no one shop.
        now: When it was asked, zone-aware.
    """

    services: Services
    token: Token
    shop: str
    now: datetime


ShopKey = Annotated[str, Path(description="key of the shop", examples=["my-bench"])]


def _seat_in_shop(needed: Role) -> Callable[..., Awaitable[Seat]]:
    @may_answer(401, 403, 404)
    async def seat_in_shop(request: Request, token: Caller, shop: ShopKey) -> Seat:
        """Let in whoever's role reaches far enough in the shop that the path names."""
        admit(token, needed, shop=shop)
        services = acting(request, token)
        return Seat(services=services, token=token, shop=shop, now=services.clock())

    seat_in_shop.needed = needed  # type: ignore[attr-defined]
    return seat_in_shop


def _seat_in_house(needed: Role) -> Callable[..., Awaitable[Seat]]:
    statuses = (401,) if needed is Role.VIEWER else (401, 403)

    @may_answer(*statuses)
    async def seat_in_house(request: Request, token: Caller) -> Seat:
        """Let in whoever's role reaches far enough for what belongs to no one shop."""
        admit(token, needed, shop=None)
        services = acting(request, token)
        return Seat(services=services, token=token, shop="", now=services.clock())

    seat_in_house.needed = needed  # type: ignore[attr-defined]
    return seat_in_house


Viewer = Annotated[Seat, Depends(_seat_in_shop(Role.VIEWER))]
Bench = Annotated[Seat, Depends(_seat_in_shop(Role.BENCH))]
Planner = Annotated[Seat, Depends(_seat_in_shop(Role.PLANNER))]
Owner = Annotated[Seat, Depends(_seat_in_shop(Role.OWNER))]
# For what belongs to no one shop.
Anyone = Annotated[Seat, Depends(_seat_in_house(Role.VIEWER))]
Keeper = Annotated[Seat, Depends(_seat_in_house(Role.KEEPER))]


def tag_of(version: int | str) -> str:
    """Return the ETag of a version: in quotes, and strong."""
    return f'"{version}"'


def _tags(text: str) -> tuple[str, ...]:
    """Return the tags of a list, weak ones with their mark."""
    return tuple(tag.strip() for tag in text.split(",") if tag.strip())


@dataclass(frozen=True, slots=True)
class Precondition:
    """What ``If-Match`` says was read; ``tags`` is empty where any version will do."""

    tags: tuple[str, ...]

    def require(self, holds: str) -> None:
        """Let pass whoever read what holds.

        Args:
            holds: Its ETag. Compared strongly (RFC 9110, 13.1.1): a weak one never fits.

        Raises:
            Stale: if something else was read.
        """
        if self.tags and holds not in self.tags:
            raise Stale(read=self.tags[0], holds=holds)

    def version(self, holds: int) -> int:
        """Return the version that was read, given the one that holds.

        Whether a customer was erased since, which the part of a tag after the hyphen tells,
        is nothing to whoever changes an entry: none holds a name.

        Raises:
            Stale: if another was read.
        """
        if not any(re.fullmatch(rf'"{holds}(-[0-9]+)?"', tag) for tag in self.tags):
            self.require(tag_of(holds))
        return holds


@may_answer(412, 428)
async def change_of(
    if_match: Annotated[
        str | None,
        Header(
            alias="If-Match",
            max_length=400,
            description="ETag of what you read and now change; `*` for whatever holds",
            examples=['"3"'],
        ),
    ] = None,
) -> Precondition:
    """Return what was read before it is changed. Raises VersionMissing."""
    tags = _tags(if_match or "")
    if not tags:
        raise VersionMissing
    return Precondition(() if "*" in tags else tags)


Change = Annotated[Precondition, Depends(change_of)]


@dataclass(frozen=True, slots=True)
class KnownTags:
    """The ETags a caller has an answer for already."""

    tags: frozenset[str]

    def fits(self, tag: str) -> bool:
        """Return whether the caller has this one; compared weakly, as RFC 9110 has it."""
        return "*" in self.tags or tag in self.tags

    def or_answer(self, tag: str, body: BaseModel | bytes | str, **more: Any) -> Response:
        """Return 304 where the caller has it, else the answer with its ETag."""
        if self.fits(tag):
            return Response(status_code=304, headers={"ETag": tag})
        return sent(body, tag=tag, **more)


@may_answer()
async def known_tags(
    if_none_match: Annotated[
        str | None,
        Header(
            alias="If-None-Match",
            max_length=400,
            description="ETags you have an answer for; where one still holds, 304 comes back",
        ),
    ] = None,
) -> KnownTags:
    """Return what the caller has already."""
    return KnownTags(frozenset(tag.removeprefix("W/") for tag in _tags(if_none_match or "")))


Known = Annotated[KnownTags, Depends(known_tags)]


def sent(
    body: BaseModel | bytes | str,
    *,
    status: int = 200,
    tag: str | None = None,
    media_type: str = "application/json",
    headers: dict[str, str] | None = None,
) -> Response:
    """Return an answer as it goes out; a model is written once and not validated again."""
    content = body.model_dump_json(by_alias=True) if isinstance(body, BaseModel) else body
    more = {**({"ETag": tag} if tag else {}), **(headers or {})}
    return Response(content, status_code=status, media_type=media_type, headers=more)


def reply(
    body: BaseModel | str, *, status: int = 201, headers: dict[str, str] | None = None
) -> Reply:
    """Return an answer as it is kept for a request made twice."""
    text = body.model_dump_json(by_alias=True) if isinstance(body, BaseModel) else body
    return Reply(status=status, body=text, headers=headers or {})


def replied(kept: Reply) -> Response:
    """Return a kept answer as it goes out."""
    return sent(kept.body, status=kept.status, headers=dict(kept.headers))


@may_answer(400, 422)
async def asked_once(
    request: Request,
    token: Caller,
    key: Annotated[
        str | None,
        Header(
            alias="Idempotency-Key",
            description="a key of your own, new for each thing made: asked twice, made once",
            examples=["5f2b1c8e-7d0a-4a53-9c1e-2f6b0d3a9e77"],
        ),
    ] = None,
) -> Asked:
    """Return the request as it may be asked again. Raises KeyMissing."""
    # A key may come in quotes, as a structured field has it.
    plain = (key or "").removeprefix('"').removesuffix('"')
    if not 1 <= len(plain) <= 200 or not plain.isascii() or not plain.isprintable():
        raise KeyMissing
    target = f"{request.method} {request.url.path}?{request.url.query}"
    fingerprint = hashlib.sha256(target.encode() + b"\n" + await request.body()).hexdigest()
    return Asked(caller=token.id, key=plain, fingerprint=fingerprint)


Once = Annotated[Asked, Depends(asked_once)]


@dataclass(frozen=True, slots=True)
class Page:
    """Which page of a list is wanted."""

    cursor: str | None
    limit: int


@may_answer(422)
async def paging(
    cursor: Annotated[
        str | None,
        Query(max_length=200, description="where the page before said the next one begins"),
    ] = None,
    limit: Annotated[int, Query(ge=1, le=200, description="most entries of the page")] = 50,
) -> Page:
    """Return which page is wanted."""
    return Page(cursor=cursor, limit=limit)


Paging = Annotated[Page, Depends(paging)]
