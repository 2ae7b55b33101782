"""The try command: what if we said yes to this order?"""

from __future__ import annotations

from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.show import console, heading, print_json, table, when
from mouldwright.domain.hours.opening import local
from mouldwright.usecases.present import present, wanted_by
from mouldwright.usecases.try_order import Wanted
from mouldwright.usecases.try_order import try_order as try_order_of
from mouldwright.wire.answers.tried_order import TriedOrderAnswer


def try_order(
    scenario: str,
    part: str,
    process: str | None,
    quantity: int,
    *,
    by: str | None,
    now: str | None,
    seconds: float,
    as_json: bool,
) -> None:
    """Print when one more order would be ready and which promises would move."""
    shop = open_shop(scenario)
    minute = wanted_by(shop, by)
    due = None if minute is None else local(minute, shop.zone)
    tried = try_order_of(
        shop,
        Wanted(part=part, process=process, quantity=quantity, due=due),
        now=present(shop, now, clock),
        seconds=seconds,
    )
    answer = TriedOrderAnswer.of(tried)
    if as_json:
        print_json(answer)
        return
    out = console()
    heading(out, f"If {quantity} x {part} were accepted")
    late = f", {answer.late_min / 60:,.1f} h late" if answer.late_min else ""
    wanted = f", wanted by {when(answer.due.isoformat())}" if answer.due else ""
    out.print(f"Ready {when(answer.finish.isoformat())}{wanted}{late}. {answer.starts} begun.")
    if answer.because:
        out.print(f"What keeps it longest: {answer.because}.")
    if not answer.orders:
        out.print("No other order's date moves.")
    else:
        rows = [
            (
                order.number,
                when(order.before.isoformat()),
                when(order.after.isoformat()),
                f"{order.late_after_min / 60:,.1f}" if order.late_after_min else None,
            )
            for order in answer.orders
        ]
        columns = [
            ("order", "left"),
            ("ready", "right"),
            ("would be", "right"),
            ("late h", "right"),
        ]
        out.print(table(columns, rows))
    out.print(f"{answer.kept} tasks stay as planned, {answer.moved} move. Nothing is kept of this.")
