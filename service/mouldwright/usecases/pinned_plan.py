"""What a new plan must keep: what is pinned, and what goes before it in the plan that holds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypedDict

from mouldwright.domain.shop import Shop
from mouldwright.planning.pinned import with_what_goes_before
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
    return kept_tasks(shop, () if holds is None else holds.tasks, pinned, now=now)


def kept_tasks(shop: Shop, tasks: Sequence[Task], pinned: Sequence[Task], *, now: int) -> Kept:
    """Return what must be kept for pinned tasks to stand in a plan made now."""
    open_orders = {order.number for order in shop.orders}

    def stands(task: Task) -> bool:
        return all(member.order in open_orders for member in task.members)

    wanted = [task for task in pinned if stands(task)]
    if not wanted:
        return Kept()
    kept = with_what_goes_before(shop, [task for task in tasks if stands(task)], wanted)
    return Kept(
        running=tuple(task for task in kept if task.start < now),
        pinned=tuple(task for task in kept if task.start >= now),
    )
