"""A shop: everything that is written down about one workshop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Literal

from mouldwright.domain.errors import NotFound
from mouldwright.domain.estimate import OddsPolicy, Range
from mouldwright.domain.hours.opening import DayTimes, OpeningHours, Window
from mouldwright.domain.material import Material, Stock
from mouldwright.domain.money import Currency
from mouldwright.domain.order import Order, PartSet
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.process.mould import MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.record.bench_test import BenchTest
from mouldwright.domain.record.log import LogEntry
from mouldwright.domain.room import Room, Session
from mouldwright.domain.supplier import Offer, Supplier
from mouldwright.domain.warmth import Temperatures


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Someone at the bench.

    Attributes:
        wage_range: Least and most the wage may turn out, as shares of it; None where certain.
        weekly: Hours of their own, in place of the shop's; None where they keep the shop's.
        away: Minutes since the epoch, [from, until), in which they are not there; no shop
            states them, they are read from its log.
        comes_in: Dates on which they are in at these times besides hours of their own; no shop
            states them, they are supposed where it is asked what that would bring.
    """

    key: str
    title: str
    skills: frozenset[str]
    wage_per_hour: Decimal
    on_cost_rate: Decimal = Decimal(0)
    wage_range: Range | None = None
    weekly: tuple[DayTimes, ...] | None = None
    away: tuple[Window, ...] = ()
    comes_in: Mapping[date, DayTimes] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A counted place or machine.

    Attributes:
        count: Units of it.
        room: Parts each unit takes at once, entering singly; None for one task at a time.
        closing_force_n: The most it closes with, of a press; None where that is not known.
        weekly: Hours of its own; None where it may run at any time.
    """

    key: str
    title: str
    count: int = 1
    room: int | None = None
    cost_per_hour: Decimal = Decimal(0)
    closing_force_n: float | None = None
    weekly: tuple[DayTimes, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Instalment:
    """A share of what is to pay, tax and all, and when it falls due, in words."""

    share: Decimal
    when: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Outbound:
    """What sending costs, and what comes back.

    Attributes:
        per_order: Freight and papers of one order.
        per_part: The same for each good part.
        returns_share: Cost of returns and repairs, as a share of all other cost.
    """

    per_order: Decimal = Decimal(0)
    per_part: Decimal = Decimal(0)
    returns_share: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Discount:
    """A share of the goods taken off for a class of customer."""

    who: str
    of_goods: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class RushTier:
    """What haste costs from so many days before the ordinary date on.

    Attributes:
        days_sooner: Calendar days, from 1.
        surcharge: Share of the price of what is hurried.
    """

    days_sooner: int
    surcharge: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PricePolicy:
    """How cost becomes price.

    Attributes:
        rule: "margin" is a share of the price, "mark-up" a share of the cost.
        rate: That share.
        least_order: Net amount below which an order is topped up.
        tax_rate: On the net.
        deposit_rate: Share of the gross asked before work starts.
        tax_on: Whether tax is rounded once on the net, or on each line.
        tax_included: Whether prices are stated with their tax; the net is derived then.
        discounts: By class of customer.
        rush: What haste costs, by days.
        shared_set_up: Whether what an order saves by sharing batches with booked ones is kept
            or given to the customer.
        instalments: How the gross is paid, the first the deposit; empty for a deposit by
            ``deposit_rate`` and the rest on delivery.
        payment_fee_rate: What being paid costs, as a share of the gross.
        valid_days: How long a quote stands.
        breaks: Quantities a quote shows.
    """

    rule: Literal["margin", "mark-up"] = "margin"
    rate: Decimal = Decimal(0)
    least_order: Decimal = Decimal(0)
    tax_rate: Decimal = Decimal(0)
    deposit_rate: Decimal = Decimal(0)
    tax_on: Literal["total", "lines"] = "total"
    tax_included: bool = False
    discounts: tuple[Discount, ...] = ()
    rush: tuple[RushTier, ...] = ()
    shared_set_up: Literal["kept", "given"] = "kept"
    instalments: tuple[Instalment, ...] = ()
    payment_fee_rate: Decimal = Decimal(0)
    valid_days: int = 30
    breaks: tuple[int, ...] = (1, 5, 10, 25, 50, 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """One workshop. Everything belongs to one shop; mappings are by key.

    Attributes:
        start: The scenario's own "now"; None leaves it to the clock.
        counted: When its moulds' pulls and its stock were counted, where that is written; see
            ``counts_since``.
        overhead_per_hour: On every attended hour.
        service_level: Least chance that the starts give enough good parts; None is the
            mean rule, good / yield rounded up.
        theory_factor: Knock-down on stiffness from theory.
        leftover_value_rate: Share of its plain price that what is left of a pack counts for
            when packs are chosen; 0 values nothing.
        temperatures: How warm it is by day, night and season; None where sheets' times hold.
        materials_planned: Whether plans take materials as there, or wait for what stock lacks.
        unbillable_share: Share of each paid day that no order pays for.
        scale_step_g: The smallest step of the scale that mixes are weighed on.
        packaging_per_part: Packing materials for one part.
        address: Lines of its address, as quotes show them.
        contact: Lines by which it is reached: telephone, mail, page.
        tax_number: Its number for tax, as quotes show it; empty where none is shown.
        mark: Its own mark as SVG, as documents show it; empty where none is shown.
    """

    name: str
    currency: Currency
    hours: OpeningHours
    price: PricePolicy = field(default_factory=PricePolicy)
    odds: OddsPolicy = field(default_factory=OddsPolicy)
    start: datetime | None = None
    counted: datetime | None = None
    overhead_per_hour: Decimal = Decimal(0)
    packaging_per_part: Decimal = Decimal(0)
    outbound: Outbound = field(default_factory=Outbound)
    service_level: Decimal | None = Decimal("0.9")
    tooling: Literal["by life", "to the order"] = "by life"
    theory_factor: float = 0.8
    temperatures: Temperatures | None = None
    materials_charged: Literal["used", "bought"] = "used"
    materials_planned: Literal["assumed", "from stock"] = "assumed"
    leftover_value_rate: Decimal = Decimal(0)
    unbillable_share: Decimal = Decimal(0)
    scale_step_g: Decimal = Decimal("0.1")
    address: tuple[str, ...] = ()
    contact: tuple[str, ...] = ()
    tax_number: str = ""
    mark: str = ""
    people: Mapping[str, Person] = field(default_factory=dict)
    stations: Mapping[str, Station] = field(default_factory=dict)
    rooms: Mapping[str, Room] = field(default_factory=dict)
    sessions: Mapping[str, Session] = field(default_factory=dict)
    materials: Mapping[str, Material] = field(default_factory=dict)
    suppliers: Mapping[str, Supplier] = field(default_factory=dict)
    stock: Stock = field(default_factory=Stock)
    parts: Mapping[str, Part] = field(default_factory=dict)
    sets: Mapping[str, PartSet] = field(default_factory=dict)
    moulds: Mapping[str, MouldFamily] = field(default_factory=dict)
    processes: Mapping[str, Process] = field(default_factory=dict)
    bench_tests: Mapping[str, BenchTest] = field(default_factory=dict)
    orders: tuple[Order, ...] = ()
    log: tuple[LogEntry, ...] = ()

    @property
    def counts_since(self) -> datetime | None:
        """Return since when entries of the log move the written pulls and stock; None for all.

        Those before are history: what was counted then holds what they did already.
        """
        return self.start if self.counted is None else self.counted

    @property
    def zone(self) -> str:
        """Return the IANA name of the shop's time zone."""
        return self.hours.zone

    @property
    def offers(self) -> tuple[Offer, ...]:
        """Return every supplier's offers in order."""
        return tuple(o for supplier in self.suppliers.values() for o in supplier.offers)

    def material_title(self, key: str) -> str:
        """Return what a material is called; its key where the shop has none of it."""
        return self.materials[key].title if key in self.materials else key

    def part(self, key: str) -> Part:
        """Return a part. Raises NotFound where there is none of that key."""
        if key not in self.parts:
            raise NotFound(kind="part", key=key, known=self.parts)
        return self.parts[key]

    def process(self, key: str) -> Process:
        """Return a process. Raises NotFound where there is none of that key."""
        if key not in self.processes:
            raise NotFound(kind="process", key=key, known=self.processes)
        return self.processes[key]

    def families(self, part: str, process: str) -> tuple[MouldFamily, ...]:
        """Return the mould families that serve a part by a process, and stand its heat."""
        by = self.processes.get(process)
        hottest = by.hottest_in_mould_c if by is not None else None
        return tuple(
            f
            for f in self.moulds.values()
            if (f.part, f.process) == (part, process) and f.stands(hottest)
        )

    def mould_work(
        self, process: str, operation: str, mould: str
    ) -> Literal["upkeep", "making", "proof"]:
        """Return what work on a mould for nobody's order is: upkeep, making it, or its proof."""
        family = self.moulds.get(mould.rpartition(" ")[0])
        followed = self.processes.get(process)
        upkeep = followed.conditioning if followed is not None else None
        if upkeep is not None and upkeep.name == operation:
            return "upkeep"
        return "making" if family is None or family.made_by == process else "proof"

    def hours_of(self, person: Person) -> OpeningHours:
        """Return a person's hours: their own week in place of the shop's, closed dates kept.

        What they are away for is left out.
        """
        hours = self.hours
        if person.weekly is not None:
            hours = replace(hours.with_weekly(person.weekly), one_off=person.comes_in)
        return replace(hours, away=person.away) if person.away else hours

    def operation_named(self, process: str, name: str) -> Operation | None:
        """Return an operation of a process, its upkeep or a set; None where there is none."""
        if process in self.sets:
            operations = self.sets[process].operations
        else:
            by = self.processes.get(process)
            upkeep = (by.conditioning,) if by and by.conditioning else ()
            operations = (*by.operations, *upkeep) if by else ()
        return next((each for each in operations if each.name == name), None)

    def session_of(self, operation: Operation) -> Session | None:
        """Return the session an operation is work of; None where it costs nothing to go in."""
        return next((s for s in self.sessions.values() if s.holds(operation)), None)

    def with_skill(self, skill: str | None) -> tuple[Person, ...]:
        """Return the people who can do it; all of them where no skill is asked."""
        return tuple(p for p in self.people.values() if skill is None or skill in p.skills)
