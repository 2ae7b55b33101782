"""The plan of a shop's open orders, and when one more order would be ready on top of them."""

from __future__ import annotations

from collections.abc import Callable

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local
from mouldwright.domain.order import Order
from mouldwright.domain.promise.finish_odds import PlanOdds
from mouldwright.domain.promise.ready_by import ReadyBy
from mouldwright.domain.shop import Shop
from mouldwright.planning.improve.search import Report
from mouldwright.planning.more.on_top import plan_on_top
from mouldwright.planning.odds.simulate import odds_of
from mouldwright.planning.plan import Plan
from mouldwright.planning.replan import Replanned, replan
from mouldwright.planning.run import make_plan
from mouldwright.usecases.held import NOTHING_HELD, Held
from mouldwright.usecases.pinned_plan import kept_tasks

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
    held: Held = NOTHING_HELD,
    *,
    seconds: float = 0.0,
) -> ReadyBy:
    """Return when one more order would be ready, all booked orders kept.

    It is taken in as the bench would: beside the plan that holds, with what the log tells and
    what is pinned, and not before what stock lacks for it can be there. What is promised is kept
    with the chance the shop asks for; the odds are always drawn from one seed, so that the same
    question has the same answer.

    Raises:
        HardLimit: if no plan can exist.
    """
    order = Order(
        number=ENQUIRY, part=part, process=process, quantity=quantity, awaits_material=True
    )
    return _ready(shop, order, now, held, seconds=seconds, goes_first=False)


def finish_first(
    shop: Shop,
    part: str,
    process: str | None,
    quantity: int,
    now: int,
    held: Held = NOTHING_HELD,
    *,
    seconds: float = 0.0,
) -> ReadyBy:
    """Return when one more order would be ready that goes before all that is not begun.

    It is planned as late from the first minute, and late beyond any other order's weight.

    Raises:
        HardLimit: if no plan can exist.
    """
    order = Order(
        number=ENQUIRY,
        part=part,
        process=process,
        quantity=quantity,
        due=local(now, shop.zone),
        weight=MOST_URGENT,
        awaits_material=True,
    )
    return _ready(shop, order, now, held, seconds=seconds, goes_first=True)


def _ready(
    shop: Shop, order: Order, now: int, held: Held, *, seconds: float, goes_first: bool
) -> ReadyBy:
    top = plan_on_top(
        shop,
        order,
        now=now,
        held=held.plan,
        goes_first=goes_first,
        seconds=seconds,
        **kept_tasks(shop, held.plan, held.pinned, now=now),
    )
    return ReadyBy.by(top.order_odds)
