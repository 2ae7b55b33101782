"""A plan made beside one that was printed before, and what it moves."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from pydantic import ValidationError
from rich.console import Console

from mouldwright.cli.show import heading, table, when
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.planned import Replanned
from mouldwright.wire.kept_plan import KeptPlanDocument


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
