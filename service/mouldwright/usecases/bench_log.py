"""The log of the bench: what happened is noted, looked at, and taken back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta

from mouldwright.domain.consistency.log import shape_faults, unknown_names
from mouldwright.domain.errors import Conflict, Fault, InvalidInput
from mouldwright.domain.record.clash import clash
from mouldwright.domain.record.kept_log import KeptLog
from mouldwright.domain.record.log import Happening, LogEntry
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.booked_shop import read_booked
from mouldwright.usecases.day_sheet import bounds_of
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.kept import Asked, Reply
from mouldwright.usecases.log_numbers import number_faults
from mouldwright.usecases.log_port import About, LogQuery
from mouldwright.usecases.log_replan import plan_again, what_happened
from mouldwright.usecases.log_shift import moves_plan
from mouldwright.usecases.once import once, reply_before
from mouldwright.usecases.promise_ports import PromiseReading, PromiseUnits, PromiseWriting
from mouldwright.usecases.services import Services

# A phone's clock may be a little ahead of the server's.
MOST_AHEAD = timedelta(minutes=1)
# These are told before they begin.
_MAY_COME = (Happening.PERSON_AWAY,)
# These are told of orders that are closed, too.
_AFTERWARDS = (Happening.RETURNED, Happening.WEIGHED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """A shop as whoever notes something finds it.

    Attributes:
        shop: With every open order, and its log.
        plan: The one that holds; None where there is none.
    """

    shop: Shop
    plan: Plan | None

    @property
    def closed(self) -> frozenset[str]:
        """Return the orders that the log tells of and that are open no more."""
        told = {
            member.order
            for entry in self.shop.log
            for member in (*entry.members, *(entry.task.members if entry.task else ()))
        }
        return frozenset(told - {order.number for order in self.shop.orders})


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """An entry, and whether it holds.

    Attributes:
        taken_back_by: Number of the entry in force that takes it back; None where it holds.
    """

    entry: LogEntry
    taken_back_by: int | None


# Told how a shop stands, gives what is to be noted; an entry's own number is passed over.
Tell = Callable[[Bench], Sequence[LogEntry]]


def note(
    services: Services,
    shop: str,
    tell: Tell,
    *,
    asked: Asked,
    present: Callable[[Sequence[LogEntry], str], Reply],
) -> Reply:
    """Keep what happened, all of it or nothing, once however often it is sent.

    An entry that its sender called by the name of one that is kept is not kept again: the one
    that is kept is answered.

    Args:
        services: The ports.
        shop: Which shop.
        tell: Gives what is to be noted.
        asked: Who asks, under which key.
        present: Gives the reply, told the entries as they are kept, and the shop's time zone.

    Raises:
        Unknown: if there is no such shop.
        InvalidInput: if an entry lacks something, names what is not there or lies ahead.
        Conflict: if an entry cannot be true beside those that hold.
        KeyReused: if the key was used for something else.
    """
    before = reply_before(services.units, shop, asked)
    if before is not None:
        return before
    now = services.clock()
    bench = read_bench(services, shop)
    entries = tuple(replace(entry, noted_at=now) for entry in tell(bench))
    kept_names = {entry.said_once for entry in bench.shop.log if entry.said_once}
    faults = [
        fault
        for entry in entries
        if entry.said_once not in kept_names
        for fault in faults_of_entry(bench, entry, now)
    ]
    if faults:
        raise InvalidInput(faults)
    zone = bench.shop.zone
    return once(
        services.units.write(shop),
        asked,
        lambda unit: present(_keep(unit, services, bench, entries), zone),
        now=now,
    )


def take_back(
    services: Services,
    shop: str,
    numbers: Sequence[int],
    *,
    by: str,
    why: str = "",
    asked: Asked,
    present: Callable[[Sequence[LogEntry], str], Reply],
) -> Reply:
    """Take entries back, each by a further one; taking that one back undoes it.

    Args:
        services: The ports.
        shop: Which shop.
        numbers: Of the entries, in the order they are taken back.
        by: Who takes them back.
        why: In few words.
        asked: Who asks, under which key.
        present: Gives the reply, told the further entries as they are kept, and the time zone.

    Raises:
        Unknown: if there is no such shop or entry.
        Conflict: if it is taken back already, or what it puts in force cannot be true beside
            what was noted since.
        KeyReused: if the key was used for something else.
    """
    now = services.clock()
    bench = read_bench(services, shop)

    def work(unit: PromiseWriting) -> Reply:
        log = unit.log.all()
        kept = []
        for number in numbers:
            kept.append(_taken_back(unit, services, bench, log, number, by=by, why=why, now=now))
            log = log.followed_by(kept[-1:])
        return present(kept, bench.shop.zone)

    return once(services.units.write(shop), asked, work, now=now)


def _taken_back(
    unit: PromiseWriting,
    services: Services,
    bench: Bench,
    log: KeptLog,
    number: int,
    *,
    by: str,
    why: str,
    now: datetime,
) -> LogEntry:
    """Keep the entry that takes one back."""
    if not 1 <= number <= len(log):
        raise Unknown(kind="log entry", key=str(number))
    must_hold(log, number)
    first, comes_back = _first_of(log, number)
    if comes_back:
        _must_fit(log, first, bench.shop.zone)
    entry = LogEntry(
        number=0,
        what=Happening.TAKEN_BACK,
        at=now,
        noted_at=now,
        noted_by=by,
        note=why,
        takes_back=number,
    )
    moves = moves_plan(bench.shop, bench.plan, first)
    kept = unit.log.add(entry, moves_plan=moves)
    if moves:
        plan_again(unit, services, bench.plan, f"entry {number} of the log was taken back")
    return kept


def read_bench(services: Services, shop: str) -> Bench:
    """Return a shop as whoever notes something finds it. Raises Unknown."""
    booked = read_booked(services.units, shop, services.written).without()
    with services.units.read(shop) as unit:
        try:
            plan: Plan | None = unit.plans.newest().plan
        except Unknown:
            plan = None
    return Bench(shop=booked, plan=plan)


def list_log(units: PromiseUnits, shop: str, query: LogQuery) -> tuple[tuple[Shown, ...], bool]:
    """Return entries, the newest first, and whether there are more. Raises Unknown."""
    with units.read(shop) as unit:
        found = unit.log.listed(replace(query, limit=query.limit + 1))
        gone = _takers(unit)
    shown = [Shown(entry=e, taken_back_by=gone.get(e.number)) for e in found[: query.limit]]
    return tuple(shown), len(found) > query.limit


def zone_of(services: Services, shop: str) -> str:
    """Return the time zone of a shop. Raises Unknown."""
    with services.units.read(shop) as unit:
        document = unit.shops.now().document
    return services.written.read(document).zone


def query_of(
    *,
    zone: str,
    limit: int,
    before: int | None = None,
    day: date | None = None,
    what: Happening | None = None,
    order: str | None = None,
    mould: str | None = None,
    person: str | None = None,
    material: str | None = None,
) -> LogQuery:
    """Return which entries are wanted, of a local day where one is named."""
    named: tuple[tuple[About, str | None], ...] = (
        ("order", order),
        ("mould", mould),
        ("person", person),
        ("material", material),
    )
    begins = ends = None
    if day is not None:
        begins, ends = (datetime.fromtimestamp(minute * 60, UTC) for minute in bounds_of(day, zone))
    return LogQuery(
        limit=limit,
        before=before,
        since=begins,
        until=ends,
        what=what,
        about=tuple((kind, name) for kind, name in named if name),
    )


def read_entry(units: PromiseUnits, shop: str, number: int) -> Shown:
    """Return one entry. Raises Unknown."""
    with units.read(shop) as unit:
        entry = unit.log.at(number)
        return Shown(entry=entry, taken_back_by=_takers(unit).get(number))


def faults_of_entry(bench: Bench, entry: LogEntry, now: datetime) -> tuple[Fault, ...]:
    """Return what is wrong with an entry that is to be noted now."""
    if entry.what is Happening.TAKEN_BACK:
        said = "an entry is taken back by its number."
        return (_fault("what", entry.what.value, said, "Ask for that of the entry itself."),)
    faults = list(shape_faults((), entry))
    for fault in unknown_names(bench.shop, (), entry):
        is_order = fault.path.endswith(".order")
        if not (is_order and entry.what in _AFTERWARDS and fault.value.strip('"') in bench.closed):
            faults.append(fault)
    if entry.at > now + MOST_AHEAD and entry.what not in _MAY_COME:
        faults.append(
            _fault("at", entry.at.isoformat(), "that lies ahead.", f"It is {now.isoformat()} now.")
        )
    faults += number_faults(bench.shop, bench.plan, entry)
    return tuple(faults)


def _keep(
    unit: PromiseWriting, services: Services, bench: Bench, entries: Sequence[LogEntry]
) -> tuple[LogEntry, ...]:
    log = unit.log.all()
    kept = []
    for entry in entries:
        before = unit.log.said(entry.said_once) if entry.said_once else None
        if before is None:
            _must_fit(log, entry, bench.shop.zone)
            moves = moves_plan(bench.shop, bench.plan, entry)
            before = unit.log.add(entry, moves_plan=moves)
            log = log.followed_by([before])
            if moves:
                plan_again(unit, services, bench.plan, what_happened(entry))
        kept.append(before)
    return tuple(kept)


def _must_fit(log: Sequence[LogEntry], entry: LogEntry, zone: str) -> None:
    conflict = clash(log, entry, zone)
    if conflict is not None:
        raise conflict


def must_hold(log: Sequence[LogEntry], number: int) -> None:
    """Let pass an entry that holds. Raises Conflict where it is taken back already."""
    taker = takers(log).get(number)
    if taker is not None:
        raise Conflict(
            f"Entry {number} is taken back already, by entry {taker}.",
            remedy=f"Take entry {taker} back to put it in force again.",
            stands="taken back",
        )


def takers(log: Sequence[LogEntry]) -> dict[int, int]:
    """Return by which entry in force each one that does not hold was taken back."""
    gone: dict[int, int] = {}
    for entry in reversed(log):
        if entry.takes_back is not None and entry.number not in gone:
            gone[entry.takes_back] = entry.number
    return gone


def _takers(unit: PromiseReading) -> dict[int, int]:
    return takers(unit.log.all())


def _first_of(log: Sequence[LogEntry], number: int) -> tuple[LogEntry, bool]:
    """Return what an entry comes down to, and whether that holds again once it is taken back."""
    entry, comes_back = log[number - 1], False
    while entry.takes_back is not None:
        entry, comes_back = log[entry.takes_back - 1], not comes_back
    return entry, comes_back


def _fault(path: str, value: str, problem: str, remedy: str) -> Fault:
    return Fault(path=path, value=value, problem=problem, remedy=remedy)
