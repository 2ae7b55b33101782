"""Finding a quote, an order, a mould or anything of the bench by its number or name."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from starlette.responses import Response

from mouldwright.domain.place_titles import family_title, place_title
from mouldwright.domain.shop import Shop
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.shelf import open_kept
from mouldwright.web.places import shop_path
from mouldwright.web.visit import InShop, Visit

router = APIRouter(prefix="/shops/{shop}/find")
LONGEST_SOUGHT = 100
MOST_DIGITS = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Find:
    """Something found: its kind, its name, its page."""

    kind: str
    name: str
    path: str


@router.get("")
def find(visit: InShop, q: str = "") -> Response:
    """Go to the one thing of that number or name, or show all that fit."""
    sought = q.strip()[:LONGEST_SOUGHT]
    kept = open_kept(visit.services.units, visit.services.written, visit.shop)
    found = [*_by_number(visit, kept.shop, sought), *_by_name(visit.shop, kept.shop, sought)]
    if len(found) == 1:
        return visit.go(found[0].path)
    return visit.show(
        "find.html", title="Find", shop_name=kept.shop.name, sought=sought, found=found
    )


def _by_number(visit: Visit, shop: Shop, sought: str) -> list[Find]:
    found = [
        _order(visit.shop, order.number)
        for order in shop.orders
        if order.number.lower() == sought.lower()
    ]
    digits = sought.lower().removeprefix("quote").removeprefix("q").strip()
    if not (digits.isascii() and digits.isdigit() and len(digits) <= MOST_DIGITS):
        return found
    number = int(digits)
    with visit.services.units.read(visit.shop) as unit:
        booking = unit.bookings.by_quote(number)
        try:
            unit.quotes.revision(number)
        except Unknown:
            pass
        else:
            path = shop_path(visit.shop, f"quotes/{number}")
            found.append(Find(kind="Quote", name=f"Quote {number}", path=path))
    if booking is not None:
        found.append(_order(visit.shop, booking.order.number))
    return found


def _order(shop: str, number: str) -> Find:
    return Find(kind="Order", name=f"Order {number}", path=shop_path(shop, f"orders/{number}"))


def _by_name(key: str, shop: Shop, sought: str) -> list[Find]:
    """Return what is called so; of moulds the number counts, whole."""
    words = sought.lower().split()
    if not words:
        return []

    def fits(*names: str) -> bool:
        text = " ".join(names).lower()
        return all(word in text for word in words)

    found = []
    for family in shop.moulds.values():
        for mould in family.moulds:
            name = family.name(mould)
            if sought.lower() in (name.lower(), place_title(shop, name).lower()):
                path = shop_path(key, f"moulds#{family.key}-{mould.number}")
                found.append(Find(kind="Mould", name=place_title(shop, name), path=path))
    kinds = (
        ("Part", "parts", shop.parts),
        ("Process", "processes", shop.processes),
        ("Material", "materials", shop.materials),
    )
    for kind, room, things in kinds:
        for thing in things.values():
            if fits(thing.key, thing.title):
                path = shop_path(key, f"{room}/{thing.key}")
                found.append(Find(kind=kind, name=thing.title, path=path))
    for family in shop.moulds.values():
        title = family_title(shop, family)
        if fits(family.key, title):
            path = shop_path(key, f"moulds#{family.key}")
            found.append(Find(kind="Moulds", name=title, path=path))
    return found
