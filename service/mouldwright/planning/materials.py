"""Orders that wait for their materials, where the shop plans from its stock."""

from __future__ import annotations

from collections.abc import Sequence

from mouldwright.domain.costing.material_wait import day_begins, material_waits
from mouldwright.domain.errors import HardLimit
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Shortage


def shortages_of(
    shop: Shop, orders: Sequence[Order], now: int, begun: frozenset[str]
) -> tuple[Shortage, ...] | None:
    """Return the materials that orders of a plan wait for; None where the shop does not plan so."""
    if shop.materials_planned != "from stock":
        return None
    return tuple(
        Shortage(
            order=wait.order,
            material=wait.material,
            unit="m" if wait.unit == "m" else "g",
            needed=round(float(wait.needed), 3),
            short=round(float(wait.short), 3),
            there_on=wait.there_on,
            bought=round(float(wait.bought), 3),
            supplier=wait.supplier,
        )
        for wait in material_waits(shop, orders, now=now, begun=begun)
        if wait.there_on is not None
    )


def material_from(
    shop: Shop, orders: Sequence[Order], now: int, begun: frozenset[str]
) -> dict[str, int]:
    """Return, for each order that waits for material, from which minute after now it is there.

    Where plans take materials as there, only an order that is asked about waits.

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
