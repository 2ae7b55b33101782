"""A comparison as charts: cost and time by quantity, stiffness used, what a price is made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from mouldwright.domain.compare import Choice, Comparison
from mouldwright.domain.costing.price import Price
from mouldwright.domain.costing.unit_cost import UnitCost
from mouldwright.domain.money import Currency
from mouldwright.figures.limit_bars import LimitBar, LimitBars
from mouldwright.figures.quantity_chart import QuantityChart, QuantityLine
from mouldwright.figures.share_bar import ShareBar, SharePart

_MINUTES = {"hours": 60, "days": 1440}
# Under this many minutes at the most, days would be small fractions.
_LEAST_FOR_DAYS_MIN = 3 * 1440
_KIND_WORDS = {
    "labour": "hands",
    "conditioning": "conditioning of moulds",
    "material": "materials",
    "tooling": "moulds",
    "station": "machines",
    "outbound": "freight and returns",
}


def cost_chart_of(
    comparison: Comparison,
    *,
    currency: Currency,
    marks: Mapping[str, int],
    last: int | None = None,
) -> QuantityChart:
    """Return the unit cost by quantity of every process that passes.

    Args:
        comparison: The processes side by side.
        currency: What costs are in.
        marks: How processes are drawn, by key.
        last: The quantity to end at; None for all that are known.
    """
    titles = {choice.process: choice.title for choice in comparison.choices}
    return QuantityChart(
        title="Unit cost by quantity",
        what=f"Unit cost, {currency.code}",
        decimals=currency.digits,
        lines=tuple(
            QuantityLine(
                key=process,
                title=titles.get(process, process),
                mark=marks.get(process, 0),
                points=tuple(
                    (quantity, None if cost is None else float(cost))
                    for quantity, cost in enumerate(costs[:last], start=1)
                ),
            )
            for process, costs in comparison.unit_costs.items()
            if any(cost is not None for cost in costs[:last])
        ),
        crossovers=tuple(
            (c.from_quantity, c.process)
            for c in comparison.crossovers
            if last is None or c.from_quantity <= last
        ),
        asked=comparison.quantity if last is None or comparison.quantity <= last else None,
    )


def time_chart_of(
    lead_times_min: Mapping[str, Sequence[tuple[int, int | None]]],
    *,
    titles: Mapping[str, str],
    marks: Mapping[str, int],
    asked: int | None = None,
) -> QuantityChart:
    """Return the lead time by quantity.

    Args:
        lead_times_min: By process, quantity and minutes from now to ready, None where unknown.
        titles: What processes are called, by key.
        marks: How they are drawn, by key.
        asked: The quantity asked for.
    """
    known = [m for points in lead_times_min.values() for _, m in points if m is not None]
    unit = "days" if max(known, default=0) >= _LEAST_FOR_DAYS_MIN else "hours"
    return QuantityChart(
        title="Lead time by quantity",
        what=f"Lead time, {unit}",
        decimals=1,
        lines=tuple(
            QuantityLine(
                key=process,
                title=titles.get(process, process),
                mark=marks.get(process, 0),
                points=tuple((q, None if m is None else m / _MINUTES[unit]) for q, m in points),
            )
            for process, points in lead_times_min.items()
        ),
        lowest="soonest",
        asked=asked,
    )


def stiffness_bars_of(choices: Sequence[Choice], *, marks: Mapping[str, int]) -> LimitBars:
    """Return how much of the deflection allowed each process uses."""
    return LimitBars(
        title="Stiffness used",
        what="Bends, mm",
        decimals=1,
        bars=tuple(
            LimitBar(
                title=choice.title,
                mark=marks.get(choice.process, 0),
                value=choice.judgement.deflection_mm,
                limit=choice.judgement.allowed_mm,
            )
            for choice in choices
            if choice.judgement.deflection_mm is not None
            and choice.judgement.allowed_mm is not None
        ),
    )


def price_bar_of(cost: UnitCost, price: Price, *, currency: Currency) -> ShareBar | None:
    """Return what one good part's price is made of; None where a cost is unknown.

    Each kind is rounded by itself, as in the table of costs beside it; what the price leaves over
    them is the margin, so that the bar adds up.
    """
    kinds = {kind: total for kind, total in cost.by_kind().items() if total != 0}
    each = cost.per_good_part
    if each is None or any(total is None for total in kinds.values()):
        return None
    return ShareBar(
        title="What the price is made of",
        unit=currency.code,
        price=price.price_each,
        parts=tuple(
            SharePart(
                title=_KIND_WORDS.get(kind, kind),
                amount=currency.round((total or Fraction(0)) / cost.quantity),
            )
            for kind, total in kinds.items()
        ),
    )
