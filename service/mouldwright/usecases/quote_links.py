"""A customer's link to one quote: made by the bench, opened and answered by the customer.

Whoever holds its secret sees that quote as it was sent and nothing else of the shop. The
secret is shown once and kept as its digest alone.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime, timedelta

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.promise.revision import QuoteRevision
from mouldwright.domain.record.audit_entry import Actor
from mouldwright.usecases import orders, quotes
from mouldwright.usecases.access import digest
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import Asked, Reply
from mouldwright.usecases.kept_link import CustomersAnswer, QuoteLink
from mouldwright.usecases.once import once
from mouldwright.usecases.ports import Chance
from mouldwright.usecases.promise_ports import PromiseUnits, PromiseWriting
from mouldwright.usecases.promises import lapse_quotes
from mouldwright.usecases.runs import ask_for_plan
from mouldwright.usecases.services import Services

LINK_DAYS, MOST_LINK_DAYS = 30, 365
# A draft was not given out, and one superseded is no longer meant.
_GIVEN_OUT = ("sent", "accepted", "declined", "lapsed")


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeLink:
    """A new link with its secret, which is nowhere kept."""

    link: QuoteLink
    secret: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """What the holder of a link sees of the quote.

    Attributes:
        shown: The newest revision that was given out; None where there is none now.
        booking: The order it became, None where it became none.
        is_open: Whether it can be answered by this link now.
    """

    link: QuoteLink
    shown: QuoteRevision | None
    booking: Booking | None
    is_open: bool


def make_link(
    unit: PromiseWriting,
    quote: int,
    *,
    days: int | None,
    may_answer: bool,
    by: str,
    now: datetime,
    chance: Chance,
) -> MadeLink:
    """Make a link to a quote and keep it, its secret left out; commits nothing.

    Args:
        unit: Of the quote's shop.
        quote: Its number.
        days: How long the link holds, 1 to 365; None for 30.
        may_answer: Whether whoever holds it may accept or decline.
        by: Id of the token that makes it.
        now: Zone-aware.
        chance: Makes the secret and the id.

    Raises:
        Unknown: if there is no such quote.
        InvalidInput: if the days are none.
    """
    days = LINK_DAYS if days is None else days
    if not 1 <= days <= MOST_LINK_DAYS:
        raise InvalidInput(
            [
                Fault(
                    path="days",
                    value=str(days),
                    problem="a link holds for some days.",
                    remedy=f"Give 1 to {MOST_LINK_DAYS}.",
                )
            ]
        )
    unit.quotes.revision(quote)
    secret = chance()
    link = QuoteLink(
        id=chance()[:16],
        shop=unit.shop,
        quote=quote,
        may_answer=may_answer,
        made_by=by,
        made_at=now,
        expires_at=now + timedelta(days=days),
    )
    unit.links.add(link, digest(secret))
    return MadeLink(link=link, secret=secret)


def links_of(units: PromiseUnits, shop: str, quote: int) -> tuple[QuoteLink, ...]:
    """Return all links to a quote, the oldest first. Raises Unknown."""
    with units.read(shop) as unit:
        unit.quotes.revision(quote)
        return unit.links.listed(quote)


def withdraw_link(units: PromiseUnits, shop: str, quote: int, link: str, *, now: datetime) -> None:
    """Withdraw a link for good; withdrawing it again changes nothing. Raises Unknown."""
    with units.write(shop) as unit:
        unit.links.revoke(quote, link, now)
        unit.commit()


def opened_link(units: PromiseUnits, secret: str, *, now: datetime) -> QuoteLink:
    """Return the link of a secret.

    Raises:
        Unknown: if there is none, or it has lapsed or was withdrawn; which is not said.
    """
    with units.read_house() as unit:
        link = unit.house.link_by_secret(digest(secret))
    if link is None or not link.holds(now):
        raise Unknown(kind="link", key="")
    return link


def by_link(link: QuoteLink, request: str) -> Actor:
    """Return the holder of a link, of whom nothing more is known."""
    return Actor(token=f"link {link.id}", label="a customer, by a link", request=request)


def offer_of(services: Services, link: QuoteLink) -> Offer:
    """Return what the holder of a link sees."""
    lapse_quotes(services, link.shop)
    with services.units.read(link.shop) as unit:
        revisions = unit.quotes.revisions(link.quote)
        booking = unit.bookings.by_quote(link.quote)
    shown = next((each for each in reversed(revisions) if each.state in _GIVEN_OUT), None)
    is_open = link.may_answer and shown is not None and shown.state == "sent"
    return Offer(link=link, shown=shown, booking=booking, is_open=is_open)


def answer_by_link(
    services: Services, link: QuoteLink, revision: int, answer: CustomersAnswer
) -> None:
    """Accept or decline a revision for whoever holds a link.

    Answered twice, it is done once. What is accepted is booked for good, with a plan asked
    for; then the promise is looked at again, and what is found stands with the order.

    Args:
        services: The ports.
        link: As it was opened.
        revision: The revision its holder saw.
        answer: Theirs.

    Raises:
        Unknown: if the link holds no more, or was never meant to answer.
        Conflict: if that revision is not with the customer, or no longer stands.
    """
    now = services.clock()
    done = False

    def work(unit: PromiseWriting) -> Reply:
        nonlocal done
        # It may have been withdrawn since it was opened.
        held = unit.links.by_id(link.quote, link.id)
        if not held.holds(now) or not held.may_answer:
            raise Unknown(kind="link", key="")
        if answer == "accepted":
            orders.accept(unit, link.quote, revision=revision, now=now)
            why = f"quote {link.quote} was accepted"
            ask_for_plan(unit, why=why, now=now, chance=services.chance)
        else:
            quotes.decline(unit, link.quote, revision=revision, now=now)
        unit.links.note_answer(link.quote, link.id, answer, now)
        done = True
        # Where it leads holds the secret, which no kept reply may.
        return Reply(status=303, body="")

    said = f"{link.quote} {revision} {answer}"
    asked = Asked(
        caller=f"link {link.id}",
        key=said,
        fingerprint=hashlib.sha256(said.encode()).hexdigest(),
    )
    once(services.units.write(link.shop), asked, work, now=now)
    if done and answer == "accepted":
        orders.look_again(
            services.units,
            link.shop,
            link.quote,
            written=services.written,
            now=now,
            finish=services.finish,
        )
