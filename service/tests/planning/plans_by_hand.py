"""Making a plan of a small shop and telling it in local times."""

from __future__ import annotations

from typing import Any

import builders as build

from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.planning.run import make_plan

# Monday to Friday 08:00-12:00 and 12:30-17:00.
WEEK = build.week()


def made(shop: Shop, now: str, **more: Any) -> Plan:
    """Return the plan made at a local time."""
    plan = make_plan(shop, now=build.at(now, shop.zone), seconds=1.0, seed=1, **more)
    assert plan.checked
    assert plan.bound is None or plan.bound <= (
        plan.objective.weighted_late_min or plan.objective.finish_min
    )
    return plan


def told(plan: Plan, operation: str) -> list[str]:
    """Return start and end of each task of an operation, by start: "Mon 08:00 - Mon 08:20"."""
    tasks = sorted((t for t in plan.tasks if t.operation == operation), key=lambda t: t.start)
    return [f"{clock_time(plan, t.start)} - {clock_time(plan, t.end)}" for t in tasks]


def finish(plan: Plan, number: str = "1") -> str:
    outcome = next(o for o in plan.orders if o.number == number)
    return clock_time(plan, outcome.finish)


def clock_time(plan: Plan, minute: int) -> str:
    return f"{local(minute, plan.zone):%a %H:%M}"
