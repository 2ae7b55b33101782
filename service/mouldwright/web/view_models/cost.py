"""What one good part costs, line by line, so that every sum can be opened."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from mouldwright.domain.costing.lines import KINDS, CostLine
from mouldwright.domain.costing.unit_cost import UnitCost
from mouldwright.domain.money import Currency
from mouldwright.web.words import COST_KINDS, amount, count, figure, odds, percent, taken


@dataclass(frozen=True, slots=True, kw_only=True)
class CostRow:
    """One line: how much of what at which rate; each figure as it is shown."""

    text: str
    taken: str
    rate: str
    amount: str
    each: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CostGroup:
    """The lines of one kind with their sum."""

    title: str
    rows: tuple[CostRow, ...]
    amount: str
    each: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CostView:
    """Where a unit cost comes from.

    Attributes:
        notes: What lies behind it besides: parts begun, moulds, scrap.
    """

    groups: tuple[CostGroup, ...]
    total: str
    each: str
    currency: str
    quantity: int
    notes: tuple[str, ...]
    unknown: tuple[str, ...]


def cost_view(cost: UnitCost, currency: Currency) -> CostView:
    """Return the lines of a cost; kinds that cost nothing are named in a note."""
    groups, nothing = [], []
    for kind in KINDS:
        lines = [line for line in cost.lines if line.kind == kind and line.amount != 0]
        if lines:
            groups.append(_group(kind, lines, cost, currency))
        else:
            nothing.append(COST_KINDS[kind].lower())
    return CostView(
        groups=tuple(groups),
        total=amount(currency, cost.total),
        each=amount(currency, cost.per_good_part),
        currency=currency.code,
        quantity=cost.quantity,
        notes=_notes(cost, nothing),
        unknown=cost.unknown,
    )


def _group(kind: str, lines: list[CostLine], cost: UnitCost, currency: Currency) -> CostGroup:
    amounts = [line.amount for line in lines if line.amount is not None]
    whole = sum(amounts, Fraction(0)) if len(amounts) == len(lines) else None
    rows = tuple(
        CostRow(
            text=line.text,
            taken=taken(line.quantity, line.unit),
            rate=figure(line.rate, 2) if line.rate is not None else "unknown",
            amount=amount(currency, line.amount),
            each=amount(currency, None if line.amount is None else line.amount / cost.quantity),
        )
        for line in lines
    )
    return CostGroup(
        title=COST_KINDS[kind],
        rows=rows,
        amount=amount(currency, whole),
        each=amount(currency, None if whole is None else whole / cost.quantity),
    )


def _notes(cost: UnitCost, nothing: list[str]) -> tuple[str, ...]:
    begun = f"{count(cost.starts, 'part is', 'parts are')} begun for {cost.quantity} good ones"
    if cost.pulls:
        begun += f", in {count(cost.pulls, 'pull')}"
    found = [f"{begun}: they suffice {odds(cost.chance)} times."]
    if cost.scrap_share:
        found.append(f"Scrap is {percent(cost.scrap_share)} of the cost; it stands in every line.")
    if cost.new_moulds:
        found.append(
            f"{count(cost.new_moulds, 'mould')} to be made beside {cost.moulds_at_hand} at hand."
        )
    if nothing:
        found.append(f"Nothing is charged for {', '.join(nothing)}.")
    found.append("Lines are rounded for showing; the sum is rounded once, from the exact lines.")
    return tuple(found)
