"""What an order really cost, worked out from its log: hands, lots, moulds, stations, scrap."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction

from mouldwright.domain.costing.actual_lines import ActualCost, ActualLine
from mouldwright.domain.costing.actual_work import share_of, station_hours, upkeep_share, worked
from mouldwright.domain.costing.cost_model import CostModel, cost_model
from mouldwright.domain.costing.material_price import material_prices
from mouldwright.domain.costing.set_cost import set_cost
from mouldwright.domain.costing.unit_cost import UnitCost, cost_of
from mouldwright.domain.order import Order
from mouldwright.domain.part.constituent import Charge
from mouldwright.domain.part.mass import charge
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.quantity import exact
from mouldwright.domain.record.done import DoneTask
from mouldwright.domain.record.log import LoggedMember
from mouldwright.domain.record.serial import OrderLot, lots_of
from mouldwright.domain.record.trace import PartRecord, Records
from mouldwright.domain.shop import Shop


def actual_cost(shop: Shop, order: Order, records: Records) -> ActualCost:
    """Return what an order really cost by its log.

    Lots are charged at what was paid for them, else at today's plain price; minutes that were
    noted at the cost of those whose they were, others at their standard; moulds by the pulls
    really taken. What no log tells, such as freight, is taken as reckoned once the order is whole.

    Raises:
        NotFound: if the shop lacks what the order names.
        InvalidInput: if a quantity or a rate cannot be right.
        CannotBeMade: if a part cannot be made so.
    """
    return _Reckoning(shop, order, records).cost()


class _Reckoning:
    def __init__(self, shop: Shop, order: Order, records: Records) -> None:
        self.shop, self.order, self.records = shop, order, records
        self.lots = lots_of(shop, order)
        # Sets put together are counted by the parts in them.
        self.parts = [r for r in records.of_order(order.number) if r.part not in shop.sets]
        self.tasks = [t for t in records.tasks if share_of(t, order.number)]
        self.models = {
            (lot.part, lot.process): self._model(lot)
            for lot in self.lots
            if lot.process in shop.processes
        }

    def cost(self) -> ActualCost:
        """Return all of it."""
        found = ActualCost(
            order=self.order,
            reckoned=self._reckoned(),
            begun=len(self.parts),
            good=self._good(),
            seconds=self._count("second"),
            scrapped=self._count("scrapped"),
            in_work=self._count("in work"),
            lines=(),
            seconds_income=self._seconds_income(),
        )
        lines = [*self._labour(), *self._upkeep(), *self._materials(), *self._consumables()]
        lines += [*self._items(found.good), *self._moulds(), *self._stations()]
        lines.append(self._packaging(self._count("good", "returned")))
        lines.append(self._overhead(lines))
        if found.is_whole:
            lines += self._outbound(found.reckoned)
        return replace(found, lines=tuple(lines))

    def _count(self, *stands: str) -> int:
        return sum(1 for record in self.parts if record.stands in stands)

    def _seconds_income(self) -> Fraction | None:
        """Return what the seconds bring at what their parts state; None where one states none."""
        income = Fraction(0)
        for record in self.parts:
            if record.stands == "second":
                price = self.shop.part(record.part).second_price
                if price is None:
                    return None
                income += exact(price)
        return income

    def _good(self) -> int:
        """Return the good parts; of a set as many as there are whole sets of good ones."""
        sold = self.shop.sets.get(self.order.part)
        if sold is None:
            return self._count("good", "returned")
        good = [(r.part, r.process) for r in self.parts if r.stands in ("good", "returned")]
        return min(good.count((each.part, each.process)) // each.count for each in sold.parts)

    def _items(self, sets: int) -> Iterator[ActualLine]:
        """Yield what was bought in for a set, for as many as are whole."""
        sold = self.shop.sets.get(self.order.part)
        for item in sold.items if sold is not None else ():
            yield ActualLine(
                kind="consumables",
                text=f"bought in: {item.name}",
                quantity=Fraction(item.count * sets),
                unit="piece",
                amount=item.count * sets * exact(item.cost),
                evidence="for each whole set",
            )

    def _charge(self, lot: OrderLot) -> Charge | None:
        process = self.shop.process(lot.process)
        if process.structure is None:
            return None
        return charge(self.shop, self.shop.part(lot.part), process)

    def _model(self, lot: OrderLot) -> CostModel:
        part, process = self.shop.part(lot.part), self.shop.process(lot.process)
        return cost_model(self.shop, part, process, charge=self._charge(lot))

    def _reckoned(self) -> UnitCost:
        sold = self.shop.sets.get(self.order.part)
        if sold is None:
            return cost_of(next(iter(self.models.values())), self.order.quantity)
        charges = {
            (lot.part, lot.process): self._charge(lot)
            for lot in self.lots
            if lot.process in self.shop.processes
        }
        return set_cost(self.shop, sold, self.order.quantity, charges=charges)

    # Hands.

    def _of(self, process: str, operation: str) -> list[DoneTask]:
        return [t for t in self.tasks if (t.task.process, t.task.operation) == (process, operation)]

    def _steps(self) -> Iterator[tuple[str, Operation, int]]:
        """Yield each operation once, with the key it is logged under and the parts of a pull."""
        seen = set()
        for lot in self.lots:
            if lot.process in seen:
                continue
            seen.add(lot.process)
            process = self.shop.processes.get(lot.process)
            steps = process.operations if process else self.shop.sets[lot.process].operations
            for operation in steps:
                yield lot.process, operation, lot.cavities

    def _labour(self) -> Iterator[ActualLine]:
        for key, operation, cavities in self._steps():
            tasks = self._of(key, operation.name)
            if not operation.attended or not tasks:
                continue
            found = worked(self.shop, operation, tasks, self.order.number, cavities)
            yield ActualLine(
                kind="labour",
                text=operation.name,
                quantity=found.hours,
                unit="h",
                amount=found.cost,
                evidence=_timed(found.timed, found.untimed),
                reckoned=found.reckoned_hours,
            )

    def _upkeep(self) -> Iterator[ActualLine]:
        for process in self._processes():
            operation = process.conditioning
            if operation is None:
                continue
            done = [
                t
                for t in self.records.tasks
                if not t.task.members
                and (t.task.process, t.task.operation) == (process.key, operation.name)
                and t.state == "done"
            ]
            share = upkeep_share(self.records.pulls, done, self.order.number)
            if not share:
                continue
            whole = [worked(self.shop, operation, [_alone(t)], "", 1) for t in done]
            mean = sum((w.hours for w in whole), Fraction(0)) / len(whole)
            costs = [w.cost for w in whole if w.cost is not None]
            cost = sum(costs, Fraction(0)) / len(whole) if len(costs) == len(whole) else None
            yield ActualLine(
                kind="conditioning",
                text=operation.name,
                quantity=mean * share,
                unit="h",
                amount=None if cost is None else cost * share,
                evidence=_timed(sum(w.timed for w in whole), sum(w.untimed for w in whole)),
            )

    def _overhead(self, lines: Iterable[ActualLine]) -> ActualLine:
        hours = sum(
            (line.quantity for line in lines if line.kind in ("labour", "conditioning")),
            Fraction(0),
        )
        return ActualLine(
            kind="overhead",
            text="overhead on attended hours",
            quantity=hours,
            unit="h",
            amount=hours * exact(self.shop.overhead_per_hour),
            evidence="the hours above",
        )

    # Things.

    def _materials(self) -> Iterator[ActualLine]:
        prices = material_prices(self.shop)
        used: dict[tuple[str, str, str], tuple[Fraction, Fraction | None, bool]] = {}
        for use in self.records.book.uses:
            share = use.shares.get(self.order.number, Fraction(0))
            for taken in use.taken if share else ():
                lot = taken.lot
                plain = (prices.by_metre if lot.unit == "m" else prices.by_gram).get(lot.material)
                each = lot.paid_each
                if each is None and plain is not None:
                    each = plain.each
                key = (lot.material, lot.name, lot.unit)
                amount, cost, noted = used.get(key, (Fraction(0), Fraction(0), True))
                took = exact(taken.amount) * share
                used[key] = (
                    amount + took,
                    None if cost is None or each is None else cost + took * each,
                    noted and taken.is_noted,
                )
        for (material, name, unit), (amount, cost, noted) in used.items():
            title = self.shop.material_title(material)
            yield ActualLine(
                kind="material",
                text=f"{title}, lot {name}" if name else f"{title}, of no known lot",
                quantity=amount,
                unit=unit,
                amount=cost,
                evidence="as noted" if noted else "by the recipe, what expires first",
            )

    def _consumables(self) -> Iterator[ActualLine]:
        for process in self._processes():
            parts = self._parts_by(process)
            pulls = {r.pull.number for r in parts if r.pull is not None}
            batches = [o.name for o in process.operations if o.per == "batch"][:1]
            counts: Mapping[str, Fraction] = {
                "order": Fraction(bool(parts)),
                "part": Fraction(len(parts)),
                "pull": Fraction(len(pulls) if process.has_pulls else len(parts)),
                "batch": sum(
                    (
                        share_of(t, self.order.number)
                        for name in batches
                        for t in self._of(process.key, name)
                    ),
                    Fraction(0),
                ),
            }
            for consumable in process.consumables:
                count = counts.get(consumable.per)
                if count is None:
                    continue  # sessions are nobody's order; what they use is reckoned, not logged
                yield ActualLine(
                    kind="consumables",
                    text=consumable.name,
                    quantity=count,
                    unit=consumable.per,
                    amount=count * exact(consumable.cost),
                    evidence="counted from the log",
                )

    def _moulds(self) -> Iterator[ActualLine]:
        for process in self._processes():
            pulls = [
                p
                for p in self.records.pulls
                if (p.order, p.process) == (self.order.number, process.key) and p.ended is not None
            ]
            models = [m for (_, key), m in self.models.items() if key == process.key]
            family = models[0].tooling.family if models else None
            if family is None or not pulls:
                continue
            cost, mean = models[0].tooling.cost, family.mean_sold
            each = None if cost is None else cost / mean if mean else Fraction(0)
            yield ActualLine(
                kind="tooling",
                text=f"{family.key}, by the life of a mould",
                quantity=Fraction(len(pulls)),
                unit="pull",
                amount=None if each is None else each * len(pulls),
                evidence="pulls taken by the log",
            )
            lost = [p for p in pulls if p.end == "lost with its mould"]
            if not lost or family.loss_rate or family.life_pulls is None:
                continue  # a stated chance of loss is in the cost of each pull already
            left = sum(self._life_lost(p.mould) for p in lost)
            yield ActualLine(
                kind="tooling",
                text=f"{family.key}, what was left of moulds that were lost",
                quantity=Fraction(left),
                unit="pull",
                amount=None if each is None else each * left,
                evidence="pulls that they would still have given",
            )

    def _life_lost(self, mould: str | None) -> int:
        for ledger in self.records.moulds():
            if ledger.name == mould and ledger.family.life_pulls is not None:
                return max(ledger.family.life_pulls - ledger.pulls, 0)
        return 0

    def _stations(self) -> Iterator[ActualLine]:
        steps = list(self._steps())
        for key, station in self.shop.stations.items():
            if not station.cost_per_hour:
                continue
            tasks = [
                (operation, done)
                for process, operation, _ in steps
                if operation.station == key
                for done in self._of(process, operation.name)
            ]
            if not tasks:
                continue
            hours, untimed = station_hours(self.shop, key, tasks, self.order.number)
            yield ActualLine(
                kind="station",
                text=station.title,
                quantity=hours,
                unit="h",
                amount=hours * exact(station.cost_per_hour),
                evidence=_timed(len(tasks) - untimed, untimed),
            )

    def _packaging(self, good: int) -> ActualLine:
        return ActualLine(
            kind="packaging",
            text="packaging",
            quantity=Fraction(good),
            unit="part",
            amount=good * exact(self.shop.packaging_per_part),
            evidence="good parts by the log",
        )

    @staticmethod
    def _outbound(reckoned: UnitCost) -> Iterator[ActualLine]:
        for line in reckoned.lines:
            if line.kind == "outbound" and line.amount:
                yield ActualLine(
                    kind="outbound",
                    text=line.text,
                    quantity=exact(line.quantity),
                    unit=line.unit,
                    amount=line.amount,
                    evidence="as reckoned: no log tells of it",
                )

    # What of the order.

    def _processes(self) -> list[Process]:
        keys = dict.fromkeys(lot.process for lot in self.lots)
        return [self.shop.processes[key] for key in keys if key in self.shop.processes]

    def _parts_by(self, process: Process) -> list[PartRecord]:
        return [record for record in self.parts if record.process == process.key]


def _alone(done: DoneTask) -> DoneTask:
    """Return work on a mould alone as the whole of nobody's order."""
    return replace(done, task=replace(done.task, members=(LoggedMember(order="", parts=(1,)),)))


def _timed(timed: int, untimed: int) -> str:
    if not untimed:
        return f"{timed} timed"
    return f"{timed} timed, {untimed} at their standard"
