"""How many statements it takes, and by which index: neither grows with what is kept."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from backup_bench import backups
from promise_bench import KEY, NOW, WANTED, PromiseBench
from sqlalchemy import Connection, Engine, event, insert, select

from mouldwright.store.migrate import migrate
from mouldwright.store.tables import (
    BookingRow,
    KeptReplyRow,
    QuoteRevisionRow,
    QuoteRow,
    RunRow,
)
from mouldwright.usecases.kept_run import Page

MANY = 1_000


@contextmanager
def statements(engine: Engine) -> Iterator[list[tuple[str, object]]]:
    """Collect every statement with what it was given."""
    noted: list[tuple[str, object]] = []

    def note(_connection, _cursor, statement, parameters, *_rest) -> None:
        # For which shop a transaction is, is said as it begins, and counts as little as that.
        if "set_config" not in statement:
            noted.append((statement, parameters))

    event.listen(engine, "before_cursor_execute", note)
    try:
        yield noted
    finally:
        event.remove(engine, "before_cursor_execute", note)


def copied(connection: Connection, table, *, numbered: str) -> None:
    """Keep the first quote's row once more for each number from 2 to MANY."""
    first = connection.execute(select(table)).mappings().one()
    more = {"number": "Q{}"} if numbered == "quote" else {}
    rows = [
        {**first, **{name: text.format(n) for name, text in more.items()}, numbered: n}
        for n in range(2, MANY + 1)
    ]
    connection.execute(insert(table), rows)


@pytest.fixture
def busy_bench(either_bench):
    """A bench with a thousand quotes, each of them an order."""
    either_bench.booked()
    with either_bench.engine.begin() as connection:
        copied(connection, QuoteRow.__table__, numbered="number")
        copied(connection, QuoteRevisionRow.__table__, numbered="number")
        copied(connection, BookingRow.__table__, numbered="quote")
    with either_bench.engine.connect() as connection:
        connection.exec_driver_sql("ANALYZE")
        connection.commit()
    return either_bench


ASKED = {
    "a quote": lambda unit: unit.quotes.revision(500),
    "the newest quotes": lambda unit: unit.quotes.listed(Page(limit=50)),
    "quotes further down": lambda unit: unit.quotes.listed(Page(limit=50, after=400)),
    "sent quotes": lambda unit: unit.quotes.listed(Page(limit=50), state="sent"),
    "revisions": lambda unit: unit.quotes.revisions(500),
    "lapsing": lambda unit: unit.quotes.past("2030-01-01"),
    "an order": lambda unit: unit.bookings.by_number("Q500"),
    "an order of a quote": lambda unit: unit.bookings.by_quote(500),
    "orders": lambda unit: unit.bookings.listed(Page(limit=1_000)),
    "open orders": lambda unit: unit.bookings.open(),
    "open orders further down": lambda unit: unit.bookings.listed(
        Page(limit=50, after=400), only_open=True
    ),
    "runs": lambda unit: unit.runs.listed(),
    "the book's version": lambda unit: unit.bookings.book_version(),
    "the shop": lambda unit: unit.shops.now(),
}
# The newest revision is looked up before it is read; so is the version of a shop that holds.
# What a customer wished for stands in the quote's revision, one look for all orders of a list.
TWO = {"a quote", "the shop", *(what for what in ASKED if "order" in what)}
# Every order at once is the one list that may be read from end to end.
WHOLE = {"orders", "open orders"}


def read(bench: PromiseBench, what: str) -> list[tuple[str, Any]]:
    with statements(bench.engine) as noted, bench.units.read(KEY) as unit:
        assert ASKED[what](unit) is not None
    return [pair for pair in noted if pair[0].startswith("SELECT")]


def read_whole(bench: PromiseBench, statement: str, parameters: Any) -> list[str]:
    """Return the steps by which a database would go through a table from end to end."""
    sqlite = bench.engine.dialect.name == "sqlite"
    with bench.engine.connect() as connection:
        if not sqlite:
            # A small table may be quicker read whole; asked is whether there is an index at all.
            connection.exec_driver_sql("SET enable_seqscan = off")
        explain = "EXPLAIN QUERY PLAN " if sqlite else "EXPLAIN "
        rows = connection.exec_driver_sql(explain + statement, parameters).all()
    steps = [str(row[-1]).strip() for row in rows]
    assert steps
    return [step for step in steps if step.startswith("SCAN") or "Seq Scan" in step]


def test_what_is_read_of_a_thousand_orders_takes_as_many_statements_as_of_one(busy_bench):
    # One looks the shop up.
    wanted = {what: 3 if what in TWO else 2 for what in ASKED}
    assert {what: len(read(busy_bench, what)) for what in ASKED} == wanted


def test_what_is_read_is_found_by_an_index(busy_bench):
    found = {
        what: [step for pair in read(busy_bench, what) for step in read_whole(busy_bench, *pair)]
        for what in ASKED
        if what not in WHOLE
    }
    assert found == {what: [] for what in found}


def test_a_thousand_orders_are_all_read_in_one_and_none_twice(busy_bench):
    with busy_bench.units.read(KEY) as unit:
        listed = unit.bookings.listed(Page(limit=2_000))
        assert len({booking.order.number for booking in listed}) == MANY == len(listed)
        assert len(unit.bookings.open()) == MANY
        assert len(unit.quotes.listed(Page(limit=2_000))) == MANY


def test_no_page_is_reached_by_passing_over_the_ones_before(busy_bench):
    with statements(busy_bench.engine) as noted, busy_bench.units.read(KEY) as unit:
        unit.quotes.listed(Page(limit=10, after=30))
        unit.bookings.listed(Page(limit=10, after=30), only_open=True)
    pages = [(text, given) for text, given in noted if " LIMIT " in text]
    assert len(pages) == 2
    for text, given in pages:
        # SQLite's is written out even where it is nought.
        assert " OFFSET " not in text or given[-1] == 0
        assert "count(" not in text.lower()


def test_the_queue_is_read_by_an_index_however_many_runs_are_over(either_bench):
    with either_bench.engine.begin() as connection:
        connection.execute(
            insert(RunRow.__table__),
            [
                {
                    "id": f"r{n}", "shop": KEY, "state": "done", "why": "", "seconds": 1.0,
                    "seed": 1, "asked_at": NOW, "attempts": 1, "worker": "", "cancel_asked": False,
                    "problems": "[]",
                }
                for n in range(2_000)
            ],
        )  # fmt: skip
    with statements(either_bench.engine) as noted:
        assert either_bench.queue.claim("w1", NOW, timedelta(seconds=30)) is None
    claim = next(pair for pair in noted if pair[0].startswith("UPDATE run") and "worker" in pair[0])
    assert read_whole(either_bench, *claim) == []


def test_a_restore_writes_many_rows_in_one_statement(busy_bench, empty_url, tmp_path):
    file = tmp_path / "a.backup"
    backups(busy_bench.url).take(file)
    target = empty_url("sqlite")
    migrate(target)
    noted: list[str] = []

    def note(_connection, _cursor, statement, *_rest) -> None:
        noted.append(statement)

    event.listen(Engine, "before_cursor_execute", note)
    try:
        backups(target).put_back(file, replace=False, withdraw_tokens=False)
    finally:
        event.remove(Engine, "before_cursor_execute", note)
    inserts = [text for text in noted if text.startswith("INSERT INTO booking")]
    assert 1 <= len(inserts) <= 3


def test_old_replies_are_forgotten_in_one_statement_by_their_index(either_bench):
    with either_bench.engine.begin() as connection:
        connection.execute(
            insert(KeptReplyRow.__table__),
            [
                {
                    "caller": "c", "key": str(n), "fingerprint": "", "status": 201, "headers": "{}",
                    "body": "", "kept_at": NOW + timedelta(days=n),
                }
                for n in range(300)
            ],
        )  # fmt: skip
    with statements(either_bench.engine) as noted, either_bench.units.write_house() as unit:
        assert unit.replies.forget_before(NOW + timedelta(days=200)) == 200
        unit.commit()
    assert sum(text.startswith("DELETE") for text, _ in noted) == 1


def test_a_quote_is_kept_in_as_many_statements_as_the_first_one_was(either_bench):
    drafted = either_bench.draft(replace(WANTED, quantity=3))
    counts = []
    for _ in range(4):
        with statements(either_bench.engine) as noted:
            either_bench.quoted(drafted)
        counts.append(len(noted))
    assert len(set(counts)) == 1, counts


def test_looking_for_a_run_to_take_up_writes_nothing_and_reads_by_an_index(either_bench):
    with statements(either_bench.engine) as noted:
        assert either_bench.queue.is_due(NOW) is False
    asked = [pair for pair in noted if not pair[0].startswith(("PRAGMA", "BEGIN"))]
    assert [text.startswith("SELECT") for text, _ in asked] == [True]
    assert read_whole(either_bench, *asked[0]) == []
