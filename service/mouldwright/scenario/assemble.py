"""From what was written to the shop itself."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from mouldwright.domain.errors import Fault
from mouldwright.domain.hours.opening import OpeningHours, local, minute_of
from mouldwright.domain.key_path import entries, key_path
from mouldwright.domain.material import Stock
from mouldwright.domain.money import Currency
from mouldwright.domain.order import Order
from mouldwright.domain.part.shape import Loop
from mouldwright.domain.record.log import LogEntry
from mouldwright.domain.shop import Shop
from mouldwright.wire.scenario import Scenario


def assemble(scenario: Scenario, coordinates: Mapping[str, Loop]) -> tuple[Shop, list[Fault]]:
    """Return the shop, and the faults and warnings of its dates and times.

    Args:
        scenario: As written.
        coordinates: The loop of every coordinate file, by its name.
    """
    hours = scenario.shop.hours.opening_hours(scenario.shop.time_zone)
    dates = _Dates(hours)
    written = scenario.shop
    shop = Shop(
        name=written.name,
        currency=Currency(written.currency),
        hours=hours,
        price=written.price.policy(),
        odds=written.odds.policy(),
        start=dates.instant(key_path("shop", "start"), written.start),
        counted=dates.instant(key_path("shop", "counted"), written.counted),
        overhead_per_hour=written.overhead_per_hour,
        packaging_per_part=written.packaging_per_part,
        outbound=written.outbound.outbound(),
        service_level=written.service_level,
        tooling=written.tooling,
        theory_factor=written.theory_factor,
        materials_charged=written.materials_charged,
        materials_planned=written.materials_planned,
        leftover_value_rate=written.leftover_value_rate,
        unbillable_share=written.unbillable_share,
        scale_step_g=written.scale_step_g,
        temperatures=written.temperatures.temperatures() if written.temperatures else None,
        address=tuple(written.address),
        contact=tuple(written.contact),
        tax_number=written.tax_number or "",
        mark=written.mark or "",
        people={key: person.person(key) for key, person in scenario.people.items()},
        stations={key: station.station(key) for key, station in scenario.stations.items()},
        rooms={key: room.room(key) for key, room in scenario.rooms.items()},
        sessions={key: session.session(key) for key, session in scenario.sessions.items()},
        materials={key: material.material(key) for key, material in scenario.materials.items()},
        suppliers={key: supplier.supplier(key) for key, supplier in scenario.suppliers.items()},
        stock=Stock(
            lots={key: tuple(lot.lot(key) for lot in lots) for key, lots in scenario.stock.items()}
        ),
        parts={key: part.part(key, coordinates) for key, part in scenario.parts.items()},
        sets={key: part_set.part_set(key) for key, part_set in scenario.sets.items()},
        moulds={key: family.family(key) for key, family in scenario.moulds.items()},
        processes={key: process.process(key) for key, process in scenario.processes.items()},
        bench_tests={key: test.bench_test(key) for key, test in scenario.bench_tests.items()},
        orders=_orders(scenario, dates),
        log=_log(scenario, dates),
    )
    return shop, dates.faults


def _orders(scenario: Scenario, dates: _Dates) -> tuple[Order, ...]:
    shown = entries([order.number for order in scenario.orders])
    made: list[Order] = []
    for order, name in zip(scenario.orders, shown, strict=True):
        part = scenario.parts.get(order.part)
        only = part.made_by[0] if part and len(part.made_by) == 1 else None
        where = ("orders", name)

        def instant(
            key: str, value: date | datetime | None, where: tuple[str | int, ...] = where
        ) -> datetime | None:
            path = key_path(*where, key)
            if value is None or isinstance(value, datetime):
                return dates.instant(path, value)
            return dates.closing(path, value) if key == "due" else dates.midnight(value)

        made.append(order.order(instant, only_process=only))
    return tuple(made)


def _log(scenario: Scenario, dates: _Dates) -> tuple[LogEntry, ...]:
    made: list[LogEntry] = []
    for place, entry in enumerate(scenario.log):

        def instant(
            key: str, value: datetime | None, where: tuple[str | int, ...] = ("log", place)
        ) -> datetime | None:
            return dates.instant(key_path(*where, key), value)

        made.append(entry.entry(place + 1, instant))
    return tuple(made)


class _Dates:
    """Reads local times as instants and keeps what was wrong with them."""

    def __init__(self, hours: OpeningHours) -> None:
        self.hours = hours
        self.zone = ZoneInfo(hours.zone)
        self.faults: list[Fault] = []

    def instant(self, path: str, value: datetime | None) -> datetime | None:
        """Return the instant of a local time, the first of two where the clocks go back."""
        if value is None or value.tzinfo is not None:
            return value.astimezone(self.zone) if value else None
        early = value.replace(tzinfo=self.zone, fold=0).astimezone(UTC)
        late = value.replace(tzinfo=self.zone, fold=1).astimezone(UTC)
        if early == late:
            return early.astimezone(self.zone)
        read = early.astimezone(self.zone)
        if read.replace(tzinfo=None) != value:
            self.faults.append(
                Fault(
                    path=path,
                    value=value.isoformat(),
                    problem=f"the clocks of {self.hours.zone} skip this time.",
                    remedy=f'Write "{read.replace(tzinfo=None).isoformat()}", an hour later.'
                    if early - late == timedelta(hours=1)
                    else f'Write "{read.replace(tzinfo=None).isoformat()}".',
                )
            )
        else:
            self.faults.append(
                Fault(
                    path=path,
                    value=value.isoformat(),
                    problem="the clocks go back and this time comes twice; the first is meant.",
                    remedy=f'For the second write "{late.astimezone(self.zone).isoformat()}".',
                    is_warning=True,
                )
            )
        return read

    def closing(self, path: str, day: date) -> datetime | None:
        """Return when hours close on a day, else on the last open day before."""
        minute = self.hours.closing(day)
        if minute is None:
            self.faults.append(
                Fault(
                    path=path,
                    value=day.isoformat(),
                    problem="the shop is not open on that day nor in the year before it.",
                    remedy='Write a time as well: "' + day.isoformat() + 'T17:00".',
                )
            )
            return None
        return local(minute, self.hours.zone)

    def midnight(self, day: date) -> datetime:
        """Return the beginning of a local day."""
        at = datetime.combine(day, time(), tzinfo=self.zone)
        return local(minute_of(at), self.hours.zone)
