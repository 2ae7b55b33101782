"""One order more on top of what is planned, as the bench would take it in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from mouldwright.domain.order import Order
from mouldwright.domain.promise.finish_odds import OrderOdds, PlanOdds
from mouldwright.domain.shop import Shop
from mouldwright.planning.odds.simulate import odds_of
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.replan import Replanned, replan
from mouldwright.planning.run import make_plan

# The chance of a promise is off by two in a hundred or less in two of three.
PROMISE_RUNS = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTop:
    """A plan with one order more, and its odds.

    Attributes:
        shop: With the order.
        found: The plan beside the one that holds; all kept where none does.
        odds: Of every order in it.
    """

    shop: Shop
    number: str
    found: Replanned
    odds: PlanOdds

    @property
    def order_odds(self) -> OrderOdds:
        """Return the odds of the order."""
        return self.odds.order(self.number)


def plan_on_top(
    shop: Shop,
    order: Order,
    *,
    now: int,
    held: Plan | None,
    running: Sequence[Task] = (),
    pinned: Sequence[Task] = (),
    goes_first: bool = False,
    seconds: float = 0.0,
) -> OnTop:
    """Return a plan with one order more; without time to search it is always the same.

    The odds are always drawn from one seed, so that the same question has the same answer.

    Args:
        shop: Without the order.
        order: The order.
        now: Minutes since the epoch.
        held: The plan that holds, kept to where it can be; None to plan all from nothing.
        running: Tasks under way.
        pinned: Tasks that stay where they are.
        goes_first: Whether of the plan that holds only what has begun is kept.
        seconds: How long to look for a better plan.

    Raises:
        HardLimit: if no plan can exist.
    """
    with_it = replace(shop, orders=(*shop.orders, order))
    if held is None:
        plan = make_plan(with_it, now=now, seconds=seconds, running=running, pinned=pinned)
        found = Replanned(plan=plan, kept=0, moved=0, why={})
    else:
        found = replan(
            with_it,
            held,
            now=now,
            seconds=seconds,
            running=running,
            pinned=pinned,
            only_begun=goes_first,
        )
    odds = odds_of(with_it, found.plan, runs=PROMISE_RUNS)
    if odds is None:
        raise ValueError("nothing cancels the odds of one order more")
    return OnTop(shop=with_it, number=order.number, found=found, odds=odds)
