"""Quotes in a list, and the links to one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from mouldwright.domain.promise.revision import QuoteSummary
from mouldwright.domain.shop import Shop
from mouldwright.usecases.kept_link import QuoteLink
from mouldwright.web.view_models.quote import local_at, title_of, way_of
from mouldwright.web.words import QUOTE_STATES, amount, at_minute, day, moment


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteRow:
    """A quote in the list."""

    number: int
    title: str
    made: str
    customer: str
    net: str
    ready: str
    until: str
    state: str
    is_over: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkRow:
    """A link for the customer."""

    id: str
    made: str
    until: str
    may_answer: bool
    stands: str
    holds: bool


def quote_rows(shop: Shop, found: tuple[QuoteSummary, ...]) -> tuple[QuoteRow, ...]:
    """Return the rows of a list of quotes."""
    return tuple(
        QuoteRow(
            number=quote.number,
            title=f"{quote.quantity:,} × {title_of(shop, quote.part)}",
            made=way_of(shop, quote.process),
            customer=quote.customer or "–",
            net=amount(quote.currency, quote.net),
            ready="–" if quote.finish is None else day(at_minute(quote.finish, quote.zone)),
            until=day(quote.valid_until),
            state=QUOTE_STATES[quote.state],
            is_over=quote.state in ("declined", "lapsed", "superseded"),
        )
        for quote in found
    )


def link_rows(links: tuple[QuoteLink, ...], *, zone: str, now: datetime) -> tuple[LinkRow, ...]:
    """Return the links to a quote, the newest first."""
    rows = []
    for link in reversed(links):
        stands = "open"
        if link.revoked_at is not None:
            stands = "withdrawn"
        elif not link.holds(now):
            stands = "lapsed"
        if link.answer is not None and link.answered_at is not None:
            stands += f", {link.answer} {moment(local_at(link.answered_at, zone))}"
        rows.append(
            LinkRow(
                id=link.id,
                made=moment(local_at(link.made_at, zone)),
                until=moment(local_at(link.expires_at, zone)),
                may_answer=link.may_answer,
                stands=stands,
                holds=link.holds(now),
            )
        )
    return tuple(rows)
