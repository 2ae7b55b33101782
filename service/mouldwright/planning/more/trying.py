"""One order more, planned beside the plan that holds: as it is asked, and in other ways."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from mouldwright.domain.errors import HardLimit
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.more.late import ready_in_time
from mouldwright.planning.more.on_top import PROMISE_RUNS, OnTop, plan_on_top
from mouldwright.planning.more.trials import Asked, Effort, Trial, trial_of, try_all, try_one
from mouldwright.planning.more.ways import Way, ways_of
from mouldwright.planning.odds.simulate import odds_of
from mouldwright.planning.plan import OrderOutcome, Plan, Task

AS_ASKED = "as asked"
# A share of an order is an order of this name until the question is answered.
FIRST, REST = "first of {}", "rest of {}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """The greatest first share that is in time as often as is promised, the rest following.

    Where none is so often, the one that is in time most often of those planned in time.

    Attributes:
        first: Pieces of the first share.
        trial: What came of it.
        sure: Whether it is in time as often as the shop promises.
    """

    first: int
    trial: Trial
    sure: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What came of an order.

    Attributes:
        shop: With the order as asked in it.
        held: The plan that holds, or would without the order.
        as_asked: What came of the order as asked; its odds are what may be promised of it.
        quoted: What a quote of it goes by: without a date of its own, beside the plan that
            holds; where none does, planned with all else from nothing.
        ways: What came of each other way that was tried.
        split: A split delivery; None where it is in time as asked, or no share is.
        left_out: Ways that were not tried any more when it was stopped.
    """

    shop: Shop
    held: Plan
    as_asked: Trial
    quoted: OnTop
    ways: tuple[tuple[Way, Trial], ...] = ()
    split: Split | None = None
    left_out: int = 0


def try_order(
    shop: Shop,
    order: Order,
    *,
    now: int,
    held: Plan | None,
    effort: Effort,
    otherwise: Sequence[str] | None = None,
    running: Sequence[Task] = (),
    pinned: Sequence[Task] = (),
    progress: Callable[[int, int, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Tried:
    """Plan a shop with one order more, and in the other ways to take it side by side.

    Args:
        shop: Without the order.
        order: The order.
        now: Minutes since the epoch.
        held: The plan that holds; None to make one first.
        effort: How hard each plan is searched for.
        otherwise: Keys of the other processes that may make the part; None tries the order as
            asked only.
        running: Tasks under way.
        pinned: Tasks that stay where they are.
        progress: Told how many plans of how many are made, and which was made last.
        cancelled: Asked again and again; True ends with what there is.

    Raises:
        HardLimit: if no plan can exist with the order as asked.
    """
    with_it = replace(shop, orders=(*shop.orders, order))
    # The plan that is taken in the end is gone through, and no other.
    unseen = replace(effort, runs=0)
    undated = replace(order, due=None, weight=1)
    top = plan_on_top(shop, undated, now=now, held=held, running=running, pinned=pinned)

    def asked(key: str, changed: Shop) -> Asked:
        return Asked(
            key=key, shop=changed, now=now, running=tuple(running), pinned=tuple(pinned), held=held
        )

    as_quoted: Trial | None = None
    if held is None:
        held = _planned(try_one(asked("held", shop), shop, unseen, cancelled))
    else:
        as_quoted = _as_quoted(asked(AS_ASKED, with_it), order, top)
    if as_quoted is not None and not as_quoted.order(order.number).late_min:
        # In time with all that is planned kept: there is nothing to look for.
        as_asked = as_quoted
    else:
        as_asked = try_one(asked(AS_ASKED, with_it), with_it, unseen, cancelled)
        _planned(as_asked)
        if as_quoted is not None:
            as_asked = _best_as_asked(order.number, as_quoted, [as_asked])
    if otherwise is None:
        return Tried(shop=with_it, held=held, as_asked=_with_odds(with_it, as_asked), quoted=top)
    ways = ways_of(with_it, order, otherwise, now=now, finish=as_asked.order(order.number).finish)
    total = len(ways) + 2

    def told(done: int, _: int, key: str) -> None:
        if progress is not None:
            progress(done + 1, total, key)

    told(0, total, AS_ASKED)
    trials = try_all(
        [asked(way.key, way.shop) for way in ways],
        with_it,
        effort,
        progress=told,
        cancelled=cancelled,
    )
    as_asked = _best_as_asked(order.number, as_asked, trials.values())
    split = None
    if as_asked.order(order.number).late_min:
        split = _greatest_share(shop, order, asked, as_asked, effort, cancelled)
    told(len(ways) + 1, total, "split delivery")
    return Tried(
        shop=with_it,
        held=held,
        as_asked=_with_odds(with_it, as_asked),
        quoted=top,
        ways=tuple((way, trials[way.key]) for way in ways if way.key in trials),
        split=split,
        left_out=len(ways) - len(trials),
    )


def worth(number: str, trial: Trial) -> tuple[int, int, int]:
    """Return all lateness, the order's finish, the sum of all finishes: smaller is better."""
    ends = sum(outcome.finish for outcome in trial.orders)
    return trial.late_min, trial.order(number).finish, ends


def _best_as_asked(number: str, as_asked: Trial, others: Iterable[Trial]) -> Trial:
    """Return the best plan that the shop as it is can work.

    A plan of a changed shop that needs nothing of the change is one, so that luck of the
    search is not taken for a gain.
    """
    alike = [as_asked, *(t for t in others if t.fits_as_is and not t.refused)]
    return min(alike, key=lambda trial: worth(number, trial))


def _with_odds(shop: Shop, trial: Trial) -> Trial:
    """Return a trial with the odds of its plan in the shop as it is, as many runs as a quote's."""
    if trial.odds is not None and trial.odds.runs == PROMISE_RUNS:
        return trial
    return replace(trial, odds=odds_of(shop, _planned(trial), runs=PROMISE_RUNS))


def _as_quoted(asked: Asked, order: Order, top: OnTop) -> Trial:
    """Return the plan a quote goes by, with the day the order is wanted in it."""
    due = None if order.due is None else minute_of(order.due)

    def dated(outcome: OrderOutcome) -> OrderOutcome:
        return replace(outcome, due=due) if outcome.number == order.number else outcome

    plan = replace(top.found.plan, orders=tuple(dated(each) for each in top.found.plan.orders))
    late = order.weight * next(o.late_min for o in plan.orders if o.number == order.number)
    worth = plan.objective
    plan = replace(plan, objective=replace(worth, weighted_late_min=worth.weighted_late_min + late))
    odds = odds_of(asked.shop, plan, runs=PROMISE_RUNS)
    return trial_of(asked, asked.shop, plan, kept=top.found.kept, moved=top.found.moved, odds=odds)


def _planned(trial: Trial) -> Plan:
    if trial.plan is None:
        raise HardLimit(list(trial.refused))
    return trial.plan


def _greatest_share(
    shop: Shop,
    order: Order,
    asked: Callable[[str, Shop], Asked],
    as_asked: Trial,
    effort: Effort,
    cancelled: Callable[[], bool] | None,
) -> Split | None:
    """Return the greatest share that is in time as often as is promised when the rest may follow.

    Between a share that is and a larger one that is not, the middle is planned. Where no share is,
    the one that most often is of those planned in time; None where none is even planned so.
    """
    name, rest = FIRST.format(order.number), REST.format(order.number)
    low, high = 0, order.quantity
    found: list[Split] = []
    ready, of, _ = ready_in_time(_planned(as_asked), as_asked.order(order.number))
    middle = ready * order.quantity // of if of else order.quantity // 2
    while high - low > 1 and not (cancelled is not None and cancelled()):
        middle = min(max(middle, low + 1), high - 1)
        orders = (
            *shop.orders,
            replace(order, number=name, quantity=middle),
            # Without a date the rest is not late, and pushes no promise aside.
            replace(order, number=rest, quantity=order.quantity - middle, due=None),
        )
        changed = replace(shop, orders=orders)
        trial = try_one(asked(f"split {middle}", changed), changed, effort, cancelled)
        sure = False
        if not trial.refused and not trial.order(name).late_min:
            chance = trial.chance(name)
            sure = chance is None or chance >= shop.odds.promise
            found.append(Split(first=middle, trial=trial, sure=sure))
        if sure:
            low = middle
        else:
            high = middle
        middle = (low + high) // 2
    return max(
        found,
        key=lambda s: (s.sure, s.first if s.sure else s.trial.chance(name) or 0.0, s.first),
        default=None,
    )
