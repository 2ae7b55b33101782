"""Where one can go from every sheet of a shop: the entries at its head.

A page that is asked for every day gets an entry here; others are led to from the sheet they
belong to, since a head of more than these takes two lines.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """An entry.

    Attributes:
        key: What a page of it calls itself.
        title: In the words of the trade.
        path: Below the shop's own path.
    """

    key: str
    title: str
    path: str


PLACES: tuple[Place, ...] = (
    Place(key="today", title="Today", path="today"),
    Place(key="enquiry", title="Enquiry", path="enquiry"),
    Place(key="quotes", title="Quotes", path="quotes"),
    Place(key="orders", title="Orders", path="orders"),
    Place(key="board", title="Mould board", path="board"),
    Place(key="day", title="Day sheet", path="day"),
    Place(key="log", title="Log", path="log"),
    Place(key="parts", title="Parts", path="parts"),
    Place(key="processes", title="Processes", path="processes"),
    Place(key="materials", title="Materials", path="materials"),
    Place(key="buying", title="Buying", path="buying"),
    Place(key="moulds", title="Moulds", path="moulds"),
    Place(key="tests", title="Tests", path="tests"),
    Place(key="shop", title="Shop", path="shop"),
)


def shop_path(shop: str, path: str = "") -> str:
    """Return the path of a page of a shop."""
    return f"/shops/{shop}/{path}" if path else f"/shops/{shop}"
