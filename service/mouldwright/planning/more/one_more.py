"""What one more mould, hour, day, station or a shorter cure would buy, ranked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.shop import Shop
from mouldwright.planning.gains import Gain, OneMore, shifts_between
from mouldwright.planning.more.changes import Change, changes_of
from mouldwright.planning.more.late import late_orders
from mouldwright.planning.more.trials import Asked, Effort, Trial, hours_outside, try_all, try_one
from mouldwright.planning.plan import Task

AS_IS = "as it is"


def one_more(
    shop: Shop,
    *,
    now: int,
    effort: Effort,
    running: Sequence[Task] = (),
    pinned: Sequence[Task] = (),
    changes: Sequence[Change] | None = None,
    progress: Callable[[int, int, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> OneMore:
    """Plan a shop as it is and changed in one thing at a time; say what each would buy.

    A plan of a changed shop that needs nothing of the change is a plan of the shop as it
    is: it is compared with, so that luck of the search is not taken for a gain.

    Raises:
        HardLimit: if no plan can exist as things are.
    """
    wanted = changes_of(shop) if changes is None else changes

    def asked(key: str, changed: Shop) -> Asked:
        return Asked(key=key, shop=changed, now=now, running=tuple(running), pinned=tuple(pinned))

    def told(done: int, _: int, key: str) -> None:
        if progress is not None:
            progress(done + 1, len(wanted) + 1, key)

    base = try_one(asked(AS_IS, shop), shop, effort, cancelled)
    if base.refused:
        raise HardLimit(list(base.refused))
    if progress is not None:
        progress(1, len(wanted) + 1, AS_IS)
    trials = try_all(
        [asked(change.key, change.shop) for change in wanted],
        shop,
        effort,
        progress=told,
        cancelled=cancelled,
    )
    weights = {order.number: order.weight for order in shop.orders}
    alike = [base, *(t for t in trials.values() if t.fits_as_is and not t.refused)]
    base = min(alike, key=lambda trial: trial.value(weights))
    gains = [
        _gain(shop, change, base, trials[change.key], weights)
        for change in wanted
        if change.key in trials
    ]
    ranked = tuple(sorted(gains, key=_rank))
    return OneMore(
        now=now,
        zone=shop.zone,
        finish=now + base.finish_min,
        late_min=base.late_min,
        gains=ranked,
        late=() if base.plan is None else late_orders(shop, base.plan, ranked),
        tried=len(gains),
        changes=len(wanted),
    )


def _rank(gain: Gain) -> tuple[int, int, int, bool, Fraction, str]:
    return (
        -gain.late_gain_min,
        -gain.sooner_min,
        -gain.finish_gain_min,
        gain.cost is None,
        gain.cost or Fraction(0),
        gain.key,
    )


def _gain(shop: Shop, change: Change, base: Trial, trial: Trial, weights: dict[str, int]) -> Gain:
    better = not trial.refused and trial.value(weights) < base.value(weights)
    after = trial if better else base
    shifts = shifts_between(base.orders, after.orders)
    cost = change.cost
    used = 0
    if change.by_hours:
        used, cost = hours_outside(shop, after) if better else (0, Fraction(0))
    return Gain(
        key=change.key,
        kind=change.kind,
        title=change.title,
        note=change.note,
        late_gain_min=base.late_min - after.late_min,
        finish_gain_min=base.finish_min - after.finish_min,
        sooner_min=sum(weights.get(s.number, 1) * (s.before - s.after) for s in shifts),
        orders=shifts,
        cost=cost,
        cost_words=change.cost_words,
        used_min=used,
    )
