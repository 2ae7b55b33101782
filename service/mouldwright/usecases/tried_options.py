"""The other ways to take an order that was tried: each with its date, its price and its cost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.gains import TriedOption, shifts_between
from mouldwright.planning.more.trials import Trial, hours_outside
from mouldwright.planning.more.trying import FIRST, REST, Split, Tried, worth
from mouldwright.planning.more.ways import Way
from mouldwright.usecases.tried_price import TriedPrice, price_of_tried


def options_of(
    shop: Shop,
    tried: Tried,
    order: Order,
    price: TriedPrice,
    unfit: Mapping[str, tuple[str, ...]],
    *,
    now: int,
) -> tuple[TriedOption, ...]:
    """Return every other way to take an order, the best first.

    Args:
        shop: Without the order.
        tried: What came of it and of each way.
        order: As asked.
        price: As asked.
        unfit: Processes that were not planned since they will not do, and why.
        now: Minutes since the epoch.
    """
    options = [_of_way(shop, tried, order, price, way, trial, now) for way, trial in tried.ways]
    if tried.split is not None:
        options.append(_of_split(shop, tried, order, price, tried.split, now))
    options.extend(
        TriedOption(
            key=f"process {key}",
            kind="process",
            title=shop.processes[key].title,
            note="",
            refused=reasons,
        )
        for key, reasons in unfit.items()
    )
    return tuple(sorted(options, key=_rank))


def _rank(option: TriedOption) -> tuple[bool, int, int, bool, Fraction, int, str]:
    worse = sum(max(s.late_after_min - s.late_before_min, 0) for s in option.shifts)
    return (
        option.finish is None,
        option.late_min,
        worse,
        option.cost_more is None,
        option.cost_more or Fraction(0),
        option.finish or 0,
        option.key,
    )


def _of_way(
    shop: Shop,
    tried: Tried,
    order: Order,
    asked: TriedPrice,
    way: Way,
    trial: Trial,
    now: int,
) -> TriedOption:
    option = TriedOption(key=way.key, kind=way.kind, title=way.title, note=way.note)
    if trial.refused:
        return replace(option, refused=trial.refused)
    if way.kind != "process" and worth(order.number, tried.as_asked) <= worth(order.number, trial):
        # The order as asked still stands beside a mould more or hours that nobody uses.
        trial, option = tried.as_asked, replace(option, note="it would bring nothing here")
    price, cost, used = asked, way.cost, 0
    if way.by_hours:
        used, cost = hours_outside(tried.shop, trial)
    elif way.kind == "process":
        price = price_of_tried(shop, order.part, way.process, order.quantity, now=now)
        cost = _difference(price.total, asked.total)
    outcome = trial.order(order.number)
    return replace(
        option,
        finish=outcome.finish,
        late_min=outcome.late_min,
        shifts=shifts_between(tried.held.orders, trial.orders),
        kept=trial.kept,
        moved=trial.moved,
        chance=trial.chance(order.number),
        promise=trial.promise(order.number),
        cost_more=cost,
        cost_words=way.cost_words,
        used_min=used,
        price_each=price.price_each,
        net=price.net,
    )


def _of_split(
    shop: Shop, tried: Tried, order: Order, price: TriedPrice, split: Split, now: int
) -> TriedOption:
    trial, left = split.trial, order.quantity - split.first
    first = trial.order(FIRST.format(order.number))
    rest = trial.order(REST.format(order.number))
    shares = [
        price_of_tried(shop, order.part, order.process, quantity, now=now).total
        for quantity in (split.first, left)
    ]
    both = None if None in shares else sum((each for each in shares if each), Fraction(0))
    return TriedOption(
        key=f"split {split.first}",
        kind="split",
        title=f"{split.first} {'by the date' if split.sure else 'planned by the date'}, "
        f"{left} later",
        note="begun and sent in two lots; ask whether the rest may follow",
        finish=max(first.finish, rest.finish),
        late_min=first.late_min,
        first=split.first,
        first_finish=first.finish,
        shifts=shifts_between(tried.held.orders, trial.orders),
        kept=trial.kept,
        moved=trial.moved,
        chance=trial.chance(first.number),
        promise=trial.promise(rest.number),
        first_promise=trial.promise(first.number),
        cost_more=_difference(both, price.total),
        cost_words="what two lots cost, less what one costs",
        price_each=price.price_each,
        net=price.net,
    )


def _difference(more: Fraction | None, less: Fraction | None) -> Fraction | None:
    return None if more is None or less is None else more - less
