"""Make a plan: compile, refuse what can never be, build, improve, bound, check."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import replace

from mouldwright.domain.errors import HardLimit, MouldwrightError
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.assemble import assemble
from mouldwright.planning.attempt import Attempt, Engine
from mouldwright.planning.check import check_plan
from mouldwright.planning.plan import Plan, Task


class PlanRefused(MouldwrightError):
    """A plan was made that breaks a rule of the shop; it is a fault of the planner.

    Attributes:
        complaints: What the checker found.
    """

    def __init__(self, complaints: Sequence[str]) -> None:
        """Keep the complaints and say the first of them."""
        self.complaints = tuple(complaints)
        super().__init__(
            "the planner made a plan that fails its check:\n" + "\n".join(self.complaints[:20])
        )


def make_plan(
    shop: Shop,
    *,
    now: int,
    orders: Sequence[Order] | None = None,
    seconds: float = 5.0,
    seed: int = 1,
    work_limit: int | None = None,
    running: Sequence[Task] = (),
    progress: Callable[..., None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Plan:
    """Return the best plan found for a shop's open orders."""
    began = time.monotonic()
    engine = Engine.for_shop(shop, now=now, orders=orders, running=running)
    best: Attempt | None = None
    for weights, policy in engine.portfolio():
        attempt = engine.attempt(policy, weights)
        if best is None or attempt.value < best.value:
            best = attempt
        if time.monotonic() - began > seconds:
            break
    if best is None:
        raise HardLimit(["there is nothing to plan"])
    plan = assemble(engine.problem, best.tasks, best.progress, engine.unit_names)
    complaints = check_plan(shop, plan, running=tuple(running))
    if complaints:
        raise PlanRefused(complaints)
    return replace(plan, checked=True)
