"""What a new plan must keep: what is pinned, and what goes before it in the plan that holds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypedDict

from mouldwright.domain.shop import Shop
from mouldwright.planning.pinned import identity, with_what_goes_before
from mouldwright.planning.plan import Plan, Task
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.promise_ports import PromiseUnits


class Kept(TypedDict, total=False):
    """What ``make_plan`` is given to keep; nothing where nothing is pinned."""

    running: tuple[Task, ...]
    pinned: tuple[Task, ...]


def plan_that_holds(units: PromiseUnits, key: str) -> Plan | None:
    """Return the plan that holds in a shop; None where none does. Raises Unknown: no such shop."""
    with units.read(key) as unit:
        try:
            return unit.plans.newest().plan
        except Unknown:
            return None


def kept_by_pins(units: PromiseUnits, key: str, shop: Shop, *, now: int) -> Kept:
    """Return what a plan of a shop must keep.

    A pin of an order that is no longer open binds nothing. Of what is kept, tasks that have
    begun count as under way.
    """
    with units.read(key) as unit:
        pins = unit.pins.all()
        holds: Plan | None
        try:
            holds = unit.plans.newest().plan if pins else None
        except Unknown:
            holds = None
    pinned = [task for pin in pins for task in pin.tasks]
    return kept_tasks(shop, holds, pinned, now=now)


def kept_tasks(shop: Shop, plan: Plan | None, pinned: Sequence[Task], *, now: int) -> Kept:
    """Return what must be kept for pinned tasks to stand in a plan made now.

    Of what goes before them, what has begun is under way: as the shop's log tells, and where
    nobody keeps one, what was to begin before now.
    """
    open_orders = {order.number for order in shop.orders}

    def stands(task: Task) -> bool:
        return all(member.order in open_orders for member in task.members)

    wanted = [task for task in pinned if stands(task)]
    if not wanted:
        return Kept()
    tasks, begun = _as_told(shop, plan, now)
    ticked = {identity(task) for task in begun if task.members}
    wanted = [task for task in wanted if identity(task) not in ticked]
    if shop.log:
        # One that should have begun and has not cannot be kept any more.
        wanted = [task for task in wanted if task.start >= now]
    kept = with_what_goes_before(shop, [task for task in tasks if stands(task)], wanted)
    under_way = begun if shop.log else frozenset(task for task in kept if task.start < now)
    return Kept(
        running=tuple(task for task in kept if task in under_way),
        pinned=tuple(task for task in kept if task not in under_way and task.start >= now),
    )


def _as_told(shop: Shop, plan: Plan | None, now: int) -> tuple[Sequence[Task], frozenset[Task]]:
    """Return the tasks of a plan that still stand, and those of them that have begun."""
    if plan is None:
        return (), frozenset()
    if not shop.log:
        return plan.tasks, frozenset()
    # The planner's own reading is slow to import, and few shops have pins.
    from mouldwright.planning.keeping import what_stands

    stands = what_stands(shop, plan, now=now)
    return (*stands.begun, *stands.kept), frozenset(stands.begun)
