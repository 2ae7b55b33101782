"""Why the plan that holds stands as it does: what fixes a date, what everything idles for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.shop import Shop
from mouldwright.planning.explain import Explainer
from mouldwright.planning.keeping import what_stands
from mouldwright.planning.pinned import identity
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.reasons import Explanation, Standing
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.promise_lists import PlanRead, read_plan
from mouldwright.usecases.services import Services

# Says in words why a task stands elsewhere, given it before and after.
WhyMoved = Callable[[Task, Task], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """What fixes one order's date in the plan that holds.

    Attributes:
        is_current: Whether the shop and its orders are as they were when it was made.
    """

    explanation: Explanation
    plan: Plan
    version: int
    is_current: bool


def why_ready(services: Services, shop: str, order: str) -> Why:
    """Return what fixes an order's date.

    Raises:
        Unknown: if there is no such shop, no plan yet, or no such order in it.
    """
    found, explainer = _explainer(services, shop)
    if all(outcome.number != order for outcome in found.kept.plan.orders):
        raise Unknown(kind="order in the plan", key=order)
    return Why(
        explanation=explainer.why(order),
        plan=found.kept.plan,
        version=found.kept.version,
        is_current=found.is_current,
    )


def use_of_everything(services: Services, shop: str) -> tuple[Standing, ...]:
    """Return what every person, mould and station does in the plan that holds. Raises Unknown."""
    return _explainer(services, shop)[1].standings()


def why_moved(services: Services, shop: str, held: Plan, plan: Plan) -> WhyMoved:
    """Return what says why each task stands elsewhere in a plan than in the one that holds.

    Raises:
        Unknown: if there is no such shop.
    """
    written = read_booked(services.units, shop, services.written).without()
    try:
        moves = what_stands(written, held, now=plan.now).moves
    except MouldwrightError:
        # An order of that plan may name what the shop no longer has.
        moves = {}
    known = {
        identity(held.tasks[at]): words for at, words in moves.items() if held.tasks[at].members
    }

    def why(before: Task, after: Task) -> str:
        if identity(before) in known:
            return known[identity(before)]
        if after.start < before.start:
            return "it can be sooner"
        return "it gives way to what moves or is new"

    return why


def explain(shop: Shop, plan: Plan, order: str) -> Explanation:
    """Return what fixes an order's date in a plan. Raises NotFound."""
    return Explainer(shop, plan).why(order)


def use_in(shop: Shop, plan: Plan) -> tuple[Standing, ...]:
    """Return what every person, mould and station does while a plan lasts."""
    return Explainer(shop, plan).standings()


def _explainer(services: Services, shop: str) -> tuple[PlanRead, Explainer]:
    found = read_plan(services.units, shop)
    written = read_booked(services.units, shop, services.written).without()
    return found, Explainer(written, found.kept.plan)
