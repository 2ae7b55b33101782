"""The account of one lot, and of all the lots of a material: each line of it, to the gram."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import Literal

LineKind = Literal["opening", "received", "used", "counted"]
# What a lot is called of which nobody knows the name: work took more than lots are known of.
UNKNOWN_LOT = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLine:
    """One line of a lot's account.

    Attributes:
        amount: What it adds; below zero where it takes away.
        left: Of the lot, after it.
        orders: Whom it was used for.
        task: Name of the operation that used it, and the process it is of.
        is_noted: Whether the lot was noted, and not taken by what expires first.
        entry: Number of the log's entry; 0 for what the shop says itself.
    """

    at: datetime
    what: LineKind
    amount: Decimal
    left: Decimal
    orders: tuple[str, ...] = ()
    task: tuple[str, str] | None = None
    is_noted: bool = True
    entry: int = 0


@dataclass(slots=True, kw_only=True, eq=False)
class LotLedger:
    """One lot: what it began with, what came and went, what is left.

    Attributes:
        name: As written on it, else its place in the shop's list; empty for what was used of no
            lot that is known.
        unit: "g" or "m".
        arrives: The day it is expected, for a delivery still to come; None where it is there.
        expected: What that delivery brings; it is in nothing that is left.
        paid_each: Money for a gram (or metre), where it is known what was paid.
    """

    material: str
    name: str
    unit: str
    expires: date | None = None
    arrives: date | None = None
    expected: Decimal = Decimal(0)
    paid_each: Fraction | None = None
    lines: list[StockLine] = field(default_factory=list)

    @property
    def left(self) -> Decimal:
        """Return what is left; below zero where more was used than is known of."""
        return self.lines[-1].left if self.lines else Decimal(0)

    def sum_of(self, *kinds: LineKind) -> Decimal:
        """Return the sum of its lines of these kinds."""
        return sum((line.amount for line in self.lines if line.what in kinds), Decimal(0))

    def may_be_used(self, day: date) -> bool:
        """Return whether it is still good on a day."""
        return self.expires is None or self.expires >= day


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLedger:
    """All lots of one material.

    opening + received - used + counted differences = left, to the last digit.
    """

    material: str
    unit: str
    lots: tuple[LotLedger, ...]

    @property
    def opening(self) -> Decimal:
        """Return what was there when the stock was written down."""
        return self._sum("opening")

    @property
    def received(self) -> Decimal:
        """Return what came since."""
        return self._sum("received")

    @property
    def used(self) -> Decimal:
        """Return what was used since."""
        return -self._sum("used")

    @property
    def counted(self) -> Decimal:
        """Return by how much counting moved it: above zero where more was found."""
        return self._sum("counted")

    @property
    def left(self) -> Decimal:
        """Return what is left in all."""
        return sum((lot.left for lot in self.lots), Decimal(0))

    @property
    def balances(self) -> bool:
        """Return whether what came and went adds up to what is left."""
        return self.opening + self.received - self.used + self.counted == self.left

    @property
    def unaccounted(self) -> Decimal:
        """Return what was used beyond all lots that are known of."""
        unknown = (lot for lot in self.lots if lot.name == UNKNOWN_LOT)
        return sum((-lot.left for lot in unknown), Decimal(0))

    def usable(self, day: date) -> Decimal:
        """Return what is left of lots that are still good on a day."""
        good = (lot for lot in self.lots if lot.may_be_used(day) and lot.left > 0)
        return sum((lot.left for lot in good), Decimal(0))

    def _sum(self, kind: LineKind) -> Decimal:
        return sum((lot.sum_of(kind) for lot in self.lots), Decimal(0))


def first_expiring(lots: Iterable[LotLedger], day: date) -> list[LotLedger]:
    """Return lots in the order they are used: good ones first, what expires first in front."""
    return sorted(
        lots,
        key=lambda lot: (not lot.may_be_used(day), lot.expires or date.max, lot.name),
    )
