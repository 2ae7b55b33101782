"""What to buy for the open orders, or for one more on top of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from mouldwright.buying.cover import buy_list
from mouldwright.buying.need import needs_beyond
from mouldwright.buying.purchase import BuyList
from mouldwright.domain.costing.arrival import DeliveryDays, delivery_days
from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.costing.matching import good_pieces
from mouldwright.domain.costing.material_cost import needs
from mouldwright.domain.costing.stock_need import Drawn, Shortage
from mouldwright.domain.errors import CannotBeMade, Fault, InvalidInput
from mouldwright.domain.hours.opening import local
from mouldwright.domain.part.mass import charge
from mouldwright.domain.quantity import divide_up
from mouldwright.domain.record.stock_ledger import stock_book, stock_left, used_by_order
from mouldwright.domain.shop import Shop
from mouldwright.usecases.enquiry import check_quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """So many of a part by a process, or of a set, that something is bought for."""

    part: str
    process: str | None
    quantity: int
    starts: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ToBuy:
    """A buy list and the days it is for.

    Attributes:
        orders: How many open orders draw on the stock.
        beside: What is bought for on top of them; None where the list is for them.
        today: The local day it is made on.
        by: The day it must be there by; None where none was given.
        arrives: The day the last delivery is there, ordered today.
        days: When a delivery from each supplier is there, and by when to order it.
    """

    shop: Shop
    found: BuyList
    orders: int
    beside: Wanted | None
    today: date
    by: date | None
    arrives: date
    days: Mapping[str, DeliveryDays]


def to_buy(shop: Shop, *, now: int, by: str | None = None, beside: Wanted | None = None) -> ToBuy:
    """Return the cheapest purchase for what the open orders, or one more, draw beyond stock.

    Args:
        shop: With all its open orders.
        now: Minutes since the epoch.
        by: Local date it must be there by; None where it may come any time.
        beside: Buy for this alone: the open orders have drawn on the stock before it.

    Raises:
        NotFound: if the shop has no such part or process.
        InvalidInput: if the quantity is no quantity, or ``by`` no date to come.
        CannotBeMade: if a part cannot be made so.
    """
    at = local(now, shop.zone)
    today = at.date()
    until = None if by is None else _day(by, today)
    last = max([until or today, today])
    book = stock_book(shop, at=at) if shop.log else None
    drawn = list(_still_drawn(shop, {} if book is None else used_by_order(book)))
    stock = shop.stock if book is None else stock_left(book)
    short = needs_beyond(drawn, stock, on=last)
    if beside is not None:
        check_quantity(beside.quantity)
        _named(shop, beside)
        both = needs_beyond([*drawn, _drawn(shop, beside)], stock, on=last)
        short = _more(both, short)
    days = delivery_days(shop, at, until)
    found = buy_list(
        shop,
        short,
        within_days=None if until is None else (until - today).days,
        comes_in={key: (each.arrives - today).days for key, each in days.items()},
    )
    return ToBuy(
        shop=shop,
        found=found,
        orders=len(shop.orders),
        beside=beside,
        today=today,
        by=until,
        arrives=max((days[d.supplier.key].arrives for d in found.best.deliveries), default=today),
        days=days,
    )


def _still_drawn(shop: Shop, used: Mapping[str, Drawn]) -> Iterator[Drawn]:
    """Yield what each open order still draws: what the log has used for it is left out."""
    for order in shop.orders:
        whole = _drawn(
            shop,
            Wanted(
                part=order.part,
                process=order.process,
                quantity=order.quantity,
                starts=order.starts,
            ),
        )
        gone = used.get(order.number, {})
        yield {
            key: max(amount - gone.get(key, Fraction(0)), Fraction(0))
            for key, amount in whole.items()
        }


def _drawn(shop: Shop, wanted: Wanted) -> Drawn:
    """Return what so many draw from stock by (material, "g" or "m"), all starts counted."""
    if wanted.part in shop.sets:
        whole: dict[tuple[str, str], Fraction] = {}
        sold = shop.sets[wanted.part]
        pieces = good_pieces(shop, sold, wanted.quantity)
        for each, quantity in zip(sold.parts, pieces, strict=True):
            one = Wanted(part=each.part, process=each.process, quantity=quantity)
            for key, amount in _drawn(shop, one).items():
                whole[key] = whole.get(key, Fraction(0)) + amount
        return whole
    part = shop.part(wanted.part)
    process = shop.process(wanted.process or next(iter(part.made_by), ""))
    try:
        loaded = charge(shop, part, process)
    except CannotBeMade:
        # Without a structure nothing is known to be loaded; what it mixes is charged all the same.
        if process.structure is not None:
            raise
        loaded = None
    model = cost_model(shop, part, process, charge=loaded)
    starts = model.starts(wanted.quantity)
    if wanted.starts is not None:
        pulls = divide_up(wanted.starts, model.routing.parts_each) if process.has_pulls else 0
        starts = replace(starts, starts=wanted.starts, pulls=pulls)
    return needs(model.rules, model.counts(starts))


def _more(both: Iterable[Shortage], before: Iterable[Shortage]) -> tuple[Shortage, ...]:
    """Return what runs short with one order more, less what was short without it."""
    already = {(s.material, s.unit): s for s in before}
    found = []
    for one in both:
        was = already.get((one.material, one.unit))
        missing = one.missing - (was.missing if was else 0)
        if missing > 0:
            found.append(replace(one, needed=missing, usable=Fraction(0)) if was else one)
    return tuple(found)


def _named(shop: Shop, wanted: Wanted) -> None:
    """Raise InvalidInput where a part is wanted without saying by which process."""
    if wanted.part in shop.sets or wanted.process is not None:
        return
    ways = shop.part(wanted.part).made_by
    if len(ways) != 1:
        raise InvalidInput(
            [
                Fault(
                    path="process",
                    value="",
                    problem="what a part takes depends on how it is made.",
                    remedy=f"Name one of: {', '.join(ways)}."
                    if ways
                    else "Give the part a process first.",
                )
            ]
        )


def _day(by: str, today: date) -> date:
    try:
        day = date.fromisoformat(by)
    except ValueError:
        problem = "that is no date."
    else:
        if day >= today:
            return day
        problem = "that day is over."
    raise InvalidInput(
        [
            Fault(
                path="by",
                value=by,
                problem=problem,
                remedy=f"Write a date from {today.isoformat()} on.",
            )
        ]
    )
