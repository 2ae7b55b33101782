"""Feeds of a shop: made, shown once, withdrawn."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.datastructures import FormData
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.shop import Shop
from mouldwright.usecases.feeds import choices_of, feeds_of, make_feed, withdraw_feed
from mouldwright.usecases.kept import Role
from mouldwright.usecases.kept_feed import FeedAbout, FeedKind
from mouldwright.usecases.promise_ports import PromiseWriting
from mouldwright.usecases.session import feed_path
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.doing_once import secret_once
from mouldwright.web.places import shop_path
from mouldwright.web.view_models.feeds import feed_row
from mouldwright.web.visit import InShop, Posted, Visit, text_of

router = APIRouter(prefix="/shops/{shop}/feeds")
_NOTICES = "notices"
_GROUPS = {"shop": "The shop", "person": "People", "mould": "Moulds", "station": "Stations"}


@router.get("")
def show_feeds(visit: InShop, of: str = "") -> HTMLResponse:
    """Show which feeds there are, and offer to make one."""
    shop, may = _shop(visit), visit.may(Role.PLANNER)
    rows = [feed_row(shop, each) for each in reversed(feeds_of(visit.services.units, visit.shop))]
    return visit.show(
        "feeds.html",
        title="Calendars and feeds",
        shop_name=shop.name,
        place="shop",
        may_change=may,
        here=shop_path(visit.shop, "feeds"),
        holding=[row for row in rows if row.holds] if may else [],
        ended=[row for row in rows if not row.holds] if may else [],
        groups=_choices(shop),
        chosen=of,
        once=visit.services.chance(),
    )


@router.post("")
def make(visit: InShop, form: Posted) -> HTMLResponse:
    """Make a feed and show its address, this once."""
    visit.must(Role.PLANNER)
    shop = _shop(visit)
    kind, about, key = _wanted(shop, form)

    def new_secret(unit: PromiseWriting) -> str:
        return make_feed(
            unit,
            shop,
            kind=kind,
            about=about,
            key=key,
            label=text_of(form, "label"),
            by=visit.token.id,
            now=visit.now,
            chance=visit.services.chance,
        ).secret

    secret = secret_once(visit, form, new_secret)
    base = visit.services.address(str(visit.request.base_url))
    page = visit.show(
        "secret_once.html",
        title="A feed's address",
        shop_name=shop.name,
        place="shop",
        secret=base + feed_path(secret, kind) if secret else "",
        what="feed",
        sentence=(
            "Give it to a calendar program as a calendar to subscribe to, or to a reader of news. "
            "Whoever has it reads the feed without signing in, until you withdraw it."
        ),
        back=shop_path(visit.shop, "feeds"),
        back_words="Back to calendars and feeds",
    )
    page.headers["cache-control"] = "no-store"
    return page


@router.post("/{feed}/withdraw")
def withdraw(visit: InShop, feed: str, form: Posted) -> Response:
    """Withdraw a feed for good."""
    visit.must(Role.PLANNER)
    withdraw_feed(visit.services.units, visit.shop, feed, now=visit.now)
    say = "Withdrawn: the address gives nothing now."
    return visit.go(shop_path(visit.shop, "feeds"), say=say)


def _shop(visit: Visit) -> Shop:
    return open_kept(visit.services.units, visit.services.written, visit.shop).shop


def _choices(shop: Shop) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return what can be chosen, by group: the value of an option, and its words."""
    groups: dict[str, list[tuple[str, str]]] = {}
    for about, key, title in choices_of(shop):
        groups.setdefault(_GROUPS[about], []).append((f"{about}/{key}", title))
    return [*groups.items(), ("News", [(_NOTICES, "What waits for someone")])]


def _wanted(shop: Shop, form: FormData) -> tuple[FeedKind, FeedAbout, str]:
    said = text_of(form, "of")
    if said == _NOTICES:
        return "notices", "shop", ""
    for about, key, _ in choices_of(shop):
        if said == f"{about}/{key}":
            return "calendar", about, key
    fault = Fault(
        path="of",
        value=said[:80],
        problem="there is no such feed.",
        remedy="Choose one of the list.",
    )
    raise InvalidInput([fault])
