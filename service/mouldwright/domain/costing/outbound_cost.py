"""Sending the parts, and what comes back, as line rules."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from mouldwright.domain.costing.lines import LineRule, weights
from mouldwright.domain.quantity import exact
from mouldwright.domain.shop import Shop


def outbound_rules(shop: Shop, others: Sequence[LineRule]) -> list[LineRule]:
    """Return the lines of freight, and of returns and repairs; good parts alone are sent.

    Args:
        shop: What sending costs.
        others: The rules of every other line: returns are a share of what they come to.
    """
    sent = shop.outbound
    rules = [
        _freight("freight of the order", "order", {"order": Fraction(1)}, exact(sent.per_order)),
        _freight("freight of a part", "part", {"good": Fraction(1)}, exact(sent.per_part)),
    ]
    kept = [rule for rule in rules if rule.rate]
    if sent.returns_share:
        kept.append(
            LineRule(
                kind="outbound",
                text="returns and repairs, on all other cost",
                unit=shop.currency.code,
                rate=exact(sent.returns_share),
                takes=weights([*others, *kept]),
                moves_with="returns",
            )
        )
    return kept


def _freight(text: str, unit: str, takes: dict[str, Fraction], rate: Fraction) -> LineRule:
    return LineRule(
        kind="outbound", text=text, unit=unit, rate=rate, takes=takes, moves_with="freight"
    )
