"""Feeds in the reader's words."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.shop import Shop
from mouldwright.usecases.feeds import title_of
from mouldwright.usecases.kept_feed import Feed
from mouldwright.web.words import day_and_year
from mouldwright.wire.service.instant import in_zone


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedRow:
    """A line of the list.

    Attributes:
        gives: What it gives, and of whom.
        stands: Whether it still does, in words.
    """

    id: str
    gives: str
    label: str
    made: str
    stands: str
    holds: bool


def feed_row(shop: Shop, feed: Feed) -> FeedRow:
    """Return the line of a feed."""
    made, ended = in_zone(feed.made_at, shop.zone), in_zone(feed.revoked_at, shop.zone)
    gives = (
        "What waits for someone"
        if feed.kind == "notices"
        else f"Calendar: {title_of(shop, feed.about, feed.key).removesuffix(f', {shop.name}')}"
    )
    return FeedRow(
        id=feed.id,
        gives=gives,
        label=feed.label,
        made=day_and_year(made) if made else "",
        stands=f"withdrawn {day_and_year(ended)}" if ended else "gives",
        holds=feed.holds,
    )
