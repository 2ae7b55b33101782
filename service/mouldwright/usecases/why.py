"""Why the plan that holds stands as it does: what fixes a date, what everything idles for."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from mouldwright.domain.errors import MouldwrightError
from mouldwright.domain.shop import Shop
from mouldwright.planning.explain import Explainer
from mouldwright.planning.keeping import what_stands, why_of
from mouldwright.planning.pinned import Identity, identity
from mouldwright.planning.plan import Plan, Task
from mouldwright.planning.reasons import Explanation, Standing
from mouldwright.usecases.board import Changes, changes_between
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.promise_lists import PlanRead, read_plan
from mouldwright.usecases.services import Services


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


class Moves:
    """Says why a plan is another than the one before it.

    Attributes:
        because: What happened, in words, each once; what moves most tasks comes first.
    """

    def __init__(self, shop: Shop, held: Plan, plan: Plan) -> None:
        """Hold what stood against the shop and its log as they were when the plan was made."""
        try:
            stands = what_stands(shop, held, now=plan.now)
        except MouldwrightError:
            # An order of that plan may name what the shop no longer has.
            self._known: dict[Identity, str] = {}
            self.because: tuple[str, ...] = ()
            return
        self._known = why_of(held, stands)
        told = Counter([*stands.lost.values(), *(stands.moves[at] for at in stands.late)])
        first = [why for why in stands.moves.values() if not any(w in why for w in _FOLLOWS)]
        # That a mould is lost is said already.
        first = [why for why in first if not stands.lost or not why.endswith("out of use")]
        told.update(why for why in first if why not in told)
        self.because = tuple(why for why, _ in told.most_common())

    def __call__(self, before: Task, after: Task) -> str:
        """Return why a task stands elsewhere, given it before and after."""
        if identity(before) in self._known:
            return self._known[identity(before)]
        if after.start < before.start:
            return "it can be sooner"
        return "it gives way to what moves or is new"

    def gone(self, task: Task) -> str:
        """Return why a task of the plan before is in this one no more."""
        return self._known.get(identity(task), "it is not needed any more")


# What is said of tasks that move only because others do.
_FOLLOWS = ("it follows", "which moves")


def why_moved(services: Services, shop: str, held: Plan, plan: Plan) -> Moves:
    """Return what says why each task stands elsewhere in a plan than in the one that holds.

    Raises:
        Unknown: if there is no such shop.
    """
    return Moves(read_booked(services.units, shop, services.written).without(), held, plan)


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatChanged:
    """What a published plan does otherwise than the one before it.

    Attributes:
        beside: Version of the one before.
    """

    changes: Changes
    moves: Moves
    beside: int
    plan: Plan


def what_changed(services: Services, shop: str, version: int | None = None) -> WhatChanged:
    """Return what a published plan changed, and why.

    Args:
        services: The ports.
        shop: Which shop.
        version: Which plan; None for the one that holds.

    Raises:
        Unknown: if there is no such shop or plan, or none before it.
    """
    with services.units.read(shop) as unit:
        kept = unit.plans.newest() if version is None else unit.plans.at(version)
        before = unit.plans.at(kept.version - 1)
    return WhatChanged(
        changes=changes_between(before.plan, kept.plan),
        moves=why_moved(services, shop, before.plan, kept.plan),
        beside=before.version,
        plan=kept.plan,
    )


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
