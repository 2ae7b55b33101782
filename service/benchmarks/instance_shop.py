"""An instance of the reduced mould shop, written down as a shop of our own.

An instance counts minutes from a Monday 00:00. Its crews become people: person i is in
wherever at least i are, by weekly hours. Its pools become stations, held from step to step.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

from mouldwright.domain.hours.opening import DayTimes, OpeningHours, minute_of
from mouldwright.domain.money import Currency
from mouldwright.domain.order import Order
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.shape import Rectangle
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Hold, Process
from mouldwright.domain.shop import Person, Shop, Station
from mouldwright.planning.plan import Plan

MONDAY = datetime(2027, 3, 1, tzinfo=UTC)
WEEK = 7 * 1440


@dataclass(frozen=True, kw_only=True)
class InstanceShop:
    """The shop, the minute to plan from, and the minute that the instance calls 0."""

    shop: Shop
    now: int
    zero: int


def written_down(instance: dict[str, Any]) -> InstanceShop:
    """Return an instance as a shop.

    Raises:
        ValueError: if its windows are not the same every week.
    """
    zero = minute_of(MONDAY)
    most = max(persons for _, _, persons in instance["windows"])
    people = {
        f"person-{i}": Person(
            key=f"person-{i}",
            title=f"Person {i}",
            skills=frozenset({"bench"}),
            wage_per_hour=Decimal("0.00"),
            weekly=_weekly(instance, i),
        )
        for i in range(1, most + 1)
    }
    return InstanceShop(
        shop=Shop(
            name=instance["name"],
            currency=Currency("EUR"),
            hours=OpeningHours(weekly=_weekly(instance, 1), zone="UTC"),
            service_level=None,
            people=people,
            stations={
                pool: Station(key=pool, title=pool, count=count)
                for pool, count in instance["pools"].items()
            },
            parts={
                order["id"]: Part(
                    key=order["id"],
                    title=order["id"],
                    span_mm=100,
                    section=Rectangle(width_mm=10, height_mm=10),
                    made_by=(order["id"],),
                )
                for order in instance["orders"]
            },
            processes={order["id"]: _process(order) for order in instance["orders"]},
            orders=tuple(_order(order) for order in instance["orders"]),
        ),
        now=zero + instance["t0"],
        zero=zero,
    )


def _weekly(instance: dict[str, Any], number: int) -> tuple[DayTimes, ...]:
    """Return the week of the person who is in wherever at least ``number`` are."""
    weeks: dict[int, set[tuple[int, int]]] = {}
    for opens, closes, persons in instance["windows"]:
        week = weeks.setdefault(opens // WEEK, set())
        if persons >= number:
            week.add((opens % WEEK, opens % WEEK + closes - opens))
    whole = list(weeks.values())[:-1] or list(weeks.values())
    if any(week != whole[0] for week in whole):
        raise ValueError("the instance's windows are not the same every week")
    days: list[list[tuple[int, int]]] = [[] for _ in range(7)]
    for opens, closes in sorted(whole[0]):
        day = opens // 1440
        days[day].append((opens - day * 1440, closes - day * 1440))
    return tuple(tuple(day) for day in days)


def _process(order: dict[str, Any]) -> Process:
    names = [f"{place} {step['name']}" for place, step in enumerate(order["steps"])]
    return Process(
        key=order["id"],
        title=order["id"],
        structure=None,
        operations=tuple(
            Operation(
                name=name,
                per="pull",
                attended=bool(step["att"]),
                fixed_min=Decimal(step["dur"]),
                skill="bench" if step["att"] else None,
            )
            for name, step in zip(names, order["steps"], strict=True)
        ),
        holds=tuple(
            Hold(resource=hold["pool"], first=names[hold["first"]], last=names[hold["last"]])
            for hold in order["holds"]
        ),
    )


def _order(order: dict[str, Any]) -> Order:
    return Order(
        number=order["id"],
        part=order["id"],
        process=order["id"],
        quantity=order["qty"],
        starts=order["qty"],
        due=None if order["due"] is None else MONDAY + timedelta(minutes=order["due"]),
        weight=order["weight"],
        release=MONDAY + timedelta(minutes=order["release"]),
    )


def starts_of(instance: dict[str, Any], plan: Plan, zero: int) -> dict[str, list[list[int]]]:
    """Return a plan's starts by order, unit and step, in the instance's minutes."""
    rows: dict[str, dict[int, list[int]]] = {order["id"]: {} for order in instance["orders"]}
    steps = {order["id"]: len(order["steps"]) for order in instance["orders"]}
    for task in plan.tasks:
        (member,) = task.members
        row = rows[member.order].setdefault(member.pulls[0], [-1] * steps[member.order])
        row[int(task.operation.split(" ", 1)[0])] = task.start - zero
    return {number: [units[unit] for unit in sorted(units)] for number, units in rows.items()}


def value_of(instance: dict[str, Any], plan: Plan) -> int:
    """Return the plan's value by the instance's own objective."""
    weights = instance["obj"]
    late, finish = plan.objective.weighted_late_min, plan.objective.finish_min
    return int(weights["tard"] * late + weights["makespan"] * finish)
