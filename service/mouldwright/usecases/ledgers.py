"""The ledgers of a shop with its plan beside them: how moulds and stock stand, what is ahead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from mouldwright.domain.costing.actual import actual_cost
from mouldwright.domain.costing.actual_lines import ActualCost, Quoted
from mouldwright.domain.errors import Fault, InvalidInput, NotFound
from mouldwright.domain.hours.opening import local
from mouldwright.domain.record.done import members_of, tasks_done
from mouldwright.domain.record.draw import Recipes
from mouldwright.domain.record.kept_log import up_to
from mouldwright.domain.record.log import LoggedMember, LoggedTask
from mouldwright.domain.record.lot_ledger import StockLedger
from mouldwright.domain.record.mould_ledger import MouldLedger, mould_ledgers
from mouldwright.domain.record.mould_life import LifeAhead, lives_ahead
from mouldwright.domain.record.pulls import held_until
from mouldwright.domain.record.reservation import Outlook, PlannedUse, outlook
from mouldwright.domain.record.stock_ledger import stock_book, stock_left
from mouldwright.domain.record.trace import PartRecord, Records
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan, Task
from mouldwright.usecases.booked_shop import with_orders
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept_run import KeptPlan, Page
from mouldwright.usecases.services import Services

# The orders whose parts can be traced in one shop, the newest by their quotes' numbers.
MOST_ORDERS = 100_000
# What a task is known by, whenever it is done: process, operation, and who and what is in it.
TaskKey = tuple[str, str, frozenset[tuple[str, str, int]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledgers:
    """A shop at one moment, its log and the plan that holds.

    Attributes:
        shop: With its log and every open order.
        plan: None where none was made.
        now: Zone-aware, in the shop's zone.
    """

    shop: Shop
    plan: Plan | None
    now: datetime

    def moulds(self) -> tuple[tuple[MouldLedger, LifeAhead], ...]:
        """Return every mould's ledger with what the plan leaves of it."""
        found = mould_ledgers(self.shop, at=self.now)
        ends = (task.end for task in self.plan.tasks) if self.plan is not None else ()
        until = max(ends, default=None)
        lives = lives_ahead(
            self.shop,
            found,
            self._planned_pulls(),
            now=self.now,
            until=None if until is None else local(until, self.shop.zone),
        )
        return tuple((ledger, lives[ledger.name]) for ledger in found)

    def mould(self, name: str) -> tuple[MouldLedger, LifeAhead]:
        """Return one mould's. Raises NotFound where there is none of that name."""
        every = {ledger.name: (ledger, ahead) for ledger, ahead in self.moulds()}
        if name not in every:
            raise NotFound(kind="mould", key=name, known=list(every))
        return every[name]

    def stock(self) -> tuple[tuple[StockLedger, Outlook], ...]:
        """Return every stocked material's ledger with what the plan takes of it."""
        book = stock_book(self.shop, at=self.now)
        ledgers = book.ledgers
        uses: dict[str, list[PlannedUse]] = {key: [] for key in ledgers}
        for use in self._planned_uses():
            uses.setdefault(use.material, []).append(use)
        stands = stock_left(book).lots
        found = []
        for key, planned in uses.items():
            unit = "m" if key in self.shop.materials and self.shop.materials[key].rod else "g"
            ledger = ledgers.get(key) or StockLedger(material=key, unit=unit, lots=())
            ahead = outlook(self.shop, key, stands.get(key, ()), planned, now=self.now)
            found.append((ledger, ahead))
        return tuple(found)

    def material(self, key: str) -> tuple[StockLedger, Outlook]:
        """Return one material's. Raises NotFound where it is neither stocked nor planned."""
        every = {ledger.material: (ledger, ahead) for ledger, ahead in self.stock()}
        if key not in every:
            raise NotFound(kind="stocked material", key=key, known=list(every))
        return every[key]

    def records(self) -> Records:
        """Return the record of every part the log tells of."""
        return Records(self.shop, at=self.now)

    def cost(self, order: str) -> ActualCost:
        """Return what an order really cost so far.

        Raises:
            NotFound: if there is no such order.
            InvalidInput: if a quantity or a rate cannot be right.
            CannotBeMade: if a part cannot be made so.
        """
        found = next((o for o in self.shop.orders if o.number == order), None)
        if found is None:
            numbers = [o.number for o in self.shop.orders]
            raise NotFound(kind="order", key=order, known=numbers)
        return actual_cost(self.shop, found, self.records())

    def parts(
        self,
        *,
        order: str | None = None,
        mould: str | None = None,
        material: str | None = None,
        lot: str | None = None,
        mix: int | None = None,
    ) -> tuple[PartRecord, ...]:
        """Return the parts that have all of what is asked in common; all of them for nothing.

        Args:
            order: Number of the order.
            mould: Name of the mould they came of.
            material: Key of a stocked material, with ``lot``.
            lot: Name of a lot of it that they hold something of.
            mix: Number of an entry that tells of the mix they are of.

        Raises:
            InvalidInput: if a lot is asked for without its material, or the other way round.
        """
        if (material is None) != (lot is None):
            lacking = "lot" if lot is None else "material"
            raise InvalidInput(
                [
                    Fault(
                        path=lacking,
                        value="",
                        problem="a lot is known by its material and its name together.",
                        remedy=f"Name the {lacking} too.",
                    )
                ]
            )
        records = self.records()
        found = set(records.records)
        if order is not None:
            found &= {r.serial for r in records.of_order(order)}
        if mould is not None:
            found &= {r.serial for r in records.of_mould(mould)}
        if material is not None and lot is not None:
            found &= {r.serial for r in records.of_lot(material, lot)}
        if mix is not None:
            found &= {r.serial for r in records.of_mix(mix)}
        return tuple(records.records[serial] for serial in sorted(found))

    def _to_come(self) -> Iterator[Task]:
        """Yield the plan's tasks that nobody has noted as begun."""
        if self.plan is None:
            return
        begun = tasks_done(up_to(self.shop.log, self.now))
        noted: set[TaskKey] = set()
        for done in begun:
            noted |= _keys(done.task)
        for task in self.plan.tasks:
            if not task.members or not _keys(logged_as(task)) & noted:
                yield task

    def _planned_pulls(self) -> Mapping[str, Sequence[datetime]]:
        """Return when each pull still to come gives its mould back, by mould."""
        found: dict[str, list[datetime]] = {}
        for task in self._to_come():
            process = self.shop.processes.get(task.process)
            if task.mould is None or process is None or not process.uses_mould:
                continue
            if task.operation == process.operations[held_until(process)].name:
                found.setdefault(task.mould, []).append(local(task.end, self.shop.zone))
        return found

    def _planned_uses(self) -> Iterator[PlannedUse]:
        recipes = Recipes(self.shop)
        for task in self._to_come():
            draw = recipes.draw(logged_as(task), mixed_g=task.mixed_g)
            for material, amount in draw.amounts.items():
                if amount:
                    yield PlannedUse(
                        at=local(task.start, self.shop.zone),
                        operation=task.operation,
                        process=task.process,
                        orders=tuple(dict.fromkeys(m.order for m in task.members)),
                        material=material,
                        amount=amount,
                    )


def logged_as(task: Task) -> LoggedTask:
    """Return a planned task as an entry of the log would name it."""
    return LoggedTask(
        operation=task.operation,
        process=task.process,
        part=task.part,
        mould=task.mould,
        stations=task.stations,
        members=tuple(
            LoggedMember(order=member.order, pulls=member.pulls, parts=member.parts)
            for member in task.members
        ),
    )


@contextmanager
def by_address() -> Iterator[None]:
    """Say of what is asked for by its address that it is unknown, where there is none."""
    try:
        yield
    except NotFound as gone:
        raise Unknown(kind=gone.kind, key=gone.key) from gone


def ledgers(services: Services, shop: str) -> Ledgers:
    """Return the ledgers of a shop that is kept, with the plan that holds. Raises Unknown."""
    with services.units.read(shop) as unit:
        document = unit.shops.now().document
        # Those called off have parts too that may be asked for.
        bookings = unit.bookings.listed(Page(limit=MOST_ORDERS), only_open=False)
        log = unit.log.all()
        try:
            kept: KeptPlan | None = unit.plans.newest()
        except Unknown:
            kept = None
    written = replace(services.written.read(document), log=log)
    whole = with_orders(written, (b.order for b in bookings))
    now = services.clock().astimezone(ZoneInfo(whole.zone))
    return Ledgers(shop=whole, plan=None if kept is None else kept.plan, now=now)


def cost_beside_quote(services: Services, shop: str, order: str) -> tuple[Shop, ActualCost]:
    """Return what an order of a shop that is kept really cost, beside its quote where it has one.

    Raises:
        Unknown: if there is no such shop or order.
        InvalidInput: if a quantity or a rate cannot be right.
        CannotBeMade: if a part cannot be made so.
    """
    found = ledgers(services, shop)
    with by_address():
        cost = found.cost(order)
    with services.units.read(shop) as unit:
        try:
            booking = unit.bookings.by_number(order)
        except Unknown:
            return found.shop, cost
        figures = unit.quotes.revision(booking.quote, booking.revision).figures
    quoted = Quoted(net=figures.net, cost_each=figures.unit_cost)
    return found.shop, replace(cost, quoted=quoted)


def _keys(task: LoggedTask) -> set[TaskKey]:
    """Return a key for each thing in a task, as batches may be formed otherwise than planned."""
    return {(task.process, task.operation, frozenset({member})) for member in members_of(task)}
