"""Answers on the ledger of stock: lots and their lines, reservations, when a material runs out."""

from __future__ import annotations

from datetime import date, datetime
from typing import Literal
from zoneinfo import ZoneInfo

from pydantic import BaseModel, Field

from mouldwright.domain.money import Currency
from mouldwright.domain.record.lot_ledger import LotLedger, StockLedger, StockLine
from mouldwright.domain.record.reservation import Outlook, Reserved
from mouldwright.wire.answers.money import fine_text
from mouldwright.wire.service.instant import in_zone

_UNIT = Field(description='"g", or "m" for what comes by the metre')


class LotAnswer(BaseModel):
    """One lot."""

    name: str = Field(description="empty for what was used of no lot that is known")
    left: str = Field(description="below zero where more was used than is known of")
    expires: date | None
    arrives: date | None = Field(description="of a delivery still to come")
    expected: str = Field(description="what that brings; it is not in what is left")
    paid_each: str | None = Field(description="for a gram or metre, where it is known")

    @classmethod
    def of(cls, lot: LotLedger) -> LotAnswer:
        """Return the answer for one lot."""
        return cls(
            name=lot.name,
            left=f"{lot.left:f}",
            expires=lot.expires,
            arrives=lot.arrives,
            expected=f"{lot.expected:f}",
            paid_each=None if lot.paid_each is None else fine_text(lot.paid_each, 6),
        )


class LineAnswer(BaseModel):
    """One line of a lot's account."""

    lot: str
    at: datetime
    what: Literal["opening", "received", "used", "counted"]
    amount: str = Field(description="below zero where it takes away")
    left: str = Field(description="of the lot, after it")
    orders: list[str] = Field(description="whom it was used for")
    operation: str | None
    noted: bool = Field(description="whether the lot was noted, not taken by what expires first")
    entry: int = Field(description="of the log; 0 for what the shop says itself")

    @classmethod
    def of(cls, lot: LotLedger, line: StockLine, zone: str) -> LineAnswer:
        """Return the answer for one line."""
        return cls(
            lot=lot.name,
            at=line.at.astimezone(ZoneInfo(zone)),
            what=line.what,
            amount=f"{line.amount:f}",
            left=f"{line.left:f}",
            orders=list(line.orders),
            operation=None if line.task is None else line.task[1],
            noted=line.is_noted,
            entry=line.entry,
        )


class ReservedAnswer(BaseModel):
    """What a planned task will take."""

    at: datetime
    operation: str
    process: str
    orders: list[str]
    amount: str
    lots: dict[str, str] = Field(description="how much of each lot, what expires first in front")
    short: str = Field(description="what no lot will hold by then")

    @classmethod
    def of(cls, reserved: Reserved) -> ReservedAnswer:
        """Return the answer for one planned use."""
        return cls(
            at=reserved.use.at,
            operation=reserved.use.operation,
            process=reserved.use.process,
            orders=list(reserved.use.orders),
            amount=f"{reserved.use.amount:f}",
            lots={name: f"{amount:f}" for name, amount in reserved.lots},
            short=f"{reserved.short:f}",
        )


class StockStand(BaseModel):
    """How one material stands. opening + received - used + counted = left, exactly."""

    material: str
    unit: str = _UNIT
    opening: str
    received: str
    used: str
    counted: str = Field(description="by how much counting moved it")
    left: str
    unaccounted: str = Field(description="used beyond all lots that are known of: count it")
    reserved: str = Field(description="by the published plan, still to come")
    left_after: str = Field(description="after that, what expires by then left out")
    short: str
    runs_out: datetime | None
    order_by: date | None = Field(description="so that it is there the day before")
    supplier: str | None = Field(description="who delivers it soonest")

    @classmethod
    def of(cls, ledger: StockLedger, ahead: Outlook, zone: str) -> StockStand:
        """Return the answer for one material."""
        return cls(
            material=ledger.material,
            unit=ledger.unit,
            opening=f"{ledger.opening:f}",
            received=f"{ledger.received:f}",
            used=f"{ledger.used:f}",
            counted=f"{ledger.counted:f}",
            left=f"{ledger.left:f}",
            unaccounted=f"{ledger.unaccounted:f}",
            reserved=f"{ahead.total:f}",
            left_after=f"{ahead.left:f}",
            short=f"{ahead.short:f}",
            runs_out=in_zone(ahead.runs_out, zone),
            order_by=ahead.order_by,
            supplier=ahead.supplier,
        )


class StockLedgersAnswer(BaseModel):
    """How all stock stands."""

    now: datetime
    materials: list[StockStand]

    @classmethod
    def of(
        cls, found: tuple[tuple[StockLedger, Outlook], ...], *, now: datetime, zone: str
    ) -> StockLedgersAnswer:
        """Return the answer for all of it."""
        return cls(now=now, materials=[StockStand.of(one, ahead, zone) for one, ahead in found])


class WastedAnswer(BaseModel):
    """A lot that will expire with something left in it."""

    lot: str
    expires: date
    left: str


class StockLedgerAnswer(BaseModel):
    """How one material stands: its lots, their lines, and what the plan will take."""

    now: datetime
    currency: str
    material: StockStand
    lots: list[LotAnswer]
    lines: list[LineAnswer] = Field(description="of all lots, in order")
    reservations: list[ReservedAnswer] = Field(description="in order")
    wasted: list[WastedAnswer]

    @classmethod
    def of(
        cls,
        currency: Currency,
        ledger: StockLedger,
        ahead: Outlook,
        *,
        now: datetime,
        zone: str,
    ) -> StockLedgerAnswer:
        """Return the answer for one material."""
        lines = [(lot, line) for lot in ledger.lots for line in lot.lines]
        lines.sort(key=lambda pair: (pair[1].at, pair[1].entry))
        return cls(
            now=now,
            currency=currency.code,
            material=StockStand.of(ledger, ahead, zone),
            lots=[LotAnswer.of(lot) for lot in ledger.lots],
            lines=[LineAnswer.of(lot, line, zone) for lot, line in lines],
            reservations=[ReservedAnswer.of(each) for each in ahead.reserved],
            wasted=[
                WastedAnswer(lot=name, expires=day, left=f"{left:f}")
                for name, day, left in ahead.wasted
            ],
        )
