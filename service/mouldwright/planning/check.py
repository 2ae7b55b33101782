"""The last word on a plan: does it keep every rule?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.order import Order
from mouldwright.domain.shop import Shop
from mouldwright.planning.checking.batch_rules import judge_batches
from mouldwright.planning.checking.history_rules import judge_history
from mouldwright.planning.checking.ledger import Ledger, lay_out
from mouldwright.planning.checking.material_rules import judge_materials
from mouldwright.planning.checking.mould_rules import judge_moulds
from mouldwright.planning.checking.order_rules import judge_chain
from mouldwright.planning.checking.people_rules import judge_people
from mouldwright.planning.checking.room_rules import judge_rooms
from mouldwright.planning.checking.session_rules import judge_sessions
from mouldwright.planning.checking.set_rules import judge_set
from mouldwright.planning.checking.start_rules import judge_starts
from mouldwright.planning.checking.station_rules import judge_stations
from mouldwright.planning.logged.pieces import pieces_of
from mouldwright.planning.logged.standing import as_it_stands
from mouldwright.planning.plan import Plan, Task


def check_plan(shop: Shop, plan: Plan, *, running: Iterable[Task] = ()) -> tuple[str, ...]:
    """Return every complaint about a plan in words; none means it keeps every rule.

    Args:
        shop: What the plan was made for, with its open orders and its log. Moulds, hours and stock
            are judged as that left them.
        plan: The plan to judge.
        running: Tasks under way, which must stand in the plan as they are.
    """
    if not all(task.spans for task in plan.tasks):
        return ("a task has no time",)
    under_way = tuple(running)
    shop = as_it_stands(shop, now=plan.now)
    ledger = lay_out(shop, plan, under_way)
    _well_formed(ledger)
    present = set(plan.tasks) if under_way else set()
    for task in under_way:
        if task not in present:
            ledger.complain(task, "is under way and was moved")
    for chain in ledger.chains.values():
        judge_chain(ledger, chain)
        judge_starts(ledger, chain)
    for chain in ledger.builds.values():
        judge_chain(ledger, chain)
    for proofs in ledger.proofs.values():
        for chain in proofs:
            judge_chain(ledger, chain)
    for work in ledger.sets.values():
        judge_set(ledger, work)
    judge_history(ledger)
    judge_batches(ledger)
    judge_materials(ledger)
    judge_people(ledger)
    judge_moulds(ledger)
    judge_stations(ledger)
    _outcomes(ledger)
    judge_rooms(ledger)
    _objective(ledger, judge_sessions(ledger))
    return tuple(dict.fromkeys(ledger.complaints))


def _well_formed(ledger: Ledger) -> None:
    """Judge that spans follow each other, work in each, and that nothing starts before now."""
    for task in ledger.plan.tasks:
        pauses = len(task.spans) > 1
        last = None
        for start, end in task.spans:
            if end < start or (pauses and end == start) or (last is not None and start <= last):
                ledger.complain(task, "has spans out of order or empty")
            last = end
        if task.start < ledger.plan.now and not ledger.is_running(task):
            ledger.complain(task, "starts before now")


def _outcomes(ledger: Ledger) -> None:
    """Judge that each order's finish is the end of its last task and its due date is its own."""
    told = {outcome.number: outcome for outcome in ledger.plan.orders}
    if len(told) != len(ledger.plan.orders):
        ledger.complaints.append("an order is told twice")
    ends: dict[str, int] = {}
    for task in ledger.plan.tasks:
        for member in task.members:
            ends[member.order] = max(ends.get(member.order, task.end), task.end)
    begun: dict[str, int] = defaultdict(int)
    for chain in ledger.chains.values():
        begun[chain.order.number] += chain.starts
    for order in ledger.shop.orders:
        outcome = told.pop(order.number, None)
        if outcome is None:
            ledger.complaints.append(f"order {order.number} is not told")
            continue
        end = ends.get(order.number)
        if end is not None and outcome.finish != end:
            ledger.complaints.append(
                f"order {order.number} is told to finish at {ledger.at(outcome.finish)} and its "
                f"last task ends at {ledger.at(end)}"
            )
        due = None if order.due is None else minute_of(order.due)
        if outcome.due != due:
            ledger.complaints.append(f"order {order.number} is told another due date than its own")
        starts = begun[order.number] + _lost_unnoted(ledger, order)
        if outcome.starts != starts:
            ledger.complaints.append(
                f"order {order.number} is told {outcome.starts} starts and has {starts}"
            )
    for number in told:
        ledger.complaints.append(f"there is no open order {number}")


def _lost_unnoted(ledger: Ledger, order: Order) -> int:
    """Return the parts that were lost before anybody noted any work on them.

    They were begun all the same: no task of the plan tells of them, only the log does.
    """
    gone = ledger.told.gone.get(order.number)
    if not gone:
        return 0
    count = 0
    for piece in pieces_of(ledger.shop, order):
        numbers = piece.numbers
        chain = ledger.chains.get((order.number, piece.part, piece.process))
        lost: set[int] = set()
        for kind, number in gone:
            place = numbers.place_of_part(number) if kind == "part" else None
            unit = numbers.unit_of_pull(number) if kind == "pull" else place and place[0]
            if unit is not None:
                lost.add(unit)
        for unit in lost:
            seen = chain is not None and (
                numbers.pull(unit) in chain.pulls
                if numbers.has_pulls
                else numbers.parts(unit)[0] in chain.parts_of[0]
            )
            count += 0 if seen else piece.cavities
    return count


def _objective(ledger: Ledger, going_in_and_out: int) -> None:
    plan = ledger.plan
    weights = {order.number: order.weight for order in ledger.shop.orders}
    late = sum(weights.get(o.number, 0) * o.late_min for o in plan.orders)
    # What is over by now needs no more time.
    finish = max([0, *(o.finish - plan.now for o in plan.orders)])
    attended = sum(
        len(task.people) * sum(end - start for start, end in task.spans) for task in plan.tasks
    )
    attended += going_in_and_out
    for name, told, found in (
        ("weighted lateness", plan.objective.weighted_late_min, late),
        ("finish", plan.objective.finish_min, finish),
        ("attended time", plan.objective.attended_min, attended),
    ):
        if told != found:
            ledger.complaints.append(f"{name} is told as {told} min and is {found}")
    value = late or finish
    if plan.bound is not None and plan.bound > value:
        ledger.complaints.append(f"the bound is told as {plan.bound} min and {value} is reached")
    if plan.zone != ledger.shop.zone:
        ledger.complaints.append(f"the plan is in {plan.zone} and the shop in {ledger.shop.zone}")
