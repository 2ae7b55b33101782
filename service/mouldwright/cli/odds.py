"""How likely things are, as tables: the dates of a plan, and what an order costs."""

from __future__ import annotations

from rich.console import Console

from mouldwright.cli.show import heading, table, when
from mouldwright.domain.hours.opening import local
from mouldwright.domain.promise.finish_odds import PlanOdds
from mouldwright.wire.answers.comparison import ComparisonAnswer
from mouldwright.wire.answers.odds import PlanOddsAnswer
from mouldwright.wire.answers.quote import CostOddsAnswer

_MOST_LIMITS_SHOWN = 5
_MOST_DRIVERS_SHOWN = 8
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


def show_seldom_as_planned(out: Console, odds: PlanOdds, zone: str) -> None:
    """Print each order whose planned day is kept in fewer than half of the runs."""
    for each in odds.orders:
        if not each.is_seldom_as_planned(zone):
            continue
        half = (
            "half of them are never ready"
            if each.p50 is None
            else f"half of them are ready by {when(local(each.p50, zone).isoformat())}"
        )
        out.print(
            f"Order {each.number} is planned for {when(local(each.planned, zone).isoformat())}; "
            f"that day is kept in fewer than 50 of 100 runs, {half}."
        )


def show_cost_odds(out: Console, odds: CostOddsAnswer, currency: str) -> None:
    """Print what an order may cost and what that hangs on."""
    heading(out, f"What one may cost: drawn {odds.draws:,} times")
    out.print(
        f"{currency} {odds.p50} or less in half of them, {odds.p80} in 80 of 100, {odds.p95} in 95 "
        "of 100. At this price the order covers its cost in "
        f"{_percent(odds.profit_chance)} of them."
    )
    if not odds.drivers:
        out.print("Nothing in it is uncertain: no ranges are written, and every part is good.")
        return
    out.print(
        table(
            [
                ("what matters most", "left"),
                (f"at its lowest {currency}", "right"),
                (f"at its highest {currency}", "right"),
            ],
            [
                (each.name, each.low, each.high)
                for each in odds.drivers[:_MOST_DRIVERS_SHOWN]
                if each.low != each.high
            ],
        )
    )
    out.print("Lowest and highest are its outer tenths, all else in the middle.")


def show_odds_beside(out: Console, answer: ComparisonAnswer) -> None:
    """Print what one may cost by each process, and how likely its date is."""
    money = answer.currency
    heading(out, "What one may cost")
    out.print(
        table(
            [
                ("process", "left"),
                (f"half {money}", "right"),
                (f"80 in 100 {money}", "right"),
                (f"95 in 100 {money}", "right"),
                ("covers its cost", "right"),
                ("date kept", "right"),
            ],
            [
                (
                    choice.process,
                    odds.p50,
                    odds.p80,
                    odds.p95,
                    _percent(odds.profit_chance),
                    None if choice.finish_odds is None else _percent(choice.finish_odds),
                )
                for choice in answer.choices
                if (odds := choice.cost_odds) is not None
            ],
        )
    )


def _percent(share: float) -> str:
    return f"{share * 100:.0f} %"
