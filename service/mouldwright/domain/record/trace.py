"""From a serial to all that is known of a part, and from a mould, mix or lot to its parts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Literal

from mouldwright.domain.errors import MouldwrightError, NotFound
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.process.batch import is_mixing
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.record.bench_test import BenchTest
from mouldwright.domain.record.charge_sheet import ChargeSheet, Weighed, charge_sheet, weighed
from mouldwright.domain.record.defects import DefectKind, faults_by_part
from mouldwright.domain.record.done import DoneTask, tasks_done
from mouldwright.domain.record.kept_log import in_force, up_to
from mouldwright.domain.record.log import Happening, LogEntry
from mouldwright.domain.record.mass_trend import MassTrend, mass_trend
from mouldwright.domain.record.mould_ledger import MouldLedger, mould_ledgers
from mouldwright.domain.record.pulls import PartNumbers, Pull, pulls_taken
from mouldwright.domain.record.serial import Serial
from mouldwright.domain.record.stock_ledger import StockBook, TaskUse, stock_book
from mouldwright.domain.shop import Shop

Stand = Literal["in work", "good", "second", "scrapped", "returned"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """What a part set in.

    Attributes:
        done: When, and how it ended.
        temperature_c: How warm it was; None where nobody noted it and the shop states none.
        is_noted: Whether somebody looked, and it is not the shop's word for the season.
    """

    done: DoneTask
    temperature_c: Decimal | None
    is_noted: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRecord:
    """All that the log knows of one part.

    Attributes:
        part: Key of the part.
        process: Key of the process.
        customer: Whom its order is for; empty where that is not known.
        pull: It came of; None where the process has no pulls, or nobody noted one.
        mixes: What was mixed for it, and of which lots.
        cures: In order.
        steps: All that was done to it, in order.
        tests: It was bent in.
        mass_g: What it weighs; None where nobody weighed it.
        on_scale: That mass against its window; None where no window is known.
        stands: What became of it.
        causes: Why, for what was wrong with it.
        hours_used: How long it was used before it came back.
    """

    serial: Serial
    part: str
    process: str
    customer: str
    pull: Pull | None
    mixes: tuple[TaskUse, ...]
    cures: tuple[Cure, ...]
    steps: tuple[DoneTask, ...]
    tests: tuple[BenchTest, ...]
    mass_g: Decimal | None
    on_scale: Weighed | None
    stands: Stand
    causes: tuple[tuple[DefectKind, str], ...]
    hours_used: Decimal | None

    @property
    def mould(self) -> str | None:
        """Return the name of its mould; None where there is none, or nobody noted it."""
        return None if self.pull is None else self.pull.mould

    @property
    def temperature_c(self) -> Decimal | None:
        """Return how warm it was as it set; None where that is not known."""
        return next((c.temperature_c for c in self.cures if c.temperature_c is not None), None)

    def used_lot(self, material: str, lot: str) -> bool:
        """Return whether something of a lot is in it, by what was noted or expires first."""
        return any(
            (taken.lot.material, taken.lot.name) == (material, lot)
            for use in self.mixes
            for taken in use.taken
        )


class Records:
    """The records of every part that the log tells of; worked out once, then asked."""

    def __init__(self, shop: Shop, *, at: datetime | None = None) -> None:
        """Read the shop's log, up to an instant or all of it."""
        self.shop = shop
        self.entries = in_force(up_to(shop.log, at))
        self.pulls = pulls_taken(shop, self.entries)
        self.book: StockBook = stock_book(shop, at=at)
        self._at = at
        self.tasks = tasks_done(self.entries)
        self.numbers = PartNumbers(shop, self.tasks)
        self._customers = {order.number: order.customer for order in shop.orders}
        self._sheets: dict[tuple[str, str], ChargeSheet | None] = {}
        self.records = {record.serial: record for record in self._all()}

    def moulds(self) -> tuple[MouldLedger, ...]:
        """Return how every mould stands."""
        return mould_ledgers(self.shop, at=self._at)

    def part(self, text: str) -> PartRecord:
        """Return the record of a serial.

        Raises:
            InvalidInput: if it is no serial.
            NotFound: if the log tells of no such part.
        """
        serial = Serial.read(text)
        if serial not in self.records:
            raise NotFound(kind="part", key=str(serial), known=[str(s) for s in self.records])
        return self.records[serial]

    def of_order(self, order: str) -> tuple[PartRecord, ...]:
        """Return the parts of an order by number."""
        return self._those(r for r in self.records.values() if r.serial.order == order)

    def of_mould(self, mould: str) -> tuple[PartRecord, ...]:
        """Return the parts that came of a mould."""
        return self._those(r for r in self.records.values() if r.mould == mould)

    def of_lot(self, material: str, lot: str) -> tuple[PartRecord, ...]:
        """Return the parts that hold something of a lot."""
        return self._those(r for r in self.records.values() if r.used_lot(material, lot))

    def of_mix(self, entry: int) -> tuple[PartRecord, ...]:
        """Return the parts of a mix, by the number of any entry that tells of it."""
        return self._those(
            r for r in self.records.values() if any(entry in use.done.entries for use in r.mixes)
        )

    def trend(self, part: str, process: str) -> MassTrend:
        """Return how the mass of the parts made so goes with the temperature they set at."""
        return mass_trend(
            [
                (float(record.temperature_c), record.on_scale.share)
                for record in self.records.values()
                if (record.part, record.process) == (part, process)
                and record.on_scale is not None
                and record.temperature_c is not None
            ]
        )

    def window(self, part: str, process: str) -> ChargeSheet | None:
        """Return what a part should weigh and may; None where that is not known."""
        key = (part, process)
        if key not in self._sheets:
            try:
                self._sheets[key] = charge_sheet(
                    self.shop, self.shop.part(part), self.shop.process(process)
                )
            except MouldwrightError:
                # No structure to weigh by, or the part was changed since.
                self._sheets[key] = None
        return self._sheets[key]

    @staticmethod
    def _those(found: Iterable[PartRecord]) -> tuple[PartRecord, ...]:
        return tuple(sorted(found, key=lambda record: record.serial))

    def _all(self) -> Iterator[PartRecord]:
        numbers = self.numbers
        faults = faults_by_part(self.entries, numbers)
        of_pull = {(p.order, p.number): p for p in self.pulls if p.order}
        masses = {
            Serial(member.order, part): entry.mass_g
            for entry in self.entries
            if entry.what is Happening.WEIGHED
            for member in entry.members
            for part in _parts_in(member.pulls, member.parts, member.order, numbers)
        }
        steps: dict[Serial, list[DoneTask]] = {}
        for done in self.tasks:
            for member in done.task.members:
                for part in _parts_in(member.pulls, member.parts, member.order, numbers):
                    steps.setdefault(Serial(member.order, part), []).append(done)
        uses = {use.done.entries: use for use in self.book.uses}
        for serial, its in steps.items():
            pull_number = numbers.pull_of(serial.order, serial.part)
            pull = of_pull.get((serial.order, pull_number or 0))
            first = its[0].task
            process = self.shop.processes.get(pull.process if pull else first.process)
            key = (pull.part if pull else first.part, process.key if process else first.process)
            mass, sheet = masses.get(serial), self.window(*key)
            its_faults = faults.get(serial, {})
            yield PartRecord(
                serial=serial,
                part=key[0],
                process=key[1],
                customer=self._customers.get(serial.order, ""),
                pull=pull,
                mixes=tuple(uses[d.entries] for d in its if d.entries in uses),
                cures=tuple(self._cures(process, its)),
                steps=tuple(its),
                tests=tuple(t for t in self.shop.bench_tests.values() if t.serial == str(serial)),
                mass_g=mass,
                on_scale=None if mass is None or sheet is None else weighed(sheet, float(mass)),
                stands=_stands(self._operations(key[1]), its, pull, its_faults),
                causes=tuple((kind, entry.cause) for kind, entry in its_faults.items()),
                hours_used=its_faults["returned"].hours_used if "returned" in its_faults else None,
            )

    def _operations(self, key: str) -> tuple[Operation, ...]:
        """Return the operations of a process, or of a set, none where the shop has it no more."""
        if key in self.shop.processes:
            return self.shop.processes[key].operations
        return self.shop.sets[key].operations if key in self.shop.sets else ()

    def _cures(self, process: Process | None, steps: Iterable[DoneTask]) -> Iterator[Cure]:
        noted = None
        for done in steps:
            noted = done.temperature_c if done.temperature_c is not None else noted
            operation = _operation(process, done.task.operation)
            if process is None or operation is None or not is_cure(self.shop, process, operation):
                continue
            if noted is not None:
                yield Cure(done=done, temperature_c=noted, is_noted=True)
            else:
                warm = self._season(done)
                yield Cure(done=done, temperature_c=warm, is_noted=False)

    def _season(self, done: DoneTask) -> Decimal | None:
        """Return how warm the shop says it is as something sets, the mean over its time."""
        stated = self.shop.temperatures
        if stated is None:
            return None
        start = minute_of(done.first_known)
        end = max(minute_of(done.last_known), start + 1)
        spans = stated.spans(self.shop.zone, start, end)
        whole = sum(((b - a) * warm for a, b, warm in spans), Decimal(0))
        return (whole / (end - start)).quantize(Decimal("0.1"))


def is_cure(shop: Shop, process: Process, operation: Operation) -> bool:
    """Return whether a part sets during an operation.

    As the operation says; else what nobody's hands are needed for while the mould is held, up to
    where the part gets its serial.
    """
    if operation.cures is not None:
        return True
    if operation.attended or is_mixing(shop, operation) or any(o.cures for o in process.operations):
        return False
    place = process.serial_place
    return place is not None and process.index(operation.name) <= place


def _operation(process: Process | None, name: str) -> Operation | None:
    return next((o for o in process.operations if o.name == name), None) if process else None


def _parts_in(
    pulls: Iterable[int], parts: tuple[int, ...], order: str, numbers: PartNumbers
) -> tuple[int, ...]:
    """Return the parts that are meant: those named, else those of the pulls."""
    return parts or tuple(p for pull in pulls for p in numbers.parts_of(order, pull))


def _stands(
    operations: tuple[Operation, ...],
    steps: list[DoneTask],
    pull: Pull | None,
    faults: dict[DefectKind, LogEntry],
) -> Stand:
    if "returned" in faults:
        return "returned"
    if "scrapped" in faults:
        return "scrapped"
    if pull is not None and pull.end in ("stopped", "scrapped", "lost with its mould"):
        return "scrapped"
    if "second" in faults:
        return "second"
    last = [o.name for o in operations if o.per != "order" and not o.rework][-1:]
    over = {done.task.operation for done in steps if done.state == "done"}
    return "good" if last and set(last) <= over else "in work"
