"""What one good part costs, line by line, so that every sum can be opened."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

from mouldwright.domain.costing.lines import KINDS, CostLine
from mouldwright.domain.costing.unit_cost import UnitCost
from mouldwright.domain.money import Currency
from mouldwright.web.words import COST_KINDS, amount, count, exact_percent, odds, percent, taken
from mouldwright.wire.answers.money import cost_text
from mouldwright.wire.answers.quote import CostLineAnswer, QuoteAnswer, SecondsAnswer


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
        total=fine(currency, cost.total),
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
        cost_row(CostLineAnswer.of(currency, line), currency, cost.quantity) for line in lines
    )
    return CostGroup(
        title=COST_KINDS[kind],
        rows=rows,
        amount=fine(currency, whole),
        each=amount(currency, None if whole is None else whole / cost.quantity),
    )


def cost_row(line: CostLineAnswer, currency: Currency, quantity: int) -> CostRow:
    """Return a line with figures that it can be worked out again from, to the smallest unit."""
    takes, rate = line.shortly(currency.digits)
    value = None if line.amount is None else Decimal(line.amount)
    return CostRow(
        text=line.text,
        taken="" if takes is None else taken(Decimal(takes), line.unit),
        rate="unknown" if rate is None else f"{Decimal(rate):,f}",
        amount=fine(currency, value),
        each=amount(currency, None if value is None else value / quantity),
    )


def fine(currency: Currency, value: Decimal | Fraction | None) -> str:
    """Return an amount before rounding, as its lines add up to it."""
    return "unknown" if value is None else f"{Decimal(cost_text(currency, value)):,f}"


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
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkingRow:
    """One amount of a quote and the sum that makes it."""

    what: str
    how: str
    amount: str


def working_rows(answer: QuoteAnswer) -> tuple[WorkingRow, ...]:
    """Return every sum of a quote from the cost of one to the last payment."""
    return tuple(
        WorkingRow(
            what=each.what[:1].upper() + each.what[1:],
            how=each.how.replace(" x ", " × ").replace("-", "−"),
            amount=amount(answer.currency, each.amount),
        )
        for each in answer.workings
    )


def frozen_cost(answer: QuoteAnswer) -> CostView:
    """Return the cost lines of a quote, as they were worked out when it was given out."""
    groups, nothing = [], []
    money = Currency(answer.currency)
    for kind, found in groupby(answer.cost_lines, key=lambda line: line.kind):
        lines = [line for line in found if line.amount is None or Decimal(line.amount)]
        title = COST_KINDS.get(kind, kind)
        if not lines:
            nothing.append(title.lower())
            continue
        total = sum((Decimal(line.amount or 0) for line in lines), Decimal(0))
        groups.append(
            CostGroup(
                title=title,
                rows=tuple(cost_row(line, money, answer.quantity) for line in lines),
                amount=fine(money, total),
                each=amount(money, total / answer.quantity),
            )
        )
    return CostView(
        groups=tuple(groups),
        total=fine(money, Decimal(answer.cost_total)) if answer.cost_total else "unknown",
        each=answer.unit_cost_fine or amount(money, answer.unit_cost),
        currency=answer.currency,
        quantity=answer.quantity,
        notes=tuple(_frozen_notes(answer, nothing)),
        unknown=(),
    )


def _frozen_notes(answer: QuoteAnswer, nothing: list[str]) -> list[str]:
    begun = count(answer.starts, "part is", "parts are")
    notes = [f"{begun} begun for {answer.quantity:,} good."]
    if nothing:
        notes.append(f"Nothing was charged for {', '.join(nothing)}.")
    if answer.seconds is not None:
        notes.append(_seconds_words(answer.seconds, answer.currency))
    if not answer.workings:
        rule, _, share = answer.price_rule.partition(" ")
        said = exact_percent(Decimal(share))
        notes.append(f"Price by a {rule} of {said}, from the unrounded cost.")
    return notes


def _seconds_words(seconds: SecondsAnswer, currency: str) -> str:
    """Say what comes out as seconds and what they would bring."""
    said = f"Seconds, in no line: {seconds.expected:.2f} on average"
    if seconds.price_each is None:
        return f"{said}; the part states no price for them."
    return (
        f"{said}, at {seconds.price_each} each {currency} {seconds.income}. All of them sold, a "
        f"good one costs {seconds.unit_cost_after}."
    )
