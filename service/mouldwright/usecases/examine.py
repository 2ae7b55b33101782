"""What no plan of a shop can do, found before anyone asks for a plan."""

from __future__ import annotations

from collections.abc import Iterator

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.attempt import Engine


def never_possible(shop: Shop, *, now: int) -> tuple[str, ...]:
    """Return every limit that some order, or one good part by some process, cannot meet.

    Args:
        shop: A shop without faults.
        now: Minutes since the epoch.
    """
    return tuple(dict.fromkeys([*_limits(shop, now, shop.orders), *_alone(shop, now)]))


def _alone(shop: Shop, now: int) -> Iterator[str]:
    """Yield what keeps a part from being made at all by a process it names."""
    ordered = {(order.part, order.process) for order in shop.orders}
    for part in shop.parts.values():
        for process in part.made_by:
            if (part.key, process) not in ordered:
                one = Order(number="1", part=part.key, process=process, quantity=1)
                yield from _limits(shop, now, (one,))


def _limits(shop: Shop, now: int, orders: tuple[Order, ...]) -> tuple[str, ...]:
    if not orders:
        return ()
    try:
        Engine.for_shop(shop, now=now, orders=orders, running=())
    except HardLimit as limit:
        return limit.reasons
    return ()
