"""When an order's materials are there: from the shelf, from deliveries, or bought now.

Stock is given out order by order, those under way first, then those due first, like due dates
as they are listed. An order waits until all it draws is there; its amounts are those its cost
counts, losses and waste included. Where a log is kept, stock is what the log has left of it, and
an order draws what it has not used by then; parts made anew count for no more.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from fractions import Fraction
from zoneinfo import ZoneInfo

from mouldwright.domain.costing.arrival import arrives_on
from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.costing.matching import good_pieces
from mouldwright.domain.costing.material_cost import needs
from mouldwright.domain.costing.stock_need import Drawn
from mouldwright.domain.errors import HardLimit, InvalidInput
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.hours.spoken import spoken_day
from mouldwright.domain.material import Lot, Stock
from mouldwright.domain.order import Order
from mouldwright.domain.part.mass import charge
from mouldwright.domain.quantity import divide_up, exact
from mouldwright.domain.record.stock_ledger import stock_book, stock_left, used_by_order
from mouldwright.domain.shop import Shop

# What orders draw, by their numbers.
KnownDrawn = dict[str, Drawn]


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialWait:
    """A material of an order that is not all on the shelf.

    Attributes:
        order: Number of the order.
        unit: "g" or "m".
        short: How much is lacking on the shelf, what earlier orders take left out.
        needed: How much the order draws.
        there_on: Local day from which it is all there; None where nothing brings it.
        bought: How much of it no delivery brings, so that it has to be bought now.
        supplier: Key of who would deliver that soonest; None where nobody sells it.
    """

    order: str
    material: str
    unit: str
    short: Fraction
    needed: Fraction
    there_on: date | None
    bought: Fraction
    supplier: str | None

    def words(self, shop: Shop) -> str:
        """Return it as people read it: "13 g of Hardener are not there before Fri 5 Mar 2027"."""
        if self.there_on is None:
            return f"{self.amount(shop)} are short"
        return (
            f"{self.amount(shop)} are not there before {spoken_day(self.there_on)}{self.by(shop)}"
        )

    def amount(self, shop: Shop) -> str:
        """Return how much of what is short: "13 g of Hardener"."""
        return f"{_figure(self.short)} {self.unit} of {shop.materials[self.material].title}"

    def by(self, shop: Shop) -> str:
        """Return from whom it is to be bought, ", bought now from Estuary"; else nothing."""
        if not self.bought or self.supplier is None:
            return ""
        return f", bought now from {shop.suppliers[self.supplier].title}"


@dataclass(slots=True, kw_only=True)
class _Held:
    """What is left of a lot while stock is given out."""

    arrives: date
    amount: Fraction


def drawn_by(shop: Shop, order: Order) -> Drawn:
    """Return what all starts of an order draw, by (material, "g" or "m").

    Raises:
        InvalidInput: if a quantity or a good rate cannot be right.
        HardLimit: if a single pull passes a limit of a mix, a plate or a load.
    """
    sold = shop.sets.get(order.part)
    wanted = [(order.part, order.process or "", order.quantity, order.starts)]
    if sold is not None:
        pieces = good_pieces(shop, sold, order.quantity)
        wanted = [(p.part, p.process, n, None) for p, n in zip(sold.parts, pieces, strict=True)]
    whole: dict[tuple[str, str], Fraction] = {}
    for part_key, process_key, quantity, fixed in wanted:
        part, process = shop.part(part_key), shop.process(process_key)
        charged = None if process.structure is None else charge(shop, part, process)
        model = cost_model(shop, part, process, charge=charged)
        starts = model.starts(quantity)
        if fixed is not None:
            starts = starts.of_pulls(divide_up(fixed, model.routing.parts_each))
        for key, amount in needs(model.rules, model.counts(starts)).items():
            whole[key] = whole.get(key, Fraction(0)) + amount
    return whole


def material_waits(
    shop: Shop,
    orders: Sequence[Order],
    *,
    now: int,
    begun: frozenset[str] = frozenset(),
    known: KnownDrawn | None = None,
) -> tuple[MaterialWait, ...]:
    """Return every material that an order has to wait for.

    Where the shop plans so, any order waits. Elsewhere only one that is asked about does
    (``awaits_material``), where the shop keeps a stock to look at: what is promised is counted
    from the day its material can be there.

    Args:
        shop: Stock, deliveries and suppliers.
        orders: The open orders.
        now: Minutes since the epoch.
        begun: Numbers of orders under way: they wait for nothing, and what they still draw is
            theirs before others'. Without a log they have all of it already.
        known: What orders draw, as far as that was worked out; more is noted in it.
    """
    if shop.materials_planned == "from stock":
        return _given_out(shop, orders, now=now, begun=begun, known=known)
    waiting = {order.number for order in orders if order.awaits_material}
    if not waiting or not shop.stock.lots:
        return ()
    found = _given_out(shop, orders, now=now, begun=begun, passing_over=True, known=known)
    return tuple(wait for wait in found if wait.order in waiting)


def materials_lacking(
    shop: Shop, orders: Sequence[Order], *, now: int, begun: frozenset[str] = frozenset()
) -> tuple[MaterialWait, ...]:
    """Return every material that orders lack while their dates take it as there.

    None where the shop plans from its stock, or keeps no stock to look at. An order whose
    amounts cannot be said is passed over; whoever plans or prices it is told why.
    """
    if shop.materials_planned == "from stock" or not shop.stock.lots:
        return ()
    waiting = {order.number for order in orders if order.awaits_material}
    found = _given_out(shop, orders, now=now, begun=begun, passing_over=True)
    return tuple(wait for wait in found if wait.order not in waiting)


def _given_out(
    shop: Shop,
    orders: Sequence[Order],
    *,
    now: int,
    begun: frozenset[str],
    passing_over: bool = False,
    known: KnownDrawn | None = None,
) -> tuple[MaterialWait, ...]:
    """Give stock out order by order, and return what each order lacks on the shelf.

    What orders of a number are known to draw is not worked out again; what is, is noted there.
    Where an order is passed over, so is a material that the shop neither keeps nor buys.
    """
    known = {} if known is None else known
    sold = {key for each in shop.suppliers.values() for o in each.offers for key in o.materials}
    at = local(now, shop.zone)
    today = at.date()
    stock, used = _as_logged(shop, now)
    shelf = {key: _shelf(lots, today) for key, lots in stock.lots.items()}
    found = []
    for order in sorted(orders, key=lambda order: (order.number not in begun, _urgency(order))):
        if order.number in begun and not shop.log:
            continue
        drawn = known.get(order.number)
        if drawn is None:
            try:
                drawn = drawn_by(shop, order)
            except (InvalidInput, HardLimit):
                if not passing_over:
                    raise
                continue
            # The one asked about has no number, and is another the next time.
            if order.number:
                known[order.number] = drawn
        taken = used.get(order.number, {})
        for (material, unit), whole in drawn.items():
            if passing_over and material not in shelf and material not in sold:
                continue
            needed = max(whole - taken.get((material, unit), Fraction(0)), Fraction(0))
            wait = _take(shelf.get(material, []), needed, today)
            if wait is None or order.number in begun:
                continue
            short, bought, arrives = wait
            supplier, comes = _soonest(shop, material, at) if bought else (None, arrives)
            there_on = comes if not bought or comes is None else max(comes, arrives)
            found.append(
                MaterialWait(
                    order=order.number,
                    material=material,
                    unit=unit,
                    short=short,
                    needed=needed,
                    there_on=there_on,
                    bought=bought,
                    supplier=supplier,
                )
            )
    return tuple(found)


def _as_logged(
    shop: Shop, now: int
) -> tuple[Stock, Mapping[str, Mapping[tuple[str, str], Fraction]]]:
    """Return what is left in stock and to come, and what each order has used, by the log."""
    if not shop.log:
        return shop.stock, {}
    book = stock_book(shop, at=datetime.fromtimestamp(now * 60 + 59, UTC))
    return stock_left(book), used_by_order(book)


def waits_of_one_more(
    shop: Shop,
    key: str,
    process: str | None,
    quantity: int,
    *,
    now: int,
    known: KnownDrawn | None = None,
) -> tuple[MaterialWait, ...]:
    """Return what one more order would wait for, after all that are open have taken theirs.

    Args:
        shop: Stock, deliveries, suppliers and open orders.
        key: Of a part, or of a set.
        process: Key of the part's process; None for a set.
        quantity: Good ones wanted.
        now: Minutes since the epoch.
        known: What open orders draw, as far as that was worked out; more is noted in it.
    """
    more = Order(number="", part=key, process=process, quantity=quantity, awaits_material=True)
    waits = material_waits(shop, (*shop.orders, more), now=now, known=known)
    return tuple(wait for wait in waits if not wait.order)


def arrivals_said(shop: Shop, waits: Sequence[MaterialWait]) -> tuple[str, ...]:
    """Return when what one more order waits for arrives, a sentence for each day and supplier."""
    arriving: dict[str, list[str]] = {}
    for wait in waits:
        if wait.there_on is not None:
            when = f"Material arrives {spoken_day(wait.there_on)}{wait.by(shop)}"
            arriving.setdefault(when, []).append(wait.amount(shop))
    return (
        *(f"{when}: {'; '.join(amounts)}." for when, amounts in arriving.items()),
        *(f"{wait.words(shop)}, and nothing brings it." for wait in waits if not wait.there_on),
    )


def lacking_said(shop: Shop, lacking: Sequence[MaterialWait]) -> tuple[str, ...]:
    """Say in one sentence what is lacking while dates take it as there; none where nothing is."""
    if not lacking:
        return ()
    short: dict[tuple[str, str], list[MaterialWait]] = {}
    for wait in lacking:
        short.setdefault((wait.material, wait.unit), []).append(wait)
    said = "; ".join(_together(waits).words(shop) for waits in short.values())
    orders = ", ".join(dict.fromkeys(wait.order for wait in lacking if wait.order))
    of = f" (order{'s' if ',' in orders else ''} {orders})" if orders else ""
    return (f"Dates take materials as there, yet{of} {said}.",)


def _together(waits: Sequence[MaterialWait]) -> MaterialWait:
    """Return what several orders lack of one material as if one did: there when all of it is."""
    days = [wait.there_on for wait in waits]
    known = [day for day in days if day is not None]
    return replace(
        waits[0],
        short=sum((wait.short for wait in waits), Fraction(0)),
        needed=sum((wait.needed for wait in waits), Fraction(0)),
        bought=sum((wait.bought for wait in waits), Fraction(0)),
        there_on=max(known) if len(known) == len(days) else None,
        supplier=next((wait.supplier for wait in waits if wait.supplier), None),
    )


def day_begins(shop: Shop, day: date) -> int:
    """Return the first minute of a local day."""
    return minute_of(datetime.combine(day, time(), ZoneInfo(shop.zone)))


def _take(
    shelf: list[_Held], needed: Fraction, today: date
) -> tuple[Fraction, Fraction, date] | None:
    """Take an amount off what is there soonest.

    Returns:
        What was not there today, what nothing brings, and the last delivery taken from; None
        where all of it was there.
    """
    left, short, last = needed, Fraction(0), today
    for held in shelf:
        taken = min(left, held.amount)
        if not taken:
            continue
        held.amount -= taken
        left -= taken
        if held.arrives > today:
            short, last = short + taken, held.arrives
    short += left
    return (short, left, last) if short else None


def _soonest(shop: Shop, material: str, at: datetime) -> tuple[str | None, date | None]:
    """Return who would deliver a material soonest if it is bought at a moment, and when."""
    comes = [
        (arrives_on(shop, supplier, at), key)
        for key, supplier in shop.suppliers.items()
        if any(material in offer.materials for offer in supplier.offers)
    ]
    if not comes:
        return None, None
    day, key = min(comes)
    return key, day


def _shelf(lots: Sequence[Lot], today: date) -> list[_Held]:
    """Return the lots that can be used: what is there first in front, then what expires first."""
    good = [
        lot
        for lot in lots
        if lot.expires is None or lot.expires >= max(today, lot.arrives or today)
    ]
    good.sort(key=lambda lot: (lot.arrives or date.min, lot.expires or date.max))
    return [_Held(arrives=lot.arrives or date.min, amount=_amount(lot)) for lot in good]


def _urgency(order: Order) -> float:
    return float("inf") if order.due is None else order.due.timestamp()


def _amount(lot: Lot) -> Fraction:
    held = lot.grams if lot.grams is not None else lot.metres
    return exact(held or 0)


def _figure(amount: Fraction) -> str:
    return f"{float(amount):,.1f}".removesuffix(".0")
