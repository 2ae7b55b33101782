"""Where an order's money went, as its sheet shows it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.costing.actual_lines import ActualCost
from mouldwright.domain.shop import Shop
from mouldwright.figures.plain_bars import PlainBar, PlainBars
from mouldwright.web.charts import Figure, bars_figure
from mouldwright.web.words import COST_KINDS, amount, count, figure, money


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupRow:
    """One group of cost."""

    title: str
    reckoned: str
    really: str
    over: str
    is_over: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LineRow:
    """One line of what it rests on."""

    text: str
    quantity: str
    standard: str
    amount: str
    evidence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpentView:
    """What an order really cost.

    Attributes:
        said: The sum of it in a sentence or two.
        figure: None where nothing was spent yet.
    """

    said: str
    groups: tuple[GroupRow, ...]
    lines: tuple[LineRow, ...]
    figure: Figure | None
    currency: str


def spent_view(shop: Shop, cost: ActualCost) -> SpentView:
    """Return the part of an order's sheet on where its money went."""
    currency = shop.currency
    return SpentView(
        said=_said(shop, cost),
        groups=tuple(
            GroupRow(
                title=COST_KINDS[group.kind],
                reckoned=amount(currency, group.reckoned),
                really=amount(currency, group.really),
                over=_over(shop, group.over),
                is_over=group.over is not None and group.over > 0,
            )
            for group in cost.groups
            if group.reckoned or group.really
        ),
        lines=tuple(
            LineRow(
                text=line.text,
                quantity=f"{figure(line.quantity, 2)} {line.unit}",
                standard="–"
                if line.reckoned is None
                else f"{figure(line.reckoned, 2)} {line.unit}",
                amount=amount(currency, line.amount),
                evidence=line.evidence,
            )
            for line in cost.lines
            if line.quantity
        ),
        figure=_figure(shop, cost),
        currency=currency.code,
    )


def _said(shop: Shop, cost: ActualCost) -> str:
    currency = shop.currency
    so_far = "" if cost.is_whole else "So far "
    total = money(currency, cost.total)
    words = f"{so_far}{total} {'went' if not so_far else 'have gone'} into it"
    words += f"; it is reckoned to {money(currency, cost.reckoned.total)} in all."
    if cost.per_good_part is not None:
        words += (
            f" Each of {count(cost.good, 'good part')} cost {money(currency, cost.per_good_part)}, "
            f"reckoned to {money(currency, cost.reckoned.per_good_part)}."
        )
    if cost.scrapped and cost.scrap is not None:
        words += f" {money(currency, cost.scrap)} of it is scrap: {count(cost.scrapped, 'part')}."
    if cost.seconds:
        words += f" {_seconds_words(shop, cost)}"
    if cost.quoted is not None and cost.earned is not None:
        verb = "leaves" if cost.earned >= 0 else "lacks"
        words += (
            f" Its quote of {money(currency, cost.quoted.net)} net {verb} "
            f"{money(currency, abs(cost.earned))} {'over it' if cost.earned >= 0 else 'of it'}."
        )
    if not cost.is_whole:
        words += " Not all of it is made, so real and reckoned are not of the same thing yet."
    return words[0].upper() + words[1:]


def _seconds_words(shop: Shop, cost: ActualCost) -> str:
    """Say how many are seconds and what they bring."""
    said = f"Seconds, in none of these figures: {cost.seconds}"
    if cost.seconds_income is None:
        return f"{said}; not every part states a price for them."
    said += f", which bring {money(shop.currency, cost.seconds_income)}."
    if cost.per_good_part_after is None:
        return said
    each = money(shop.currency, cost.per_good_part_after)
    return f"{said} All of them sold, a good one costs {each}."


def _over(shop: Shop, over: Fraction | None) -> str:
    if over is None:
        return "unknown"
    plain = amount(shop.currency, abs(over))
    return plain if not over else f"{'+' if over > 0 else '−'}{plain}"


def _figure(shop: Shop, cost: ActualCost) -> Figure | None:
    told = [group for group in cost.groups if group.really]
    if not told:
        return None
    picture = PlainBars(
        title=f"Where the money of order {cost.order.number} went",
        of="What",
        what=f"Really, {shop.currency.code}",
        decimals=2,
        note="Reckoned",
        bars=tuple(
            PlainBar(
                title=COST_KINDS[group.kind],
                value=float(group.really or 0),
                note=f"reckoned {amount(shop.currency, group.reckoned)}",
                is_chosen=group.over is not None and group.over > 0,
            )
            for group in told
        ),
    )
    return bars_figure(picture, "spent")
