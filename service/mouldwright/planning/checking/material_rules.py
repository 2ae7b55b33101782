"""Rules about materials: no order begins before all it draws is there, where stock is planned."""

from __future__ import annotations

from datetime import UTC, date, datetime
from fractions import Fraction
from zoneinfo import ZoneInfo

from mouldwright.domain.costing.arrival import arrives_on
from mouldwright.domain.costing.material_wait import drawn_by
from mouldwright.domain.order import Order
from mouldwright.planning.checking.ledger import Ledger


def judge_materials(ledger: Ledger) -> None:
    """Judge that what all orders due no later draw together is there when one begins.

    Orders take from stock those due first in front. Up to the day an order begins, lots and
    deliveries, and from the day a supplier delivers on whatever they sell, must cover the sum.
    """
    shop, plan = ledger.shop, ledger.plan
    if shop.materials_planned != "from stock":
        return
    zone = ZoneInfo(plan.zone)
    begins: dict[str, int] = {}
    begun = set()
    for task in plan.tasks:
        for member in task.members:
            begins[member.order] = min(begins.get(member.order, task.start), task.start)
            if ledger.is_running(task):
                begun.add(member.order)
    at = datetime.fromtimestamp(plan.now * 60, UTC).astimezone(zone)
    today = at.date()
    drawn: dict[str, Fraction] = {}
    for order in sorted((o for o in shop.orders if o.number not in begun), key=_due):
        for (material, unit), amount in drawn_by(shop, order).items():
            drawn[material] = drawn.get(material, Fraction(0)) + amount
            start = begins.get(order.number)
            if not amount or start is None:
                continue
            day = datetime.fromtimestamp(start * 60, UTC).astimezone(zone).date()
            lacking = drawn[material] - _there(ledger, material, day, today)
            if lacking > 0 and not _bought_by(ledger, material, day, at):
                ledger.complaints.append(
                    f"order {order.number} begins on {day} and {float(lacking):.1f} {unit} of "
                    f"{material} are not there"
                )


def _there(ledger: Ledger, material: str, day: date, today: date) -> Fraction:
    """Return what lots and deliveries give up to a day."""
    total = Fraction(0)
    for lot in ledger.shop.stock.lots.get(material, ()):
        arrives = lot.arrives or today
        if arrives <= day and (lot.expires is None or lot.expires >= max(arrives, today)):
            total += Fraction(lot.grams if lot.grams is not None else lot.metres or 0)
    return total


def _bought_by(ledger: Ledger, material: str, day: date, at: datetime) -> bool:
    """Return whether someone who sells a material delivers by a day what is bought now."""
    return any(
        arrives_on(ledger.shop, supplier, at) <= day
        for supplier in ledger.shop.suppliers.values()
        for offer in supplier.offers
        if material in offer.materials
    )


def _due(order: Order) -> float:
    return float("inf") if order.due is None else order.due.timestamp()
