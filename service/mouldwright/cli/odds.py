"""How likely things are, as tables: the dates of a plan, and what an order costs."""

from __future__ import annotations

from rich.console import Console

from mouldwright.cli.show import heading, table, when
from mouldwright.wire.answers.odds import PlanOddsAnswer

_MOST_LIMITS_SHOWN = 5
# What happens less often is not worth the reader's eye.
_LEAST_SHARE_SAID = 0.01


def show_plan_odds(out: Console, odds: PlanOddsAnswer) -> None:
    """Print when each order is likely to be ready."""
    heading(out, f"How likely it is: the plan gone through {odds.runs} times")
    out.print(
        table(
            [
                ("order", "left"),
                ("half by", "right"),
                ("80 in 100 by", "right"),
                ("95 in 100 by", "right"),
                ("kept", "right"),
            ],
            [
                (
                    order.number,
                    when(order.p50),
                    when(order.p80),
                    when(order.p95),
                    None if order.chance is None else _percent(order.chance),
                )
                for order in odds.orders
            ],
        )
    )
    said = [limit for limit in odds.limits_passed if limit.share >= _LEAST_SHARE_SAID]
    for limit in said[:_MOST_LIMITS_SHOWN]:
        out.print(
            f"Mind {limit.operation} of {limit.process}: its greatest wait or pot life is passed "
            f"at least once in {_percent(limit.share)} of the runs."
        )


def _percent(share: float) -> str:
    return f"{share * 100:.0f} %"
