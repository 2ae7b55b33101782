"""When an order would be ready, planned while someone waits: bounded in work and in number."""

from __future__ import annotations

import threading
from collections.abc import Iterable

from mouldwright.domain.order import Order
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.shop import Shop
from mouldwright.usecases.enquiry import FinishBeside
from mouldwright.usecases.errors import Busy, TooMuchToPlan
from mouldwright.usecases.held import NOTHING_HELD, Held

# Parts open at once, the enquiry's own among them: about a second of planning.
MOST_PARTS = 4_000
PATIENCE_S = 20.0


class LeadTimes:
    """A ``FinishBeside`` that plans, and never for long: too large an enquiry is refused at once.

    Planning keeps a core busy, so that only so many go on together and the rest wait.
    """

    def __init__(
        self,
        plan: FinishBeside,
        *,
        places: int = 2,
        most_parts: int = MOST_PARTS,
        patience_s: float = PATIENCE_S,
    ) -> None:
        """Keep what plans.

        Args:
            plan: Says when an order is ready on top of what is booked.
            places: How many are planned together.
            most_parts: Most good parts open, the enquiry's among them.
            patience_s: How long one waits for a place.
        """
        self._plan, self._most_parts, self._patience_s = plan, most_parts, patience_s
        self._places = threading.BoundedSemaphore(places)

    def __call__(
        self,
        shop: Shop,
        part: str,
        process: str | None,
        quantity: int,
        now: int,
        held: Held = NOTHING_HELD,
    ) -> ReadyBy:
        """Return when an order would be ready, planned beside what is held.

        Raises:
            TooMuchToPlan: if more is open than is planned while someone waits.
            HardLimit: if no plan can exist.
            Busy: if there was no place for too long.
        """
        asked = Order(number="", part=part, process=process, quantity=quantity)
        parts = parts_of(shop, (*shop.orders, asked))
        if parts > self._most_parts:
            raise TooMuchToPlan(parts=parts, most=self._most_parts)
        if not self._places.acquire(timeout=self._patience_s):
            raise Busy("Others wait for dates too.")
        try:
            return self._plan(shop, part, process, quantity, now, held)
        finally:
            self._places.release()


def parts_of(shop: Shop, orders: Iterable[Order]) -> int:
    """Return how many parts some orders are, those of sets counted singly."""
    return sum(order.quantity * _in_one(shop, order.part) for order in orders)


def _in_one(shop: Shop, key: str) -> int:
    """Return how many parts one piece of an order is."""
    sold = shop.sets.get(key)
    return 1 if sold is None else sum(each.count for each in sold.parts)
