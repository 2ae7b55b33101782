"""How far an order is, as its customer is told: an honest stage and the next date, nothing else."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.order import Order
from mouldwright.domain.promise.booking import Booking, is_later_day
from mouldwright.domain.record.defects import faults_by_part
from mouldwright.domain.record.done import DoneTask, tasks_done
from mouldwright.domain.record.kept_log import in_force
from mouldwright.domain.record.log import LoggedMember
from mouldwright.domain.record.pulls import PartNumbers
from mouldwright.domain.record.serial import Serial
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, Task
from mouldwright.usecases.booked_shop import with_orders
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.promise_ports import PromiseReading
from mouldwright.usecases.services import Services

Stage = Literal["waiting", "being made", "being finished", "ready", "called off"]


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderStage:
    """How far an order is.

    Attributes:
        next_day: The next day something happens: its work begins, else it is ready; None where
            nothing says when, and for what is over.
        is_later: Whether it is ready on a later day than was promised, as things stand.
    """

    stage: Stage
    next_day: date | None
    is_later: bool = False


def kept_stage(services: Services, shop: str, number: str) -> OrderStage:
    """Return how far an order of a shop is. Raises Unknown where there is none of that number."""
    now = minute_of(services.clock())
    with services.units.read(shop) as unit:
        document, log = unit.shops.now().document, unit.log.all()
        open_orders = unit.bookings.open()
        booking = _booking(unit, number)
        try:
            plan: Plan | None = unit.plans.newest().plan
        except Unknown:
            plan = None
    written = replace(services.written.read(document), log=log)
    kept = with_orders(written, (each.order for each in open_orders))
    if booking is None and number not in {order.number for order in kept.orders}:
        raise Unknown(kind="order", key=number)
    return stage_of(kept, number, plan, now, booking)


def _booking(unit: PromiseReading, number: str) -> Booking | None:
    try:
        return unit.bookings.by_number(number)
    except Unknown:
        return None


def stage_of(
    shop: Shop, number: str, plan: Plan | None, now: int, booking: Booking | None = None
) -> OrderStage:
    """Return how far an order is.

    Where the bench keeps a log, only what it tells was done counts; without one the plan is
    taken as kept.

    Args:
        shop: With its log and its open orders.
        number: Of the order.
        plan: The one that holds; None where there is none.
        now: The minute.
        booking: Where the order came from a quote.
    """
    if booking is not None and booking.state == "cancelled":
        return OrderStage(stage="called off", next_day=None)
    tasks = [t for t in plan.tasks if _is_of(t, number)] if plan is not None else []
    outcomes = () if plan is None else plan.orders
    finish = next((each.finish for each in outcomes if each.number == number), None)
    if finish is None and booking is not None:
        finish = booking.expected if booking.expected is not None else booking.promised
    order = next((each for each in shop.orders if each.number == number), None)
    if shop.log:
        made = _Made(shop)
        begun = any(_is_done_of(each, number) for each in made.tasks)
        ready = order is not None and made.is_ready(order)
    else:
        begun = any(task.start <= now for task in tasks)
        ready = bool(tasks) and finish is not None and finish <= now
    later = booking is not None and _is_later(booking, finish, shop.zone)
    if ready:
        return OrderStage(stage="ready", next_day=None)
    if not begun:
        begins = min((task.start for task in tasks), default=finish)
        return OrderStage(stage="waiting", next_day=_day(begins, now, shop.zone), is_later=later)
    in_moulds = any(task.mould and task.end > now for task in tasks)
    return OrderStage(
        stage="being made" if in_moulds else "being finished",
        next_day=_day(finish, now, shop.zone),
        is_later=later,
    )


def ready_by_log(shop: Shop) -> frozenset[str]:
    """Return the numbers of the orders of which, by the log, all that was asked for is done."""
    if not shop.log:
        return frozenset()
    made = _Made(shop)
    return frozenset(order.number for order in shop.orders if made.is_ready(order))


def _day(minute: int | None, now: int, zone: str) -> date | None:
    """Return the day of a minute to come; what is past is no date to look forward to."""
    if minute is None:
        return None
    day = local(minute, zone).date()
    return day if day >= local(now, zone).date() else None


def _is_of(task: Task, number: str) -> bool:
    return any(member.order == number for member in task.members)


def _is_done_of(done: DoneTask, number: str) -> bool:
    return any(member.order == number for member in done.task.members)


class _Made:
    """What the log tells of the parts of orders."""

    def __init__(self, shop: Shop) -> None:
        entries = in_force(shop.log)
        self.shop, self.tasks = shop, tasks_done(entries)
        self._numbers = PartNumbers(shop, self.tasks)
        # What was scrapped, or is a second, is not what was asked for, however far it came.
        self._bad = {
            serial
            for serial, faults in faults_by_part(entries, self._numbers).items()
            if faults.keys() & {"scrapped", "second"}
        }

    def is_ready(self, order: Order) -> bool:
        """Return whether the last operation is done on as many parts as are wanted."""
        last = _last_operation(self.shop, order)
        if last is None:
            return False
        good: set[int] = set()
        unnumbered = 0
        for each in self.tasks:
            if each.task.operation != last or each.state != "done":
                continue
            for member in each.task.members:
                if member.order != order.number:
                    continue
                parts = self._parts(member, order)
                good |= {part for part in parts if Serial(order.number, part) not in self._bad}
                unnumbered += 0 if parts else order.quantity
        return len(good) + unnumbered >= order.quantity

    def _parts(self, member: LoggedMember, order: Order) -> tuple[int, ...]:
        """Return the parts that a member stands for; none where it is a whole order."""
        cavities = _cavities(self.shop, order)
        return member.parts or tuple(
            part
            for pull in member.pulls
            for part in self._numbers.parts_of(order.number, pull, cavities)
        )


def _last_operation(shop: Shop, order: Order) -> str | None:
    if order.part in shop.sets and shop.sets[order.part].operations:
        return shop.sets[order.part].operations[-1].name
    process = shop.processes.get(order.process or "")
    every = [o.name for o in process.operations if not o.rework] if process else []
    return every[-1] if every else None


def _cavities(shop: Shop, order: Order) -> int:
    families = shop.families(order.part, order.process or "")
    return families[0].cavities if families else 1


def _is_later(booking: Booking, finish: int | None, zone: str) -> bool:
    if booking.promised is None or finish is None:
        return False
    return is_later_day(finish, booking.promised, zone)
