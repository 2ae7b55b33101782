"""Feeds: made, listed, withdrawn, and what their addresses give to whoever has them."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from fastapi import Request
from starlette.responses import Response

from mouldwright.api.deps import (
    SHOP,
    Known,
    Once,
    Planner,
    new_router,
    one_try,
    replied,
    sent,
    services_of,
    tag_of,
)
from mouldwright.api.kinds import problems
from mouldwright.documents.calendar_file import MEDIA_TYPE, calendar_file
from mouldwright.documents.notices_file import MEDIA_TYPE as NEWS
from mouldwright.documents.notices_file import notices_file
from mouldwright.usecases.access import digest
from mouldwright.usecases.feeds import (
    feeds_of,
    make_feed,
    opened_feed,
    shop_calendar,
    withdraw_feed,
)
from mouldwright.usecases.kept import Reply
from mouldwright.usecases.kept_feed import Feed
from mouldwright.usecases.once import once
from mouldwright.usecases.promise_ports import PromiseWriting
from mouldwright.usecases.session import FEEDS, feed_path
from mouldwright.usecases.shelf import open_kept
from mouldwright.usecases.today import today
from mouldwright.wire.service.feed import FeedAnswer, FeedAsk, FeedList, MadeFeedAnswer

router = new_router(f"{SHOP}/feeds", "feeds")
# Whoever has an address needs no token: a calendar program can send none.
given = new_router(FEEDS, "feeds")
ROUTERS = (router, given)


def _answer(feed: Feed) -> FeedAnswer:
    return FeedAnswer.model_validate(asdict(feed))


@router.get("", response_model=FeedList, operation_id="list_feeds")
def list_feeds(seat: Planner) -> Response:
    """List the feeds of the shop, withdrawn ones too, without their secrets."""
    found = feeds_of(seat.services.units, seat.shop)
    return sent(FeedList(feeds=[_answer(each) for each in found]))


@router.post(
    "",
    status_code=201,
    response_model=MadeFeedAnswer,
    operation_id="make_feed",
    responses=problems(422),
)
def make(seat: Planner, ask: FeedAsk, asked: Once) -> Response:
    """Make a feed: an address that gives the plan as a calendar, or what waits for someone.

    It opens to whoever has it, until it is withdrawn. Its path is shown this once; asked
    again, the feed comes without.
    """
    shop = open_kept(seat.services.units, seat.services.written, seat.shop).shop

    def work(unit: PromiseWriting) -> Reply:
        made = make_feed(
            unit,
            shop,
            kind=ask.kind,
            about=ask.about,
            key=ask.key,
            label=ask.label,
            by=seat.token.id,
            now=seat.now,
            chance=seat.services.chance,
        )
        path = feed_path(made.secret, made.feed.kind)
        answer = MadeFeedAnswer(feed=_answer(made.feed), path=path)
        return Reply(status=201, body=answer.model_dump_json())

    kept = once(
        seat.services.units.write(seat.shop), asked, work, now=seat.now, kept=_without_secret
    )
    return replied(kept)


def _without_secret(reply: Reply) -> Reply:
    answer = MadeFeedAnswer.model_validate_json(reply.body)
    hidden = answer.model_copy(update={"path": None})
    return Reply(status=reply.status, body=hidden.model_dump_json())


@router.delete("/{feed}", status_code=204, operation_id="withdraw_feed")
def withdraw(seat: Planner, feed: str) -> None:
    """Withdraw a feed for good; withdrawing it again changes nothing."""
    withdraw_feed(seat.services.units, seat.shop, feed, now=seat.now)


def _file(media_type: str) -> dict[int | str, dict[str, Any]]:
    plain = media_type.partition(";")[0]
    return {200: {"content": {plain: {"schema": {"type": "string"}}}}, **problems(404, 429)}


@given.get(
    "/{secret}/calendar.ics",
    operation_id="read_calendar",
    response_class=Response,
    responses=_file(MEDIA_TYPE),
)
def read_calendar(request: Request, secret: str, known: Known) -> Response:
    """Return a calendar (RFC 5545) to whoever has its address; no token is asked.

    An entry keeps its UID when it is moved, and its SEQUENCE is raised; what was called off
    says so for two weeks.
    """
    services = services_of(request)
    with one_try(request):
        feed = opened_feed(services.units, secret, "calendar")
    found = shop_calendar(services, feed.shop)
    tag = tag_of(f"{feed.id}-{found.mark}")
    if known.fits(tag):
        return known.or_answer(tag, "")
    made = calendar_file(found.of(feed.about, feed.key))
    return sent(made, tag=tag, media_type=MEDIA_TYPE)


@given.get(
    "/{secret}/notices.atom",
    operation_id="read_notices",
    response_class=Response,
    responses=_file(NEWS),
)
def read_notices(request: Request, secret: str, known: Known) -> Response:
    """Return what waits for someone today (RFC 4287) to whoever has its address."""
    services = services_of(request)
    with one_try(request):
        feed = opened_feed(services.units, secret, "notices")
    shop, found = today(services, feed.shop)
    made = notices_file(feed.shop, shop, found, services.address(str(request.base_url)))
    return known.or_answer(tag_of(digest(made.decode())[:32]), made, media_type=NEWS)
