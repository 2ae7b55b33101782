"""Rules about the past: what the log tells stands in a plan as it was."""

from __future__ import annotations

from mouldwright.planning.checking.ledger import Ledger
from mouldwright.planning.checking.told import Name, name_of
from mouldwright.planning.plan import Task


def judge_history(ledger: Ledger) -> None:
    """Judge that what was begun and finished for open orders is in the plan at its own time.

    A task whose pulls and parts were lost meanwhile may have been cut short by that.
    """
    told = ledger.told
    if not told.fixed:
        return
    known: dict[Name, Task] = {
        name_of(t.process, t.operation, t.members, t.mould): t for t in ledger.plan.tasks
    }
    units = {
        (member.order, kind, number): task
        for task in ledger.plan.tasks
        for member in task.members
        for kind, numbers in (("pull", member.pulls), ("part", member.parts))
        for number in numbers
    }
    orders = {order.number for order in ledger.shop.orders}
    for name, (start, end) in told.fixed.items():
        process, operation, whose = name
        if not isinstance(whose, tuple) or any(order not in orders for order, _, _ in whose):
            continue
        task = known.get(name)
        of = ledger.operations.get((process, operation))
        if of is not None and of.per == "order":
            # Where more parts come after it, it is done again.
            continue
        if task is None:
            # Members may be named by their parts alone, or by pulls and parts both.
            if not any(
                (order, kind, number) in units
                for order, pulls, parts in whose
                for kind, numbers in (("pull", pulls), ("part", parts))
                for number in numbers
            ):
                ledger.complaints.append(f"{operation} of {process} was done and is not told")
            continue
        cut = any(told.gone.get(order) for order, _, _ in whose)
        if task.start != start or (task.end != end and not cut):
            ledger.complain(
                task, f"was done from {ledger.at(start)} to {ledger.at(end)} and is told otherwise"
            )
