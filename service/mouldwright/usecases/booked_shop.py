"""A shop with everything that is booked in it: what is written there, and what was accepted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from mouldwright.domain.errors import Conflict
from mouldwright.domain.order import Order
from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.shop import Shop
from mouldwright.usecases.held import NOTHING_HELD, Held, held_now
from mouldwright.usecases.kept_run import Basis
from mouldwright.usecases.ports import Written
from mouldwright.usecases.promise_ports import PromiseReading, PromiseUnits


@dataclass(frozen=True, slots=True, kw_only=True)
class BookedShop:
    """A shop as it was read at one moment.

    Attributes:
        written: The shop as it is written down, with its log.
        bookings: Open orders that came from quotes.
        basis: The versions that were read.
        held: What the bench works by; nothing where that was not asked for.
    """

    written: Shop
    bookings: tuple[Booking, ...]
    basis: Basis
    held: Held = NOTHING_HELD

    def without(self, quote: int | None = None) -> Shop:
        """Return the shop with every open order, but for one quote's own.

        Raises:
            Conflict: if two orders have one number.
        """
        kept = (b.order for b in self.bookings if b.quote != quote)
        return with_orders(self.written, kept)


def read_booked(
    units: PromiseUnits, shop: str, written: Written, *, with_held: bool = False
) -> BookedShop:
    """Return a shop and what is booked in it, both of one moment.

    Args:
        units: Opens units of work.
        shop: Key of the shop.
        written: Reads the shop's document.
        with_held: Whether to read the plan that holds and the pins too, to plan beside them.

    Raises:
        Unknown: if there is no such shop.
    """
    with units.read(shop) as unit:
        version = unit.shops.now()
        bookings = unit.bookings.open()
        log = unit.log.all()
        basis = basis_of(unit)
        held = held_now(unit) if with_held else NOTHING_HELD
    shop_written = replace(written.read(version.document), log=log)
    return BookedShop(written=shop_written, bookings=bookings, basis=basis, held=held)


def basis_of(unit: PromiseReading) -> Basis:
    """Return the versions a unit sees."""
    return Basis(shop_version=unit.shops.version(), book_version=unit.bookings.book_version())


def with_orders(shop: Shop, orders: Iterable[Order]) -> Shop:
    """Return the shop with more orders.

    Raises:
        Conflict: if two orders have one number.
    """
    added = tuple(orders)
    taken = {order.number for order in shop.orders}
    for order in added:
        if order.number in taken:
            raise Conflict(
                f"Order {order.number} is booked, and another of that number is written in the "
                "shop.",
                remedy="Give the one that is written another number.",
                stands="open",
            )
    return replace(shop, orders=(*shop.orders, *added))
