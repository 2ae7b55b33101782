"""A quote as it was given out, with the shop as it was then: what a document is made from."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.promise.revision import QuoteRevision
from mouldwright.domain.shop import Shop
from mouldwright.usecases import promises
from mouldwright.usecases.services import Services
from mouldwright.usecases.shelf import open_kept


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenOut:
    """A revision and the shop that made it."""

    shop: Shop
    revision: QuoteRevision


def given_out(services: Services, shop: str, number: int, revision: int | None = None) -> GivenOut:
    """Return a revision of a quote, the newest where none is named, and the shop of its day.

    Raises:
        Unknown: if there is no such shop, quote or revision.
    """
    promises.lapse_quotes(services, shop)
    with services.units.read(shop) as unit:
        found = unit.quotes.revision(number, revision)
    return GivenOut(shop=shop_then(services, shop, found), revision=found)


def shop_then(services: Services, shop: str, revision: QuoteRevision) -> Shop:
    """Return the shop as it was when a revision was made."""
    version = revision.inputs.shop_version
    return open_kept(services.units, services.written, shop, version=version).shop
