"""The plan of a shop's open orders, and when one more order would be ready on top of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.improve.search import Report
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan

__all__ = ["ENQUIRY", "Report", "finish_on_top", "plan"]

ENQUIRY = "enquiry"


def plan(
    shop: Shop,
    *,
    now: int,
    seconds: float,
    seed: int = 1,
    progress: Callable[[Report], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Plan:
    """Plan every open order; see ``planning.run.make_plan``.

    Raises:
        HardLimit: if no plan can exist; every limit is named.
    """
    return make_plan(
        shop, now=now, seconds=seconds, seed=seed, progress=progress, cancelled=cancelled
    )


def finish_on_top(
    shop: Shop, part: str, process: str | None, quantity: int, now: int, *, seconds: float = 0.0
) -> int:
    """Return the minute one more order would be ready, all booked orders kept.

    Raises:
        HardLimit: if no plan can exist.
    """
    enquiry = Order(number=ENQUIRY, part=part, process=process, quantity=quantity)
    planned = make_plan(
        replace(shop, orders=(*shop.orders, enquiry)), now=now, seconds=seconds, seed=1
    )
    return next(order.finish for order in planned.orders if order.number == ENQUIRY)
