"""What waits for someone today, the most pressing first, each in a sentence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from mouldwright.domain.hours.opening import local
from mouldwright.domain.hours.spoken import spoken_day
from mouldwright.domain.place_titles import place_title
from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.promise.revision import QuoteSummary
from mouldwright.domain.record.learnt_changes import LearntChange
from mouldwright.domain.record.stock_ledger import stock_as_it_stands
from mouldwright.domain.shop import Shop
from mouldwright.domain.shown import lasting, listed
from mouldwright.planning.plan import Plan, Task
from mouldwright.usecases.as_told import AsTold
from mouldwright.usecases.in_hand import InHand
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.log_notices import log_notices
from mouldwright.usecases.mould_notices import mould_notices
from mouldwright.usecases.notice import Notice, clock_of, when

# Fewer minutes in hand than this are few: a day lost to one failed cure.
FEW_MIN = 1440
QUOTE_DAYS = 3
LOT_DAYS = 14


def notices_of(
    shop: Shop,
    plan: Plan | None,
    *,
    now: int,
    in_hand: Sequence[InHand],
    is_current: bool,
    going: Run | None,
    ready: Run | None,
    failed: Run | None,
    quotes: Sequence[QuoteSummary],
    bookings: Sequence[Booking],
    told: AsTold,
    before: Plan | None,
    learnt: Sequence[LearntChange],
    to_make: int,
) -> tuple[Notice, ...]:
    """Return what waits; see ``today.today_of`` for what it is told.

    ``to_make`` is how many orders are not ready.
    """
    return (
        *(() if plan is None else log_notices(shop, plan, told, before, now=now)),
        *(() if plan is None else _waits(shop, plan, in_hand, now)),
        *_of_plans(plan, to_make, is_current=is_current, going=going, ready=ready, failed=failed),
        *_orders(shop, plan, bookings, now),
        *_lacking(plan),
        *_quotes(quotes, local(now, shop.zone).date()),
        *_lots(shop, now),
        *_moulds(shop, plan, now),
        *_learnt(shop, learnt),
    )


def _waits(shop: Shop, plan: Plan, in_hand: Sequence[InHand], now: int) -> Iterator[Notice]:
    """Yield what must begin today by a certain minute, or a wait or a pot life breaks."""
    today = local(now, plan.zone).date()
    found = []
    for each in in_hand:
        if each.next_by is None or each.next_place is None:
            continue
        if local(each.next_by, plan.zone).date() > today:
            continue
        following = plan.tasks[each.next_place]
        by, meant = clock_of(each.next_by, plan.zone), clock_of(following.start, plan.zone)
        text = (
            f"{following.operation.capitalize()}{_of(shop, following)} must begin by {by}; planned "
            f"at {meant}{_hands(shop, following)}."
        )
        found.append(
            Notice(kind="wait", key=str(each.next_place), text=text, at=each.next_by, presses=True)
        )
    yield from sorted(found, key=lambda notice: (notice.at or 0, notice.key))


def _of(shop: Shop, task: Task) -> str:
    names = (task.mould,) if task.mould else task.stations
    on = ", ".join(place_title(shop, name) for name in names)
    orders = ", ".join(dict.fromkeys(member.order for member in task.members))
    return f"{f' on {on}' if on else ''} (order {orders})" if orders else ""


def _hands(shop: Shop, task: Task) -> str:
    names = [shop.people[key].title for key in task.people if key in shop.people]
    return f" by {listed(names)}" if names else ""


def _of_plans(
    plan: Plan | None,
    to_make: int,
    *,
    is_current: bool,
    going: Run | None,
    ready: Run | None,
    failed: Run | None,
) -> Iterator[Notice]:
    if failed is not None:
        why = f": {failed.problems[0]}" if failed.problems else ""
        text = f"No plan could be made{why}".removesuffix(".") + "."
        yield Notice(kind="impossible", key=failed.id, text=text, presses=True)
    if ready is not None:
        text = "A plan is finished and not published: look at what it would change."
        yield Notice(kind="to-publish", key=ready.id, text=text)
    if going is not None:
        yield Notice(kind="planning", key=going.id, text="A plan is being made.")
    if going is not None or ready is not None:
        return
    if plan is None:
        if to_make:
            text = f"{to_make} open {'order' if to_make == 1 else 'orders'}, and no plan yet."
            yield Notice(kind="no-plan", key="", text=text, presses=True)
    elif not is_current:
        text = (
            f"The plan is out of date, from {when(plan.now, plan.zone)}: orders, pins, the shop or "
            "what happens at the bench have changed since."
        )
        yield Notice(kind="out-of-date", key="", text=text, presses=True)


def _chance_of(plan: Plan, number: str) -> float | None:
    """Return the chance that an order's day is kept; None where nobody worked it out."""
    known = () if plan.odds is None else plan.odds.orders
    return next((each.chance for each in known if each.number == number), None)


def _likely(plan: Plan, number: str) -> str:
    """Return a clause on an order's likely day; empty where nobody worked it out."""
    likely = plan.likely(number)
    if likely is None or plan.odds is None:
        return ""
    return f"; likely ready by {when(likely, plan.zone)}, {plan.odds.level * 100:.0f} times in 100"


def _orders(
    shop: Shop, plan: Plan | None, bookings: Sequence[Booking], now: int
) -> Iterator[Notice]:
    """Yield orders that are late, whose promise has moved, or that have little in hand."""
    if plan is None:
        return
    open_orders = {order.number for order in shop.orders}
    late, close = [], []
    for outcome in plan.orders:
        if outcome.number not in open_orders or outcome.due is None or outcome.finish <= now:
            continue
        ready, due = when(outcome.finish, plan.zone), when(outcome.due, plan.zone)
        number, at = outcome.number, outcome.finish
        if outcome.late_min:
            text = (
                f"Order {number} is ready {ready}, {lasting(outcome.late_min)} late"
                f"{_likely(plan, number)}."
            )
            late.append(Notice(kind="late", key=number, text=text, at=at, presses=True))
        elif outcome.due - outcome.finish < FEW_MIN:
            left = lasting(outcome.due - outcome.finish)
            text = (
                f"Order {number} is ready {ready}, due {due}: only {left} in hand"
                f"{_likely(plan, number)}."
            )
            close.append(Notice(kind="close", key=number, text=text, at=at))
        elif (chance := _chance_of(plan, number)) is not None and chance < shop.odds.promise:
            text = (
                f"Order {number} is ready {ready} if all goes as planned, due {due}; that day is "
                f"kept in {chance * 100:.0f} of 100 runs of the plan{_likely(plan, number)}."
            )
            close.append(Notice(kind="close", key=number, text=text, at=at))
    told = {notice.key for notice in (*late, *close)}
    yield from late
    for booking in bookings:
        number, promised = booking.order.number, booking.promised
        if number in told or promised is None or booking.expected is None:
            continue
        if booking.moved_min(plan.zone):
            expected = when(booking.expected, plan.zone)
            text = (
                f"Order {number} is ready {expected} by what is booked now; "
                f"{spoken_day(local(promised, plan.zone))} was promised."
            )
            yield Notice(kind="moved", key=number, text=text, at=booking.expected, presses=True)
    yield from close


def _lacking(plan: Plan | None) -> Iterator[Notice]:
    """Yield what the plan's dates take as there and stock lacks."""
    for caution in () if plan is None else plan.cautions:
        yield Notice(kind="lacking", key="", text=caution)


def _quotes(quotes: Sequence[QuoteSummary], today: date) -> Iterator[Notice]:
    for quote in sorted(quotes, key=lambda each: (each.valid_until, each.number)):
        if quote.state != "sent" or quote.valid_until > today + timedelta(days=QUOTE_DAYS):
            continue
        left = (quote.valid_until - today).days
        until = "today" if left <= 0 else "tomorrow" if left == 1 else f"in {left} days"
        whom = f" to {quote.customer}" if quote.customer else ""
        yield Notice(
            kind="quote",
            key=str(quote.number),
            text=f"Quote {quote.number}{whom} lapses {until}, without an answer.",
        )


def _moulds(shop: Shop, plan: Plan | None, now: int) -> Iterator[Notice]:
    for each in mould_notices(shop, plan, now):
        yield Notice(
            kind=each.kind, key=each.mould, text=each.text, at=each.at, presses=each.presses
        )


def _learnt(shop: Shop, changes: Sequence[LearntChange]) -> Iterator[Notice]:
    """Yield that the log speaks for changes which nobody took or left: one notice for all."""
    if not changes:
        return
    of: dict[str, list[str]] = {}
    for change in changes:
        if change.material:
            of.setdefault(f"each mix of {shop.material_title(change.material)}", ["what is lost"])
        else:
            steps = of.setdefault(_way(shop, change.process), [])
            if change.operation not in steps:
                steps.append(change.operation)
    named = "; ".join(f"{listed(steps)} of {whose}" for whose, steps in of.items())
    many = "a change" if len(changes) == 1 else f"{len(changes)} changes"
    text = f"The log speaks for {many} of what is written: {named}. Take or leave it."
    yield Notice(kind="learnt", key="", text=text)


def _way(shop: Shop, key: str) -> str:
    found = shop.processes.get(key) or shop.sets.get(key)
    return found.title if found is not None else key


def _lots(shop: Shop, now: int) -> Iterator[Notice]:
    today = local(now, shop.zone).date()
    stands = stock_as_it_stands(shop, at=local(now, shop.zone))
    lots = [
        (lot.expires, key, lot)
        for key, several in stands.lots.items()
        for lot in several
        if lot.expires is not None and lot.expires <= today + timedelta(days=LOT_DAYS)
    ]
    for expires, key, lot in sorted(lots, key=lambda each: each[:2]):
        title = shop.materials[key].title if key in shop.materials else key
        much = f"{lot.grams:,f} g" if lot.grams is not None else f"{lot.metres or 0:,f} m"
        day = f"{expires:%a} {expires.day} {expires:%b}"
        if expires < today:
            text = f"{title}: {much} expired {day}."
            yield Notice(kind="lot-expired", key=key, text=text)
        else:
            yield Notice(kind="lot", key=key, text=f"{title}: {much} expire {day}.")
