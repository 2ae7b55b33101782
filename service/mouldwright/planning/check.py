"""The last word on a plan: does it keep every rule?"""

from __future__ import annotations

from collections.abc import Iterable

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.shop import Shop
from mouldwright.planning.checking.ledger import Ledger, lay_out
from mouldwright.planning.checking.mould_rules import judge_moulds
from mouldwright.planning.checking.order_rules import judge_batches, judge_chain, judge_set
from mouldwright.planning.checking.people_rules import judge_people
from mouldwright.planning.checking.station_rules import judge_stations
from mouldwright.planning.plan import Plan, Task


def check_plan(shop: Shop, plan: Plan, *, running: Iterable[Task] = ()) -> tuple[str, ...]:
    """Return every complaint about a plan in words; none means it keeps every rule.

    Args:
        shop: What the plan was made for, with its open orders.
        plan: The plan to judge.
        running: Tasks under way, which must stand in the plan as they are.
    """
    under_way = tuple(running)
    ledger = lay_out(shop, plan, under_way)
    _well_formed(ledger)
    for task in under_way:
        if task not in plan.tasks:
            ledger.complaints.append(f"{ledger.what(task)} is under way and was moved")
    for chain in ledger.chains.values():
        judge_chain(ledger, chain)
    for work in ledger.sets.values():
        judge_set(ledger, work)
    judge_batches(ledger)
    judge_people(ledger)
    judge_moulds(ledger)
    judge_stations(ledger)
    _outcomes(ledger)
    _objective(ledger)
    return tuple(dict.fromkeys(ledger.complaints))


def _well_formed(ledger: Ledger) -> None:
    for task in ledger.plan.tasks:
        last = None
        for start, end in task.spans:
            if end < start or (last is not None and start <= last):
                ledger.complaints.append(f"{ledger.what(task)} has spans out of order")
            last = end
        if task.start < ledger.plan.now and task not in ledger.running:
            ledger.complaints.append(f"{ledger.what(task)} starts before now")


def _outcomes(ledger: Ledger) -> None:
    """Judge that each order's finish is the end of its last task and its due date is its own."""
    told = {outcome.number: outcome for outcome in ledger.plan.orders}
    if len(told) != len(ledger.plan.orders):
        ledger.complaints.append("an order is told twice")
    for order in ledger.shop.orders:
        outcome = told.pop(order.number, None)
        if outcome is None:
            ledger.complaints.append(f"order {order.number} is not told")
            continue
        ends = [
            task.end
            for task in ledger.plan.tasks
            if any(member.order == order.number for member in task.members)
        ]
        if ends and outcome.finish != max(ends):
            ledger.complaints.append(
                f"order {order.number} is told to finish at {ledger.at(outcome.finish)} and its "
                f"last task ends at {ledger.at(max(ends))}"
            )
        due = None if order.due is None else minute_of(order.due)
        if outcome.due != due:
            ledger.complaints.append(f"order {order.number} is told another due date than its own")
        begun = sum(chain.starts for key, chain in ledger.chains.items() if key[0] == order.number)
        if outcome.starts != begun:
            ledger.complaints.append(
                f"order {order.number} is told {outcome.starts} starts and has {begun}"
            )
    for number in told:
        ledger.complaints.append(f"there is no open order {number}")


def _objective(ledger: Ledger) -> None:
    plan = ledger.plan
    weights = {order.number: order.weight for order in ledger.shop.orders}
    late = sum(weights.get(o.number, 0) * o.late_min for o in plan.orders)
    finish = max((o.finish for o in plan.orders), default=plan.now) - plan.now
    attended = sum(
        len(task.people) * sum(end - start for start, end in task.spans) for task in plan.tasks
    )
    for name, told, found in (
        ("weighted lateness", plan.objective.weighted_late_min, late),
        ("finish", plan.objective.finish_min, finish),
        ("attended time", plan.objective.attended_min, attended),
    ):
        if told != found:
            ledger.complaints.append(f"{name} is told as {told} min and is {found}")
