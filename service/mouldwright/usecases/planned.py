"""The plan of a shop's open orders, and when one more order would be ready on top of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local
from mouldwright.domain.order import Order
from mouldwright.domain.promise.finish_odds import PlanOdds
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.shop import Shop
from mouldwright.planning.improve.search import Report
from mouldwright.planning.odds.simulate import odds_of
from mouldwright.planning.plan import Plan
from mouldwright.planning.replan import Replanned, replan
from mouldwright.planning.run import make_plan

__all__ = [
    "ENQUIRY",
    "Replanned",
    "Report",
    "finish_first",
    "finish_on_top",
    "plan",
    "plan_beside",
    "plan_odds",
]

ENQUIRY = "enquiry"
# The chance of a promise is off by two in a hundred or less in two of three.
PROMISE_RUNS = 500
MOST_RUNS = 100_000
# How much a minute of a hurried order counts beside one of those booked.
MOST_URGENT = 1_000


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


def plan_beside(
    shop: Shop,
    held: Plan,
    *,
    now: int,
    seconds: float,
    seed: int = 1,
    progress: Callable[[Report], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Replanned:
    """Plan every open order beside a plan that holds; see ``planning.replan``.

    Raises:
        HardLimit: if no plan can exist; every limit is named.
    """
    return replan(
        shop, held, now=now, seconds=seconds, seed=seed, progress=progress, cancelled=cancelled
    )


def plan_odds(
    shop: Shop,
    planned: Plan,
    *,
    runs: int,
    seed: int = 1,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> PlanOdds | None:
    """Say how likely each order of a plan is finished by when; None where it was stopped.

    Raises:
        InvalidInput: if the plan is gone through no time at all, or too often.
        NotOfThisShop: if the plan does not fit the shop.
    """
    check_runs(runs)
    return odds_of(shop, planned, runs=runs, seed=seed, progress=progress, cancelled=cancelled)


def check_runs(runs: int) -> None:
    """Raise InvalidInput where a plan is not gone through from 1 to ``MOST_RUNS`` times."""
    if not 1 <= runs <= MOST_RUNS:
        raise InvalidInput(
            [
                Fault(
                    path="runs",
                    value=str(runs),
                    problem="a plan is not gone through so often.",
                    remedy=f"Give a whole number from 1 to {MOST_RUNS}; 1000 is usual.",
                )
            ]
        )


def finish_on_top(
    shop: Shop,
    part: str,
    process: str | None,
    quantity: int,
    now: int,
    *,
    held: Plan | None = None,
    seconds: float = 0.0,
) -> ReadyBy:
    """Return when one more order would be ready, all booked orders kept.

    What is promised is kept with the chance the shop asks for; the odds are always drawn
    from one seed, so that the same question has the same answer. Where a plan holds, what is
    promised comes from the one that would hold after it: what stands of it stays where it is.

    Args:
        shop: With all that is booked.
        part: Key of a part or a set.
        process: Key of the part's process; None for a set.
        quantity: Good ones wanted.
        now: Minutes since the epoch.
        held: The plan that holds; None where there is none.
        seconds: How long to look for better plans.

    Raises:
        HardLimit: if no plan can exist.
    """
    enquiry = Order(number=ENQUIRY, part=part, process=process, quantity=quantity)
    return _ready(shop, enquiry, now, seconds, held)


def finish_first(
    shop: Shop, part: str, process: str | None, quantity: int, now: int, *, seconds: float = 0.0
) -> ReadyBy:
    """Return when one more order would be ready that goes before all that is not begun.

    It is planned as late from the first minute, and late beyond any other order's weight.

    Raises:
        HardLimit: if no plan can exist.
    """
    enquiry = Order(
        number=ENQUIRY,
        part=part,
        process=process,
        quantity=quantity,
        due=local(now, shop.zone),
        weight=MOST_URGENT,
    )
    return _ready(shop, enquiry, now, seconds)


def _ready(
    shop: Shop, enquiry: Order, now: int, seconds: float, held: Plan | None = None
) -> ReadyBy:
    asked = replace(shop, orders=(*shop.orders, enquiry))
    if held is None:
        planned = make_plan(asked, now=now, seconds=seconds, seed=1)
    else:
        planned = replan(asked, held, now=now, seconds=seconds, seed=1).plan
    odds = odds_of(asked, planned, runs=PROMISE_RUNS)
    if odds is None:
        raise ValueError("nothing cancels the odds of an enquiry")
    return ReadyBy.by(odds.order(ENQUIRY))
