"""When each delivery of an order is ready: at the ordinary pace, or before what is booked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.hours.spoken import spoken_day, spoken_moment
from mouldwright.domain.offer_lines import SentLot, surcharge_of
from mouldwright.domain.promise.delivery import PromisedDelivery, RushOption
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.shop import Shop
from mouldwright.domain.terms import Delivery, Terms
from mouldwright.usecases.enquiry import Finish

# Each step plans once, while someone waits.
_MOST_STEPS = 6

# Says when so many pieces of what is asked would be ready.
ReadyAt = Callable[[int], ReadyBy]


@dataclass(frozen=True, slots=True, kw_only=True)
class Dated:
    """When an order is ready, delivery by delivery.

    Attributes:
        ready: The whole of it; None where no plan can say.
        deliveries: Empty for an order that is sent at once at the ordinary pace.
        notes: For the person quoting.
        ready_without_haste: Pieces of the first hurried delivery that need none; None where
            nothing is hurried.
    """

    ready: ReadyBy | None
    deliveries: tuple[PromisedDelivery, ...] = ()
    notes: tuple[str, ...] = ()
    ready_without_haste: int | None = None

    def lots(self, quantity: int) -> tuple[SentLot, ...]:
        """Return what goes in each delivery, and what haste costs it."""
        if not self.deliveries:
            return (SentLot(quantity=quantity),)
        return tuple(SentLot(quantity=d.quantity, surcharge=d.surcharge) for d in self.deliveries)

    def rush_option(self, price_each: Decimal, shop: Shop) -> RushOption | None:
        """Return what hurrying fewer pieces would save; None where there is nothing to choose."""
        first = next((d for d in self.deliveries if d.surcharge), None)
        if first is None or first.due is None or first.quantity < 2:
            return None
        money = shop.currency
        return RushOption(
            by=minute_of(first.due),
            quantity=first.quantity,
            ready=self.ready_without_haste or 0,
            surcharge=money.round(price_each * first.quantity * first.surcharge),
            each=money.round(price_each * first.surcharge),
        )


def dated(
    shop: Shop,
    key: str,
    process: str | None,
    quantity: int,
    terms: Terms,
    *,
    due: datetime | None,
    now: int,
    finish: Finish,
    hurried: Finish,
) -> Dated:
    """Return when every delivery of an order is ready; the price stands where no plan can say.

    A delivery is ready when as many pieces as go in it and in those before it are, planned
    on top of what is booked; a hurried one is planned before what is booked and not begun.

    Args:
        shop: With its open orders.
        key: Of a part or a set.
        process: None for a set.
        quantity: Good pieces in all.
        terms: What is agreed.
        due: When an order that is not split is wanted.
        now: Minutes since the epoch.
        finish: Says when an order is ready.
        hurried: Says when one is that goes first.
    """

    def ordinary(pieces: int) -> ReadyBy:
        return finish(shop, key, process, pieces, now)

    def first_in_line(pieces: int) -> ReadyBy:
        return hurried(shop, key, process, pieces, now)

    sent = terms.sent(quantity, due)
    if not terms.deliveries and not terms.rush:
        ready, why = _tried(ordinary, quantity)
        late = _late_notes(shop, sent[0], ready, lambda: _tried(first_in_line, quantity)[0])
        return Dated(ready=ready, notes=(*why, *late))
    promised: list[PromisedDelivery] = []
    notes: list[str] = []
    last: ReadyBy | None = None
    so_far = rushed = 0
    without: int | None = None
    for number, each in enumerate(sent, start=1):
        so_far += each.quantity
        ready, why = _tried(ordinary, so_far)
        notes += why
        one = _ordinary(number, each, ready)
        if each.rush:
            rushed += each.quantity
            first, why = _tried(first_in_line, rushed)
            notes += why
            one = _hurried(shop, one, first, ready)
            notes += _rush_notes(shop, one)
            if one.surcharge and without is None:
                without = _ready_by(ordinary, each.quantity, each.due)
            ready = _sooner(ready, first)
        promised.append(one)
        last = ready if last is None or (ready and ready.finish >= last.finish) else last
    if any(each.finish is None for each in promised):
        last = None
    return Dated(
        ready=last,
        deliveries=tuple(promised),
        notes=tuple(dict.fromkeys(notes)),
        ready_without_haste=without,
    )


def _tried(ready_at: ReadyAt, pieces: int) -> tuple[ReadyBy | None, tuple[str, ...]]:
    """Return when so many are ready, or None and why no plan can say."""
    try:
        return ready_at(pieces), ()
    except HardLimit as limit:
        return None, tuple(f"No date can be promised: {reason}" for reason in limit.reasons)


def _sooner(one: ReadyBy | None, other: ReadyBy | None) -> ReadyBy | None:
    found = [each for each in (one, other) if each is not None]
    return min(found, key=lambda each: each.finish, default=None)


def _ordinary(number: int, asked: Delivery, ready: ReadyBy | None) -> PromisedDelivery:
    finish = None if ready is None else ready.finish
    return PromisedDelivery(
        number=number,
        quantity=asked.quantity,
        due=asked.due,
        rush=asked.rush,
        finish=finish,
        chance=None if ready is None else ready.chance,
        ordinary=finish,
    )


def _hurried(
    shop: Shop, one: PromisedDelivery, first: ReadyBy | None, ready: ReadyBy | None
) -> PromisedDelivery:
    """Return a delivery that goes first, and what that costs by the days it really gains."""
    at = _sooner(ready, first)
    sooner = _days_gained(shop, one.due, one.ordinary, None if at is None else at.finish)
    return PromisedDelivery(
        number=one.number,
        quantity=one.quantity,
        due=one.due,
        rush=True,
        finish=None if at is None else at.finish,
        chance=None if at is None else at.chance,
        ordinary=one.ordinary,
        days_sooner=sooner,
        surcharge=surcharge_of(shop.price, sooner),
    )


def _days_gained(
    shop: Shop, due: datetime | None, ordinary: int | None, hurried: int | None
) -> int:
    """Return the calendar days that haste gains, none of them before the day it is wanted."""
    if due is None or ordinary is None or hurried is None:
        return 0
    sent = local(max(hurried, minute_of(due)), shop.zone).date()
    return max((local(ordinary, shop.zone).date() - sent).days, 0)


def _ready_by(ready_at: ReadyAt, most: int, due: datetime | None) -> int:
    """Return how many pieces are ready by a moment at the ordinary pace; a floor of it.

    The search halves a few times only: where it stops early the count is what is sure.
    """
    if due is None:
        return 0
    by, sure, too_many = minute_of(due), 0, most
    for _ in range(_MOST_STEPS):
        tried = (sure + too_many) // 2
        if tried <= sure:
            break
        ready, _why = _tried(ready_at, tried)
        if ready is not None and ready.finish <= by:
            sure = tried
        else:
            too_many = tried
    return sure


def _rush_notes(shop: Shop, one: PromisedDelivery) -> list[str]:
    """Say of a hurried delivery where haste is for nothing, or not enough."""
    if one.due is None or one.finish is None:
        return []
    name = f"Delivery {one.number}"
    wished = local(minute_of(one.due), shop.zone)
    said = []
    if not one.surcharge and one.ordinary is not None:
        said.append(_haste_for_nothing(shop, one, name))
    if one.finish > minute_of(one.due):
        ready = spoken_moment(local(one.finish, shop.zone))
        said.append(
            f"{name} is wanted {spoken_moment(wished)}; even before all that is not begun it is "
            f"ready {ready}."
        )
    said.append(f"{name} goes before what is booked: try the order to see whose days that moves.")
    return said


def _haste_for_nothing(shop: Shop, one: PromisedDelivery, name: str) -> str:
    """Say why haste is charged nothing: it is not needed, or gains too little."""
    assert one.due is not None
    assert one.ordinary is not None
    ordinary = spoken_moment(local(one.ordinary, shop.zone))
    if one.ordinary <= minute_of(one.due):
        return (
            f"{name} is ready {ordinary} at the ordinary pace, by when it is wanted: rush is not "
            f"needed and is charged nothing."
        )
    gained = days_said(one.days_sooner) if one.days_sooner else "no day"
    return (
        f"Rush gains {name.lower()} {gained} on the ordinary date, {ordinary}, so it is charged "
        f"nothing."
    )


def days_said(days: int) -> str:
    """Return a number of days in words: "1 day", "2 days"."""
    return "1 day" if days == 1 else f"{days} days"


def _late_notes(
    shop: Shop, asked: Delivery, ready: ReadyBy | None, hurried: Callable[[], ReadyBy | None]
) -> list[str]:
    """Say what haste would gain and cost where an order is wanted sooner than it is ready."""
    if asked.due is None or ready is None or not shop.price.rush:
        return []
    wished = local(minute_of(asked.due), shop.zone).date()
    late = (local(ready.finish, shop.zone).date() - wished).days
    if late < 1:
        return []
    said = f"It is wanted by {spoken_day(wished)}, {days_said(late)} sooner than it is ready: rush "
    first = hurried()
    gained = _days_gained(shop, asked.due, ready.finish, None if first is None else first.finish)
    share = surcharge_of(shop.price, gained)
    if not share:
        return [
            f"{said}would gain {days_said(gained) if gained else 'no day'}, and is charged nothing."
        ]
    percent = f"{(share * 100).normalize():f} %"
    return [f"{said}would gain {days_said(gained)}, for {percent} of what is hurried."]
