"""The ledger command: how moulds and stock stand."""

from __future__ import annotations

from datetime import date, datetime

from rich.console import Console

from mouldwright.cli.opening import clock, open_shop
from mouldwright.cli.show import console, heading, print_json, table, when
from mouldwright.domain.hours.opening import local
from mouldwright.domain.shop import Shop
from mouldwright.usecases.ledgers import Ledgers
from mouldwright.usecases.planned import plan
from mouldwright.usecases.present import present
from mouldwright.wire.answers.ledgers import LedgersAnswer
from mouldwright.wire.answers.mould_ledger import (
    MouldLedgerAnswer,
    MouldLedgersAnswer,
    MouldStand,
)
from mouldwright.wire.answers.stock_ledger import (
    StockLedgerAnswer,
    StockLedgersAnswer,
    StockStand,
)


def ledger(
    scenario: str,
    *,
    mould: str | None,
    material: str | None,
    now: str | None,
    seconds: float,
    seed: int,
    as_json: bool,
) -> None:
    """Print how everything stands by the log, and what the plan leaves of it."""
    shop = open_shop(scenario)
    at = present(shop, now, clock)
    planned = plan(shop, now=at, seconds=seconds, seed=seed) if shop.orders else None
    found = Ledgers(shop=shop, plan=planned, now=local(at, shop.zone))
    if mould is not None:
        one, ahead = found.mould(mould)
        of_mould = MouldLedgerAnswer.of(one, ahead, now=found.now, zone=shop.zone)
        print_json(of_mould) if as_json else _show_mould(console(), of_mould)
        return
    if material is not None:
        stock, outlook = found.material(material)
        of_stock = StockLedgerAnswer.of(
            shop.currency, stock, outlook, now=found.now, zone=shop.zone
        )
        print_json(of_stock) if as_json else _show_material(console(), shop, of_stock)
        return
    answer = LedgersAnswer(
        now=found.now,
        moulds=MouldLedgersAnswer.of(found.moulds(), now=found.now, zone=shop.zone).moulds,
        materials=StockLedgersAnswer.of(found.stock(), now=found.now, zone=shop.zone).materials,
    )
    if as_json:
        print_json(answer)
        return
    _show_moulds(console(), answer.moulds)
    _show_stock(console(), shop, answer.materials)


def _show_moulds(out: Console, moulds: list[MouldStand]) -> None:
    heading(out, "Moulds")
    if not moulds:
        out.print("The shop has none.")
        return
    columns = [
        ("mould", "left"),
        ("pulls", "right"),
        ("left", "right"),
        ("condition in", "right"),
        ("planned", "right"),
        ("used up", "right"),
        ("next by", "right"),
    ]
    rows = [
        (
            each.name,
            each.pulls,
            each.gone_by or each.life_left,
            "now" if each.coats_due else each.until_conditioning,
            each.ahead.planned_pulls or None,
            _used_up(each),
            _day(each.ahead.begin_next_by),
        )
        for each in moulds
    ]
    out.print(table(columns, rows))
    pressing = [each.name for each in moulds if each.ahead.presses]
    if pressing:
        out.print(f"Begin or order their successors now: {', '.join(pressing)}.")


def _show_stock(out: Console, shop: Shop, materials: list[StockStand]) -> None:
    heading(out, "Stock")
    if not materials:
        out.print("Nothing is stocked.")
        return
    columns = [
        ("material", "left"),
        ("left", "right"),
        ("reserved", "right"),
        ("after", "right"),
        ("short", "right"),
        ("runs out", "right"),
        ("order by", "right"),
        ("from", "left"),
    ]
    rows = [
        (
            shop.material_title(each.material),
            f"{each.left} {each.unit}",
            each.reserved,
            each.left_after,
            each.short if float(each.short) else None,
            _day(each.runs_out),
            _day(each.order_by),
            shop.suppliers[each.supplier].title if each.order_by and each.supplier else None,
        )
        for each in materials
    ]
    out.print(table(columns, rows))
    for each in materials:
        if float(each.unaccounted):
            title = shop.material_title(each.material)
            out.print(
                f"{each.unaccounted} {each.unit} of {title} were used beyond all that is known: "
                "count it."
            )


def _show_mould(out: Console, answer: MouldLedgerAnswer) -> None:
    mould = answer.mould
    heading(out, f"{mould.name}: {mould.pulls} pulls, {_left(mould)}")
    out.print(
        f"{mould.opening_pulls} when counted, {mould.counted_pulls} by the log since; "
        f"{_conditioning(mould)}."
    )
    if mould.ahead.used_up is not None:
        by = "By the plan" if mould.ahead.by_plan else "At the plan's pace"
        out.print(f"{by} its last pull is out {when(_iso(mould.ahead.used_up))}.")
    for defect in mould.defects:
        out.print(f"{defect.parts} {defect.what}: {defect.cause or 'no cause noted'}.")
    columns = [
        ("when", "right"),
        ("what", "left"),
        ("pulls", "right"),
        ("since", "right"),
        ("by", "left"),
        ("", "left"),
    ]
    rows = [
        (
            when(move.at.isoformat()),
            move.pull or move.what,
            move.pulls,
            move.pulls_since_conditioning,
            ", ".join(move.people) or None,
            _remark(move.ended, move.cause, counts=move.counts),
        )
        for move in answer.moves
    ]
    if rows:
        out.print(table(columns, rows))
    else:
        out.print("The log tells of nothing that happened to it.")


def _show_material(out: Console, shop: Shop, answer: StockLedgerAnswer) -> None:
    stand = answer.material
    heading(out, f"{shop.material_title(stand.material)}: {stand.left} {stand.unit} left")
    out.print(
        f"{stand.opening} when counted + {stand.received} received - {stand.used} used "
        f"{'+' if float(stand.counted) >= 0 else '-'} {stand.counted.lstrip('-')} by counting."
    )
    out.print(
        table(
            [("lot", "left"), ("left", "right"), ("use by", "right"), ("arrives", "right")],
            [
                (lot.name or "of no known lot", lot.left, lot.expires,
                 lot.arrives and f"{lot.arrives}: {lot.expected}")
                for lot in answer.lots
            ],
        )
    )  # fmt: skip
    if answer.lines:
        out.print(
            table(
                [("when", "right"), ("lot", "left"), ("what", "left"), ("amount", "right"),
                 ("left", "right"), ("for", "left")],
                [
                    (when(line.at.isoformat()), line.lot, line.operation or line.what, line.amount,
                     line.left, ", ".join(line.orders) or None)
                    for line in answer.lines
                ],
            )
        )  # fmt: skip
    if answer.reservations:
        heading(out, "Reserved by the plan")
        out.print(
            table(
                [("when", "right"), ("for", "left"), ("what", "left"), ("amount", "right"),
                 ("of lots", "left"), ("short", "right")],
                [
                    (
                        when(each.at.isoformat()), ", ".join(each.orders), each.operation,
                        each.amount, ", ".join(f"{n}: {a}" for n, a in each.lots.items()) or None,
                        each.short if float(each.short) else None,
                    )
                    for each in answer.reservations
                ],
            )
        )  # fmt: skip
    for wasted in answer.wasted:
        out.print(f"Lot {wasted.lot} expires on {wasted.expires} with {wasted.left} in it.")


def _conditioning(mould: MouldStand) -> str | None:
    if mould.coats_due:
        return "due now" if mould.coats_due == 1 else f"{mould.coats_due} coats due now"
    if mould.until_conditioning is None:
        return None
    pulls = mould.until_conditioning
    return f"after {pulls} pull{'s' if pulls != 1 else ''}"


def _left(mould: MouldStand) -> str:
    if mould.gone_by is not None:
        return mould.gone_by
    return "does not wear" if mould.life_left is None else f"{mould.life_left} left"


def _used_up(mould: MouldStand) -> str | None:
    at = _day(mould.ahead.used_up)
    return at if at is None or mould.ahead.by_plan else f"~ {at}"


def _day(day: date | None) -> str | None:
    """Return a day in few letters: "3 Mar 27"."""
    return None if day is None else f"{day.day} {day:%b %y}"


def _remark(ended: str | None, cause: str, *, counts: bool) -> str | None:
    said = [] if ended in (None, "taken") else [str(ended)]
    said += [cause] if cause else []
    said += [] if counts else ["before the count"]
    return ", ".join(said) or None


def _iso(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat()
