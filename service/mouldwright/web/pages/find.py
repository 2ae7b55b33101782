"""Finding a quote, an order, a mould or anything of the bench by its number or name."""

from __future__ import annotations

from urllib.parse import quote, urlencode

from fastapi import APIRouter
from starlette.responses import Response

from mouldwright.usecases.finding import LONGEST_SOUGHT, Found, FoundKind
from mouldwright.usecases.finding import find as find_in
from mouldwright.web.places import shop_path
from mouldwright.web.visit import InShop

router = APIRouter(prefix="/shops/{shop}/find")

_KINDS: dict[FoundKind, str] = {
    "quote": "Quote",
    "order": "Order",
    "serial": "Part",
    "mould": "Mould",
    "moulds": "Moulds",
    "part": "Part",
    "set": "Set",
    "process": "Process",
    "material": "Material",
    "person": "Day sheet",
}


@router.get("")
def find(visit: InShop, q: str = "") -> Response:
    """Go to the one thing of that number or name, or show all that fit."""
    sought = q.strip()[:LONGEST_SOUGHT]
    shop, found = find_in(visit.services, visit.shop, sought)
    if len(found) == 1:
        return visit.go(_path(visit.shop, found[0]))
    return visit.show(
        "find.html",
        title="Find",
        shop_name=shop.name,
        sought=sought,
        found=[(_KINDS[each.kind], each, _path(visit.shop, each)) for each in found],
    )


def _path(shop: str, found: Found) -> str:
    """Return where something found has its page."""
    room = {
        "quote": f"quotes/{found.key}",
        "order": f"orders/{found.key}",
        "serial": f"trace/{found.key}",
        "mould": f"moulds/{quote(found.key)}",
        "moulds": f"moulds#{found.key}",
        "part": f"parts/{found.key}",
        "set": "enquiry?" + urlencode({"part": found.key}),
        "process": f"processes/{found.key}",
        "material": f"materials/{found.key}",
        "person": "day?" + urlencode({"person": found.key}),
    }[found.kind]
    return shop_path(shop, room)
