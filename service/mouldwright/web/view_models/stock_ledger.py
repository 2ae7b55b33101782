"""Stock as its sheets show it: lots and their lines, what the plan will take, when it runs out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from zoneinfo import ZoneInfo

from mouldwright.domain.record.lot_ledger import LotLedger, StockLedger, StockLine
from mouldwright.domain.record.reservation import Outlook, Reserved
from mouldwright.domain.shop import Shop
from mouldwright.web.view_models.shape import Facts
from mouldwright.web.words import day_and_year, moment

# Lines of accounts and reservations that are shown; the rest is counted.
MOST_LINES = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class StockRow:
    """One material in the list.

    Attributes:
        runs_out: When the plan finds too little; a dash where it finds enough.
        order: By when to order what is short, and from whom; empty where nothing is.
        uncounted: What was used beyond all lots that are known of; empty for none.
    """

    key: str
    title: str
    left: str
    reserved: str
    runs_out: str
    order: str
    is_short: bool
    uncounted: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotRow:
    """One lot; ``link`` is its name, empty where its parts cannot be asked for."""

    name: str
    link: str
    left: str
    use_by: str
    arrives: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AccountRow:
    """One line of a lot's account."""

    at: str
    lot: str
    what: str
    amount: str
    left: str
    orders: tuple[str, ...]
    known: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReservedRow:
    """What a planned task will take; ``short`` is empty where its lots hold enough."""

    at: str
    what: str
    orders: tuple[str, ...]
    amount: str
    lots: str
    short: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StockSheet:
    """One material's stock.

    Attributes:
        said: What a person should know or do.
        buy_by: The day what is short is needed, as a date field holds it; empty for none.
        more_lines: Lines that are not shown.
        more_reserved: The same of reservations.
    """

    unit: str
    facts: Facts
    said: tuple[str, ...]
    buy_by: str
    lots: tuple[LotRow, ...]
    lines: tuple[AccountRow, ...]
    more_lines: int
    reserved: tuple[ReservedRow, ...]
    more_reserved: int


def stock_rows(shop: Shop, found: Sequence[tuple[StockLedger, Outlook]]) -> dict[str, StockRow]:
    """Return how each stocked material stands, by its key."""
    return {
        ledger.material: StockRow(
            key=ledger.material,
            title=shop.material_title(ledger.material),
            left=_amount(ledger.left, ledger.unit),
            reserved=_amount(ahead.total, ledger.unit) if ahead.total else "–",
            runs_out=_day(shop, ahead) or "–",
            order=_order(shop, ahead),
            is_short=bool(ahead.short),
            uncounted=_amount(ledger.unaccounted, ledger.unit) if ledger.unaccounted else "",
        )
        for ledger, ahead in found
    }


def stock_sheet(shop: Shop, ledger: StockLedger, ahead: Outlook) -> StockSheet:
    """Return the stock of one material."""
    unit = ledger.unit
    lines = sorted(
        ((lot, line) for lot in ledger.lots for line in lot.lines),
        key=lambda pair: (pair[1].at, pair[1].entry),
        reverse=True,
    )
    facts = [
        ("When counted", _amount(ledger.opening, unit)),
        ("Received since", _amount(ledger.received, unit)),
        ("Used", _amount(ledger.used, unit)),
        ("Moved by counting", _signed(ledger.counted, unit)),
        ("Left", _amount(ledger.left, unit)),
    ]
    if ahead.total:
        facts += [
            ("Reserved by the plan", _amount(ahead.total, unit)),
            ("Left after it", _amount(ahead.left, unit)),
        ]
    needed = ahead.runs_out
    return StockSheet(
        unit=unit,
        facts=tuple(facts),
        said=tuple(_said(shop, ledger, ahead)),
        buy_by="" if needed is None else needed.astimezone(ZoneInfo(shop.zone)).date().isoformat(),
        lots=tuple(_lot(lot) for lot in ledger.lots),
        lines=tuple(_line(shop, lot, line, unit) for lot, line in lines[:MOST_LINES]),
        more_lines=max(0, len(lines) - MOST_LINES),
        reserved=tuple(_reserved(shop, each, unit) for each in ahead.reserved[:MOST_LINES]),
        more_reserved=max(0, len(ahead.reserved) - MOST_LINES),
    )


def _said(shop: Shop, ledger: StockLedger, ahead: Outlook) -> list[str]:
    unit = ledger.unit
    found = []
    if ahead.short:
        found.append(
            f"The plan runs out of it on {_day(shop, ahead)}: {_amount(ahead.short, unit)} are "
            f"short in all. {_order(shop, ahead) or 'Nobody is written down who sells it'}."
        )
    if ledger.unaccounted:
        found.append(
            f"{_amount(ledger.unaccounted, unit)} were used beyond all lots that are known of: "
            "count what is there."
        )
    for name, day, left in ahead.wasted:
        found.append(
            f"Lot {name} expires on {day_and_year(day)}, and the plan leaves "
            f"{_amount(left, unit)} in it."
        )
    return found


def _order(shop: Shop, ahead: Outlook) -> str:
    if ahead.order_by is None or ahead.supplier is None:
        return ""
    return f"Order it from {shop.suppliers[ahead.supplier].title} by {_date(ahead.order_by)}"


def _day(shop: Shop, ahead: Outlook) -> str:
    at = ahead.runs_out
    return "" if at is None else day_and_year(at.astimezone(ZoneInfo(shop.zone)))


def _date(day: date) -> str:
    return day_and_year(day)


def _lot(lot: LotLedger) -> LotRow:
    return LotRow(
        name=lot.name or "of no known lot",
        link=lot.name,
        left=_amount(lot.left, lot.unit),
        use_by=_date(lot.expires) if lot.expires else "–",
        arrives=f"{_amount(lot.expected, lot.unit)} on {_date(lot.arrives)}"
        if lot.arrives is not None
        else "–",
    )


def _line(shop: Shop, lot: LotLedger, line: StockLine, unit: str) -> AccountRow:
    what = line.what if line.task is None else line.task[1]
    return AccountRow(
        at=moment(line.at.astimezone(ZoneInfo(shop.zone))),
        lot=lot.name or "unknown",
        what=what.capitalize(),
        amount=_signed(line.amount, unit),
        left=_amount(line.left, unit),
        orders=line.orders,
        known="noted" if line.is_noted else "expires first",
    )


def _reserved(shop: Shop, each: Reserved, unit: str) -> ReservedRow:
    return ReservedRow(
        at=moment(each.use.at.astimezone(ZoneInfo(shop.zone))),
        what=each.use.operation.capitalize(),
        orders=each.use.orders,
        amount=_amount(each.use.amount, unit),
        lots=", ".join(f"{name}: {_amount(some, unit)}" for name, some in each.lots) or "–",
        short=_amount(each.short, unit) if each.short else "",
    )


def _amount(amount: Decimal, unit: str) -> str:
    plain = amount.quantize(Decimal("0.001")).normalize()
    return f"{plain:,f} {unit}"


def _signed(amount: Decimal, unit: str) -> str:
    if not amount:
        return f"0 {unit}"
    return f"{'+' if amount > 0 else '−'}{_amount(abs(amount), unit)}"
