"""A plan made beside one that was printed before, and what it moves."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from pydantic import ValidationError
from rich.console import Console

from mouldwright.cli.show import figure, heading, print_json, table, when
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.board import changes_between
from mouldwright.usecases.planned import Replanned
from mouldwright.usecases.why import Moves
from mouldwright.wire.answers.plan import TaskAnswer
from mouldwright.wire.kept_plan import KeptPlanDocument
from mouldwright.wire.service.changes import ChangesAnswer


def read_held(file: str, shop: Shop) -> Plan:
    """Return a plan that ``plan --json`` printed. Raises InvalidInput where it is none."""
    try:
        text = Path(file).read_text(encoding="utf-8")
        found = KeptPlanDocument.model_validate_json(_with_zone(text, shop.zone))
        return found.plan()
    except (OSError, ValueError, ValidationError):
        fault = Fault(
            path="--keep",
            value=file,
            problem="that is no plan that was printed with --json.",
            remedy="Give a file that plan SCENARIO --json wrote.",
        )
        raise InvalidInput([fault]) from None


def _with_zone(text: str, zone: str) -> str:
    import json

    document = json.loads(text)
    if not isinstance(document, dict):
        raise TypeError("a plan is an object")
    return json.dumps({"zone": zone, **document})


def without_held() -> Fault:
    """Return the fault of asking what moves beside nothing."""
    return Fault(
        path="--changes",
        value="",
        problem="there is no plan to set it beside.",
        remedy="Add --keep with a file that plan SCENARIO --json wrote.",
    )


def show_changes(out: Console, shop: Shop, held: Plan, planned: Plan, *, as_json: bool) -> None:
    """Print what a plan does otherwise than the one that held, task by task, and why."""
    found, why = changes_between(held, planned), Moves(shop, held, planned)
    answer = ChangesAnswer.of(found, why, beside=None, zone=planned.zone)
    if as_json:
        print_json(answer)
        return
    heading(out, "What moves")
    out.print(
        f"{answer.same} tasks stay where they stand, {len(answer.moved)} move, "
        f"{len(answer.new)} are new, {len(answer.gone)} are no more."
    )
    for cause in answer.because:
        out.print(f"Because {cause}.")
    if answer.orders:
        rows = [
            (
                order.order,
                None if order.before is None else when(order.before),
                None if order.after is None else when(order.after),
                figure(order.late_min / 60) if order.late_min else None,
            )
            for order in answer.orders
        ]
        columns = [("order", "left"), *((c, "right") for c in ("was ready", "is ready", "late h"))]
        out.print(table(columns, rows))
    if answer.odds:
        rows_of_odds = [
            (c.order, f"{c.before * 100:.0f} %", f"{c.after * 100:.0f} %", "at risk" * c.at_risk)
            for c in answer.odds
        ]
        columns = [("order", "left"), ("day kept before", "right"), ("now", "right"), ("", "left")]
        out.print(table(columns, rows_of_odds))
    if answer.moved:
        moved = sorted(answer.moved, key=lambda each: each.after.start)
        columns = [("task", "left"), ("order", "left"), ("was", "right"), ("is", "right")]
        rows_of_tasks = [
            (
                _named(each.before, each.after),
                ", ".join(dict.fromkeys(member.order for member in each.after.members)),
                when(each.before.start),
                when(each.after.start),
                each.why,
            )
            for each in moved
        ]
        out.print(table([*columns, ("why", "left")], rows_of_tasks))


def _named(before: TaskAnswer, after: TaskAnswer) -> str:
    if after.mould is None:
        return after.operation
    was = f", not {before.mould}" if before.mould not in (None, after.mould) else ""
    return f"{after.operation} on {after.mould}{was}"


def show_moves(out: Console, held: Plan, found: Replanned) -> None:
    """Print what a plan moves beside the one that held, and why."""
    heading(out, "Beside the plan that was kept to")
    if not found.moved and not found.why:
        out.print("Every task that was planned stays where it stands.")
    else:
        out.print(f"{found.kept} tasks stay where they stand, {found.moved} move.")
    reasons = Counter(found.why.values()).most_common(12)
    if reasons:
        out.print(table([("had to move because", "left"), ("tasks", "right")], reasons))
    then = {order.number: order for order in found.plan.orders}
    rows = [
        (
            order.number,
            when(local(order.finish, held.zone).isoformat()),
            when(local(then[order.number].finish, held.zone).isoformat()),
            f"{then[order.number].late_min / 60:,.1f}" if then[order.number].late_min else None,
        )
        for order in held.orders
        if order.number in then and then[order.number].finish != order.finish
    ]
    if rows:
        columns = [("order", "left"), *((c, "right") for c in ("was ready", "is ready", "late h"))]
        out.print(table(columns, rows))
