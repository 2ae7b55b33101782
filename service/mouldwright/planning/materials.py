"""Orders that wait for their materials, where the shop plans from its stock."""

from __future__ import annotations

from collections.abc import Sequence

from mouldwright.domain.costing.material_wait import day_begins, material_waits
from mouldwright.domain.errors import HardLimit
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop


def material_from(
    shop: Shop, orders: Sequence[Order], now: int, begun: frozenset[str]
) -> dict[str, int]:
    """Return, for each order that waits for material, from which minute after now it is there.

    Raises:
        HardLimit: if nothing brings a material that is short; with every one of them.
    """
    found: dict[str, int] = {}
    missing = []
    for wait in material_waits(shop, orders, now=now, begun=begun):
        if wait.there_on is None:
            missing.append(
                f"order {wait.order}: {wait.words(shop)}; a delivery of that much would do "
                f"(stock.{wait.material}, with arrives), or a supplier's offer of it."
            )
            continue
        minute = day_begins(shop, wait.there_on) - now
        found[wait.order] = max(found.get(wait.order, 0), minute)
    if missing:
        raise HardLimit(missing)
    return found
