"""Feeds: addresses at which a calendar or a reader of news looks by itself, made and withdrawn.

Whoever holds an address sees that one feed and nothing else of the shop. Its secret is shown
once and kept as its digest alone; it holds until it is withdrawn, since a calendar that goes
quiet by itself would be taken for an empty week.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from mouldwright.domain.calendar_event import CalendarEvent, KeptEvent, caught_up, shown_on
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.order import Order
from mouldwright.domain.place_titles import place_title
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.access import LONGEST_LABEL, digest
from mouldwright.usecases.booked_shop import with_orders
from mouldwright.usecases.calendar import events_of
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_feed import Feed, FeedAbout, FeedKind, ToldEvents
from mouldwright.usecases.kept_run import KeptPlan
from mouldwright.usecases.ports import Chance
from mouldwright.usecases.promise_ports import PromiseReading, PromiseUnits, PromiseWriting
from mouldwright.usecases.services import Services


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeFeed:
    """A new feed with its secret, which is nowhere kept."""

    feed: Feed
    secret: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """What a calendar shows.

    Attributes:
        title: What it is called.
        zone: IANA name of the shop's time zone.
        events: In order of their days.
    """

    title: str
    zone: str
    events: tuple[KeptEvent, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopCalendar:
    """All that the calendars of a shop are told of, as of one day.

    Attributes:
        mark: Changes whenever anything of it does.
    """

    shop: Shop
    told: ToldEvents
    day: date
    mark: str

    def of(self, about: FeedAbout, key: str) -> Calendar:
        """Return the calendar of one of them."""
        seen = [each for each in self.told.events.values() if concerns(each.event, about, key)]
        return Calendar(
            title=title_of(self.shop, about, key),
            zone=self.shop.zone,
            events=shown_on(seen, zone=self.shop.zone, day=self.day),
        )


def make_feed(
    unit: PromiseWriting,
    shop: Shop,
    *,
    kind: FeedKind,
    about: FeedAbout,
    key: str,
    label: str,
    by: str,
    now: datetime,
    chance: Chance,
) -> MadeFeed:
    """Make a feed and keep it, its secret left out; commits nothing.

    Args:
        unit: Of the feed's shop.
        shop: The same, as it holds.
        kind: What it gives.
        about: What of the shop; of notices, the whole shop alone.
        key: Key of the person or station, name of the mould or unit; empty for the shop.
        label: Whose it is, in their words; may be empty.
        by: Id of the token that makes it.
        now: Zone-aware.
        chance: Makes the secret and the id.

    Raises:
        InvalidInput: if the shop has no such person, mould or station.
    """
    check_about(shop, kind, about, key)
    secret = chance()
    feed = Feed(
        id=chance()[:16],
        shop=unit.shop,
        kind=kind,
        about=about,
        key=key,
        label=label.strip()[:LONGEST_LABEL],
        made_by=by,
        made_at=now,
    )
    unit.feeds.add(feed, digest(secret))
    return MadeFeed(feed=feed, secret=secret)


def feeds_of(units: PromiseUnits, shop: str) -> tuple[Feed, ...]:
    """Return all feeds of a shop, the oldest first, withdrawn ones too. Raises Unknown."""
    with units.read(shop) as unit:
        return unit.feeds.listed()


def withdraw_feed(units: PromiseUnits, shop: str, feed: str, *, now: datetime) -> None:
    """Withdraw a feed for good; withdrawing it again changes nothing. Raises Unknown."""
    with units.write(shop) as unit:
        unit.feeds.revoke(feed, now)
        unit.commit()


def opened_feed(units: PromiseUnits, secret: str, kind: FeedKind) -> Feed:
    """Return the feed of a secret.

    Raises:
        Unknown: if there is none of that kind, or it was withdrawn; which is not said.
    """
    with units.read_house() as unit:
        feed = unit.house.feed_by_secret(digest(secret))
    if feed is None or not feed.holds or feed.kind != kind:
        raise Unknown(kind="feed", key="")
    return feed


def shop_calendar(services: Services, shop: str) -> ShopCalendar:
    """Return what the calendars of a shop are told, which is kept where anything changed.

    Raises:
        Unknown: if there is no such shop.
        Busy: if something changed and others write for too long.
    """
    now = services.clock()
    with services.units.read(shop) as unit:
        seen = _seen(unit)
        told = unit.feeds.told()
    kept = with_orders(services.written.read(seen.document), seen.orders)
    if told.mark != seen.mark:
        told = _tell(services, seen, kept, now)
    day = local(minute_of(now), kept.zone).date()
    return ShopCalendar(
        shop=kept, told=told, day=day, mark=f"{told.version}-{seen.shop_mark}-{day.isoformat()}"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seen:
    """What calendars are told from, as it was read at one moment."""

    key: str
    document: str
    shop_mark: str
    orders: tuple[Order, ...]
    plan: Plan | None
    mark: str


def _seen(unit: PromiseReading) -> _Seen:
    version = unit.shops.now()
    try:
        kept: KeptPlan | None = unit.plans.newest()
    except Unknown:
        kept = None
    book = unit.bookings.book_version()
    return _Seen(
        key=unit.shop,
        document=version.document,
        shop_mark=version.mark,
        orders=tuple(booking.order for booking in unit.bookings.open()),
        plan=None if kept is None else kept.plan,
        mark=f"{version.version}/{book}/{0 if kept is None else kept.version}",
    )


def _tell(services: Services, seen: _Seen, shop: Shop, now: datetime) -> ToldEvents:
    """Keep what has changed since the calendars were last told."""
    fresh = events_of(seen.key, shop, seen.plan)
    with services.units.write(seen.key) as unit:
        known = unit.feeds.told()
        if known.mark == seen.mark:
            return known
        if _seen(unit).mark != seen.mark:
            # Something was published meanwhile: whoever asks next tells it.
            return known
        since = minute_of(now) if seen.plan is None else seen.plan.now
        events = caught_up(known.events, fresh, zone=shop.zone, since=since, now=now)
        told = ToldEvents(
            mark=seen.mark,
            version=known.version + (events != dict(known.events)),
            events=events,
        )
        unit.feeds.tell(told)
        unit.commit()
    return told


def plain_calendar(
    key: str, shop: Shop, plan: Plan | None, about: FeedAbout, name: str, *, now: datetime
) -> Calendar:
    """Return the calendar of a plan that nothing was told of before.

    Raises:
        InvalidInput: if the shop has no such person, mould or station.
    """
    check_about(shop, "calendar", about, name)
    since = minute_of(now) if plan is None else plan.now
    events = caught_up({}, events_of(key, shop, plan), zone=shop.zone, since=since, now=now)
    day = local(minute_of(now), shop.zone).date()
    whole = ShopCalendar(shop=shop, told=ToldEvents(events=events), day=day, mark="")
    return whole.of(about, name)


def concerns(event: CalendarEvent, about: FeedAbout, key: str) -> bool:
    """Return whether an event stands in the calendar of the shop, a person, mould or station."""
    if about == "shop" or event.for_all:
        return True
    if about == "person":
        return key in event.people
    if about == "mould":
        return key == event.mould
    return any(name == key or name.rpartition(" ")[0] == key for name in event.stations)


def title_of(shop: Shop, about: FeedAbout, key: str) -> str:
    """Return what a calendar is called."""
    if about == "shop":
        return shop.name
    if about == "person":
        return f"{shop.people[key].title if key in shop.people else key}, {shop.name}"
    return f"{place_title(shop, key)}, {shop.name}"


def choices_of(shop: Shop) -> tuple[tuple[FeedAbout, str, str], ...]:
    """Return every calendar a shop can give: what it is about, its key, and its title."""
    found: list[tuple[FeedAbout, str, str]] = [("shop", "", "Everything")]
    found += [("person", each.key, each.title) for each in shop.people.values()]
    for family in shop.moulds.values():
        names = [f"{family.key} {mould.number}" for mould in family.moulds]
        found += [("mould", name, place_title(shop, name)) for name in names]
    found += [("station", each.key, each.title) for each in shop.stations.values()]
    return tuple(found)


def check_about(shop: Shop, kind: FeedKind, about: FeedAbout, key: str) -> None:
    """Let a feed pass that the shop can give. Raises InvalidInput, naming what it has."""
    if kind == "notices" and about != "shop":
        raise _fault(
            "about", about, "notices are of the whole shop.", 'Leave it out, or write "shop".'
        )
    if about == "shop":
        if key:
            raise _fault("key", key, "the whole shop has no key here.", "Leave it out.")
        return
    known = [name for what, name, _ in choices_of(shop) if what == about]
    family = key.rpartition(" ")[0]
    # A mould that is yet to be made has a name in the plan already, and a unit one of its own.
    if key in known or (about == "mould" and family in shop.moulds):
        return
    if about == "station" and family in shop.stations:
        return
    remedy = f"Write one of {', '.join(known)}." if known else "Add one to the shop first."
    raise _fault("key", key, f"the shop has no such {about}.", remedy)


def _fault(path: str, value: str, problem: str, remedy: str) -> InvalidInput:
    return InvalidInput([Fault(path=path, value=value[:80], problem=problem, remedy=remedy)])
