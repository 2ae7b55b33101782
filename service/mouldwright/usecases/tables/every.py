"""Every table by its name: what it holds, and how it is made of what was read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime

from mouldwright.domain.compare import Comparison
from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.hours.opening import local, minute_of
from mouldwright.domain.promise.booking import Booking
from mouldwright.domain.promise.revision import QuoteSummary
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Plan
from mouldwright.usecases.buying import ToBuy
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.tables import (
    of_buying,
    of_learning,
    of_log,
    of_plan,
    of_promises,
    of_shop,
    of_trace,
)
from mouldwright.usecases.tables.sheet import Cell, Column, SheetTable

Rows = tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TableAsk:
    """What of a table is wanted, where it is of something.

    Attributes:
        day: Of the day sheet; None for today.
        person: Of the day sheet; None for everyone.
        part: Of the comparison.
        quantity: Of the comparison.
        order: Of what was traced and of the log; None for every order.
        mould: Of what was traced and of the log; None for every mould.
    """

    day: date | None = None
    person: str | None = None
    part: str | None = None
    quantity: int = 1
    order: str | None = None
    mould: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TableSource:
    """What tables are made of; what is slow is worked out only by those that need it.

    Attributes:
        shop: With all its open orders and its log.
        plan: The one that holds; None where there is none.
        before: The plan that held before it; None where there is none.
        quotes: The newest first.
        bookings: Orders that came from quotes, called off ones too.
        now: Zone-aware.
        buying: Works out what to buy.
        compared: Sets the ways to make so many of a part side by side.
    """

    shop: Shop
    plan: Plan | None
    quotes: tuple[QuoteSummary, ...]
    bookings: tuple[Booking, ...]
    now: datetime
    buying: Callable[[], ToBuy]
    compared: Callable[[str, int], Comparison]
    before: Plan | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TableKind:
    """A table as it can be asked for.

    Attributes:
        about: What a row of it is.
    """

    name: str
    title: str
    about: str
    columns: tuple[Column, ...]
    rows: Callable[[TableSource, TableAsk], Rows]


def table_of(name: str, source: TableSource, ask: TableAsk) -> SheetTable:
    """Return a table.

    Raises:
        Unknown: if there is none of that name.
        InvalidInput: if what is asked of it cannot be right.
    """
    kind = kind_of(name)
    return SheetTable(
        name=kind.name,
        title=kind.title,
        currency=source.shop.currency.code,
        zone=source.shop.zone,
        columns=kind.columns,
        rows=kind.rows(source, ask),
    )


def kind_of(name: str) -> TableKind:
    """Return a table as it can be asked for. Raises Unknown."""
    if name not in TABLES:
        raise Unknown(kind="table", key=name)
    return TABLES[name]


def _tasks(source: TableSource, ask: TableAsk) -> Rows:
    return () if source.plan is None else of_plan.task_rows(source.shop, source.plan)


def _day(source: TableSource, ask: TableAsk) -> Rows:
    shop = source.shop
    people = tuple(shop.people) if ask.person is None else (ask.person,)
    if ask.person is not None and ask.person not in shop.people:
        known = ", ".join(shop.people)
        raise _fault("person", ask.person, "there is no such person.", f"Write one of {known}.")
    day = ask.day or local(minute_of(source.now), shop.zone).date()
    return () if source.plan is None else of_plan.day_rows(shop, source.plan, day, people)


def _with_closed(source: TableSource) -> Shop:
    """Return the shop with closed orders too: what was done of them teaches like the rest."""
    known = {order.number for order in source.shop.orders}
    closed = (b.order for b in source.bookings if b.order.number not in known)
    return replace(source.shop, orders=(*source.shop.orders, *closed))


def _comparison(source: TableSource, ask: TableAsk) -> Rows:
    if ask.part is None or ask.part not in source.shop.parts:
        known = ", ".join(source.shop.parts)
        raise _fault("part", ask.part or "", "a comparison is of a part.", f"Write one of {known}.")
    found = source.compared(ask.part, ask.quantity)
    return of_buying.comparison_rows(source.shop, found)


def _fault(path: str, value: str, problem: str, remedy: str) -> InvalidInput:
    return InvalidInput([Fault(path=path, value=value[:80], problem=problem, remedy=remedy)])


def _kind(
    name: str,
    title: str,
    about: str,
    columns: tuple[Column, ...],
    rows: Callable[[TableSource, TableAsk], Rows],
) -> TableKind:
    return TableKind(name=name, title=title, about=about, columns=columns, rows=rows)


_ALL = (
    _kind(
        "quotes", "Quotes", "a quote, at its newest revision", of_promises.QUOTES,
        lambda source, _: of_promises.quote_rows(source.quotes),
    ),
    _kind(
        "orders", "Orders", "an order", of_promises.ORDERS,
        lambda source, _: of_promises.order_rows(source.shop, source.bookings, source.plan),
    ),
    _kind("plan", "Tasks of the plan", "a task of the plan that holds", of_plan.TASKS, _tasks),
    _kind("day-sheet", "Day sheet", "a task of one person's day", of_plan.DAY, _day),
    _kind(
        "parts", "Parts", "a part", of_shop.PARTS,
        lambda source, _: of_shop.part_rows(source.shop),
    ),
    _kind(
        "processes", "Processes", "an operation of a process", of_shop.PROCESSES,
        lambda source, _: of_shop.process_rows(source.shop),
    ),
    _kind(
        "materials", "Materials", "a material", of_shop.MATERIALS,
        lambda source, _: of_shop.material_rows(source.shop),
    ),
    _kind(
        "stock", "Stock", "a lot, as it stands by the log", of_shop.STOCK,
        lambda source, _: of_shop.stock_rows(source.shop, source.now),
    ),
    _kind(
        "moulds", "Moulds", "a mould, as it stands by the log", of_shop.MOULDS,
        lambda source, _: of_shop.mould_rows(source.shop),
    ),
    _kind(
        "buy-list", "What to buy", "a line of the cheapest purchase for the open orders",
        of_buying.BUY_LIST,
        lambda source, _: of_buying.buy_list_rows(source.buying()),
    ),
    _kind(
        "bench-tests", "Bench tests", "a load and what the dial showed", of_shop.BENCH_TESTS,
        lambda source, _: of_shop.bench_test_rows(source.shop),
    ),
    _kind(
        "log", "Log", "something that happened at the bench", of_log.LOG,
        lambda source, ask: of_log.log_rows(source.shop.log, order=ask.order, mould=ask.mould),
    ),
    _kind(
        "traced", "Parts by their serials", "a part the log tells of", of_trace.TRACED,
        lambda source, ask: of_trace.traced_rows(
            _with_closed(source), at=source.now, order=ask.order, mould=ask.mould
        ),
    ),
    _kind(
        "moved", "What moved", "an order whose finish the plan that holds changed",
        of_trace.MOVED, lambda source, _: of_trace.moved_rows(source.before, source.plan),
    ),
    _kind(
        "learnt-times", "Times by the log", "a step, or one person's of it", of_learning.TIMES,
        lambda source, _: of_learning.time_rows(_with_closed(source)),
    ),
    _kind(
        "learnt-yields", "What passes by the log", "a step that anything went through",
        of_learning.YIELDS, lambda source, _: of_learning.yield_rows(_with_closed(source)),
    ),
    _kind(
        "learnt-failures", "What fails by the log", "a step that a machine does by itself",
        of_learning.FAILURES, lambda source, _: of_learning.failure_rows(_with_closed(source)),
    ),
    _kind(
        "learnt-losses", "What is lost of mixes by the log", "a mix of which a cup was weighed",
        of_learning.LOSSES, lambda source, _: of_learning.loss_rows(_with_closed(source)),
    ),
    _kind(
        "comparison", "Ways to make a part", "a process for one part and quantity",
        of_buying.COMPARISON, _comparison,
    ),
)  # fmt: skip
TABLES: Mapping[str, TableKind] = {each.name: each for each in _ALL}
