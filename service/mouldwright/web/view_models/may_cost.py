"""What an order may cost, in words and as a table of what that hangs on."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.web.words import amount, money, percent
from mouldwright.wire.answers.quote import QuoteAnswer


@dataclass(frozen=True, slots=True, kw_only=True)
class MayCost:
    """What an order may cost.

    Attributes:
        drivers: What is uncertain, and the cost of one at its lowest and highest tenth.
    """

    words: str
    drivers: tuple[tuple[str, str, str], ...]


# More of them would move nothing.
_MOST_DRIVERS = 6


def may_cost_of(answer: QuoteAnswer) -> MayCost | None:
    """Return what the order may cost; None where nobody worked it out."""
    odds_of_cost = answer.cost_odds
    if odds_of_cost is None:
        return None
    code = answer.currency
    return MayCost(
        words=(
            f"Each costs {money(code, odds_of_cost.p50)} or less in half of "
            f"{odds_of_cost.draws:,} draws, {money(code, odds_of_cost.p80)} in 80 of 100 and "
            f"{money(code, odds_of_cost.p95)} in 95 of 100. At this price the order covers its "
            f"cost in {percent(odds_of_cost.profit_chance)} of them."
        ),
        drivers=tuple(
            (each.name[:1].upper() + each.name[1:], amount(code, each.low), amount(code, each.high))
            for each in odds_of_cost.drivers[:_MOST_DRIVERS]
            if each.low != each.high
        ),
    )
