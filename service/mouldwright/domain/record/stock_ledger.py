"""The ledger of stock: lots, what came, what was used of which lot, what counting found.

The stock written in a shop stands as of its count, and what happened from then on moves it. A
finished task takes what was noted of it; where nothing was, its recipe, of the lot that expires
first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

from mouldwright.domain.material import Lot, Stock
from mouldwright.domain.quantity import exact
from mouldwright.domain.record.done import DoneTask, tasks_done
from mouldwright.domain.record.draw import Recipes
from mouldwright.domain.record.kept_log import in_force, up_to
from mouldwright.domain.record.log import Happening, LogEntry
from mouldwright.domain.record.lot_ledger import (
    UNKNOWN_LOT,
    LineKind,
    LotLedger,
    StockLedger,
    StockLine,
    first_expiring,
)
from mouldwright.domain.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What one task took of one lot.

    Attributes:
        lot: Its account; its name is empty where more was used than is known of.
        amount: Grams or metres, above zero.
    """

    lot: LotLedger
    amount: Decimal
    is_noted: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskUse:
    """What one task took from stock.

    Attributes:
        shares: Of it, by number of the order; empty for no order's task.
        taken: Of each lot.
    """

    done: DoneTask
    shares: Mapping[str, Fraction]
    taken: tuple[Taken, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StockBook:
    """Every material's ledger, and what each task took.

    Attributes:
        ledgers: By material, those that have a lot or were used.
        uses: By task, those before the shop's count included; their lots are then as noted.
    """

    ledgers: Mapping[str, StockLedger]
    uses: tuple[TaskUse, ...]


def stock_book(shop: Shop, *, at: datetime | None = None) -> StockBook:
    """Return the ledgers of all stock.

    Args:
        shop: With its log.
        at: As of then, deliveries expected by then taken as there; None with all that is
            logged, and no delivery that is not noted.
    """
    return _Keeping(shop, at).book()


def stock_as_it_stands(shop: Shop, *, at: datetime | None = None) -> Stock:
    """Return what is left of every lot, and the deliveries still to come; as ``stock_left``."""
    return stock_left(stock_book(shop, at=at))


def stock_left(book: StockBook) -> Stock:
    """Return what a book has left of every lot, and the deliveries still to come.

    What was used beyond all known lots is no lot, and is left out.
    """
    return Stock(
        lots={
            key: tuple(_lot(lot) for lot in ledger.lots if lot.expected or _is_there(lot))
            for key, ledger in book.ledgers.items()
        }
    )


def used_by_order(book: StockBook) -> Mapping[str, Mapping[tuple[str, str], Fraction]]:
    """Return what the log has used for each order, by (material, "g" or "m")."""
    found: dict[str, dict[tuple[str, str], Fraction]] = {}
    for use in book.uses:
        for order, share in use.shares.items():
            its = found.setdefault(order, {})
            for taken in use.taken:
                key = (taken.lot.material, taken.lot.unit)
                its[key] = its.get(key, Fraction(0)) + exact(taken.amount) * share
    return found


def lot_name(lots: Sequence[Lot], place: int) -> str:
    """Return what a lot of the shop is called: as written on it, else its place from 1."""
    return lots[place].name or str(place + 1)


def _is_there(lot: LotLedger) -> bool:
    return lot.left > 0 and lot.name != UNKNOWN_LOT


def _lot(lot: LotLedger) -> Lot:
    amount = lot.expected or lot.left
    paid = None if lot.paid_each is None else lot.paid_each * exact(amount)
    return Lot(
        material=lot.material,
        grams=amount if lot.unit == "g" else None,
        metres=amount if lot.unit == "m" else None,
        expires=lot.expires,
        arrives=lot.arrives,
        name=lot.name,
        paid=None if paid is None else Decimal(paid.numerator) / Decimal(paid.denominator),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Event:
    at: datetime
    order: int
    delivery: LotLedger | None = None
    entry: LogEntry | None = None
    done: DoneTask | None = None


class _Keeping:
    """Keeps the book: what happened is entered in the order it happened."""

    def __init__(self, shop: Shop, at: datetime | None) -> None:
        self.shop, self.at = shop, at
        self.zone = ZoneInfo(shop.zone)
        self.entries = in_force(up_to(shop.log, at))
        self.tasks = tasks_done(self.entries)
        self.recipes = Recipes(shop)
        self.lots: dict[str, list[LotLedger]] = {}
        self.coming: list[LotLedger] = []
        self.came: dict[int, LotLedger] = {}
        self.uses: list[TaskUse] = []

    def book(self) -> StockBook:
        """Return all of it."""
        self._open()
        self._expect()
        for event in sorted(self._events(), key=lambda e: (e.at, e.order)):
            if event.delivery is not None:
                self._arrive(event.delivery, event.at)
            elif event.entry is not None:
                self._enter(event.entry)
            elif event.done is not None:
                self._use(event.done)
        return StockBook(
            ledgers={
                key: StockLedger(material=key, unit=self._unit(key), lots=tuple(lots))
                for key, lots in self.lots.items()
            },
            uses=tuple(self.uses),
        )

    # Opening.

    def _open(self) -> None:
        since = self.shop.counts_since
        for key, lots in self.shop.stock.lots.items():
            for place, lot in enumerate(lots):
                amount = lot.metres if lot.grams is None else lot.grams
                amount = Decimal(0) if amount is None else amount
                held = LotLedger(
                    material=key,
                    name=lot_name(lots, place),
                    unit="m" if lot.grams is None else "g",
                    expires=lot.expires,
                    arrives=lot.arrives,
                    paid_each=exact(lot.paid) / exact(amount)
                    if lot.paid is not None and amount
                    else None,
                )
                self.lots.setdefault(key, []).append(held)
                counted = None if since is None else since.astimezone(self.zone).date()
                if lot.arrives is None or (counted is not None and lot.arrives <= counted):
                    held.arrives = None
                    self._line(held, since or self._first(), "opening", amount)
                else:
                    held.expected = amount
                    self.coming.append(held)

    def _expect(self) -> None:
        """Put deliveries off that are late, and find which of them each receipt is.

        A receipt is the delivery of its name, else the next of its material that is expected.
        """
        left = list(self.coming)
        for entry in self.entries:
            if not self._is_counted(entry.at):
                continue
            theirs = sorted(
                (lot for lot in left if lot.material == entry.material),
                key=lambda lot: (lot.name != entry.lot, lot.arrives or date.max),
            )
            if not theirs or any(lot.name == entry.lot for lot in self._there(theirs[0].material)):
                continue
            if entry.what is Happening.DELIVERY_LATE and entry.until is not None:
                theirs[0].arrives = entry.until.astimezone(self.zone).date()
            elif entry.what is Happening.RECEIVED:
                self.came[entry.number] = theirs[0]
                left.remove(theirs[0])

    def _first(self) -> datetime:
        """Return an instant before all that is logged, where the shop states no count."""
        return min((e.at for e in self.entries), default=datetime(1970, 1, 1, tzinfo=self.zone))

    # What happened, in order.

    def _events(self) -> Iterator[_Event]:
        for entry in self.entries:
            if entry.what in (Happening.RECEIVED, Happening.STOCK_COUNTED):
                yield _Event(at=entry.at, order=1 + entry.number, entry=entry)
        for done in self.tasks:
            # A mix that is begun is out of the stock; what was really used is noted at its end.
            yield _Event(at=done.last_known, order=1 + done.entries[-1], done=done)
        noted = list(self.came.values())
        for lot in self.coming:
            # A delivery that nobody noted is taken as there on the day it is expected.
            begins = datetime.combine(lot.arrives or date.max, time(), self.zone)
            if self.at is not None and begins <= self.at and lot not in noted:
                yield _Event(at=begins, order=0, delivery=lot)

    def _is_counted(self, at: datetime) -> bool:
        since = self.shop.counts_since
        return since is None or at >= since

    def _enter(self, entry: LogEntry) -> None:
        if entry.material is None or not self._is_counted(entry.at):
            return
        if entry.what is Happening.RECEIVED:
            self._receive(entry, entry.material)
        else:
            self._count(entry, entry.material)

    def _arrive(self, lot: LotLedger, at: datetime) -> None:
        if lot in self.coming:
            self._line(lot, at, "received", lot.expected)
            self._is_here(lot)

    def _receive(self, entry: LogEntry, material: str) -> None:
        """Enter what came: a delivery that was expected, more of a lot, or a new one."""
        amount = entry.amount or Decimal(0)
        if entry.number in self.came:
            lot = self.came[entry.number]
            lot.name = entry.lot or lot.name
            self._is_here(lot)
        else:
            lot = self._named(material, entry.lot or f"received {entry.number}")
        if entry.best_before is not None:
            lot.expires = date.fromisoformat(entry.best_before)
        if entry.paid is not None and amount:
            before = lot.left if lot.paid_each is not None and lot.left > 0 else Decimal(0)
            worth = (lot.paid_each or 0) * exact(before) + exact(entry.paid)
            lot.paid_each = worth / (exact(before) + exact(amount))
        self._line(lot, entry.at, "received", amount, entry=entry.number)

    def _is_here(self, lot: LotLedger) -> None:
        """Expect a delivery no more."""
        self.coming.remove(lot)
        lot.arrives, lot.expected = None, Decimal(0)

    def _count(self, entry: LogEntry, material: str) -> None:
        """Enter what was counted: of one lot, or of all there is of a material."""
        amount = entry.amount or Decimal(0)
        if entry.lot is not None:
            lot = self._named(material, entry.lot)
            self._line(lot, entry.at, "counted", amount - lot.left, entry=entry.number)
            return
        lots = self._there(material)
        off = amount - sum((lot.left for lot in lots), Decimal(0))
        day = entry.at.astimezone(self.zone).date()
        unknown = [lot for lot in lots if lot.name == UNKNOWN_LOT]
        for lot in unknown:
            # What was used of no known lot is settled by the count, whatever it finds.
            off += lot.left
            self._line(lot, entry.at, "counted", -lot.left, entry=entry.number)
        known = first_expiring((lot for lot in lots if lot.name != UNKNOWN_LOT), day)
        if off > 0 or not known:
            lot = known[-1] if known else self._new(material, f"counted {entry.number}")
            self._line(lot, entry.at, "counted", off, entry=entry.number)
            return
        for lot in known:
            less = max(off, -max(lot.left, Decimal(0)))
            if less or lot is known[-1]:
                self._line(lot, entry.at, "counted", less, entry=entry.number)
            off -= less

    def _use(self, done: DoneTask) -> None:
        draw = self.recipes.draw(done.task)
        noted = {used.material for used in done.used}
        taken: list[Taken] = []
        counted = self._is_counted(done.last_known)
        for used in done.used:
            find = self._named if counted else self._nowhere
            lot = find(used.material, used.lot)
            taken.append(Taken(lot=lot, amount=used.amount, is_noted=True))
        day = done.last_known.astimezone(self.zone).date()
        for material, amount in draw.amounts.items():
            if material not in noted and amount:
                taken += self._first_expiring(material, amount, day, counted=counted)
        if not taken:
            return
        shares = draw.shares or _evenly(done)
        self.uses.append(TaskUse(done=done, shares=shares, taken=tuple(taken)))
        for each in taken if counted else ():
            line = StockLine(
                at=done.last_known,
                what="used",
                amount=-each.amount,
                left=each.lot.left - each.amount,
                orders=tuple(shares),
                task=(done.task.process, done.task.operation),
                is_noted=each.is_noted,
                entry=done.entries[-1],
            )
            each.lot.lines.append(line)

    def _first_expiring(
        self, material: str, amount: Decimal, day: date, *, counted: bool
    ) -> Iterator[Taken]:
        left = amount
        for lot in first_expiring(self._there(material), day) if counted else ():
            if lot.name == UNKNOWN_LOT or lot.left <= 0 or not left:
                continue
            some = min(left, lot.left)
            left -= some
            yield Taken(lot=lot, amount=some, is_noted=False)
        if left:
            find = self._named if counted else self._nowhere
            lot = find(material, UNKNOWN_LOT)
            yield Taken(lot=lot, amount=left, is_noted=False)

    # Lots.

    def _there(self, material: str) -> list[LotLedger]:
        return [lot for lot in self.lots.get(material, []) if lot not in self.coming]

    def _named(self, material: str, name: str) -> LotLedger:
        found = next((lot for lot in self.lots.get(material, []) if lot.name == name), None)
        return found or self._new(material, name)

    def _new(self, material: str, name: str) -> LotLedger:
        lot = self._nowhere(material, name)
        self.lots.setdefault(material, []).append(lot)
        return lot

    def _nowhere(self, material: str, name: str) -> LotLedger:
        """Return a lot that is in no account."""
        return LotLedger(material=material, name=name, unit=self._unit(material))

    def _unit(self, material: str) -> str:
        lots = self.shop.stock.lots.get(material, ())
        if lots:
            return "m" if lots[0].grams is None else "g"
        known = self.shop.materials.get(material)
        return "m" if known is not None and known.rod is not None else "g"

    @staticmethod
    def _line(
        lot: LotLedger, at: datetime, what: LineKind, amount: Decimal, *, entry: int = 0
    ) -> None:
        line = StockLine(at=at, what=what, amount=amount, left=lot.left + amount, entry=entry)
        lot.lines.append(line)


def _evenly(done: DoneTask) -> Mapping[str, Fraction]:
    """Return equal shares of the orders in a task, where no recipe says how much each takes."""
    orders = list(dict.fromkeys(member.order for member in done.task.members))
    return {order: Fraction(1, len(orders)) for order in orders}
