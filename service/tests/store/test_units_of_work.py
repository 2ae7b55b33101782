from __future__ import annotations

import threading
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta, timezone
from decimal import Decimal

import pytest
from promise_bench import DEMO, KEY, NOW, later, promise_bench_at
from sqlalchemy import select, text, update
from sqlalchemy.exc import DBAPIError, IntegrityError, StatementError
from sqlmodel import Session, col

from mouldwright.store.engine import database_url, make_engine
from mouldwright.store.tables import QuoteRevisionRow, ShopRow
from mouldwright.store.unit_of_work import StoreUnits
from mouldwright.usecases.errors import Busy
from mouldwright.usecases.kept import ShopVersion


def counted(bench, pause_s: float) -> None:
    """Read a number, wait, and write it one higher: what loses updates where it can."""
    with bench.units.write(KEY) as unit:
        now = unit.shops.now()
        time.sleep(pause_s)
        unit.shops.write(
            ShopVersion(
                key=KEY,
                version=now.version + 1,
                title=now.title,
                document=now.document,
                written_at=NOW,
                written_by="a test",
            )
        )
        unit.commit()


def version(bench) -> int:
    with bench.units.read(KEY) as unit:
        return unit.shops.version()


def test_of_many_who_read_add_and_write_at_once_none_is_lost(either_bench):
    with ThreadPoolExecutor(20) as pool:
        list(pool.map(lambda _: counted(either_bench, 0.005), range(20)))
    assert version(either_bench) == 21


def test_a_unit_that_is_not_committed_leaves_nothing(either_bench):
    with either_bench.units.write(KEY) as unit:
        unit.quotes.next_number()

    def fail(unit) -> None:
        unit.quotes.next_number()
        raise KeyError

    with pytest.raises(KeyError):
        either_bench.done(fail)
    assert either_bench.quoted().number == 1


def test_who_reads_waits_for_no_one_who_writes_and_sees_one_moment(either_bench):
    writing, seen = threading.Event(), threading.Event()

    def write() -> None:
        with either_bench.units.write(KEY) as unit:
            unit.quotes.next_number()
            writing.set()
            assert seen.wait(300)
            unit.commit()

    with ThreadPoolExecutor(1) as pool:
        writer = pool.submit(write)
        assert writing.wait(300)
        # The one who writes ends only after this was read.
        with either_bench.units.read(KEY) as unit:
            before = unit.bookings.book_version()
            seen.set()
            writer.result()
            counted(either_bench, 0)
            assert unit.bookings.book_version() == before
            assert unit.shops.version() == 1
    assert version(either_bench) == 2


def test_a_unit_that_reads_cannot_write(either_bench):
    with either_bench.units.read(KEY) as unit, pytest.raises(DBAPIError, match=r"read.?only"):
        unit.session.execute(update(ShopRow).values(version=9))
    assert version(either_bench) == 1


def test_who_waits_too_long_to_write_is_told_that_others_write(either_bench):
    impatient = make_engine(either_bench.url, pool_size=2, busy_seconds=0.2)
    try:
        with either_bench.units.write(KEY) as unit:
            unit.quotes.next_number()
            with pytest.raises(Busy), StoreUnits(impatient).write(KEY):
                pass
    finally:
        impatient.dispose()
    assert either_bench.quoted().number == 1


def test_shops_on_postgresql_do_not_wait_for_each_other(empty_url):
    bench = promise_bench_at(empty_url("postgresql"))
    with bench.units.write_house() as house:
        house.house.add_shop(
            ShopVersion(
                key="other", version=1, title="Other", document=bench.written.document(DEMO),
                written_at=NOW, written_by="a test",
            )
        )  # fmt: skip
        house.commit()
    with bench.units.write(KEY) as unit:
        assert unit.quotes.next_number() == 1
        with bench.units.write("other") as other:
            assert other.quotes.next_number() == 1
            other.commit()
        unit.commit()
    bench.engine.dispose()


def test_every_connection_to_sqlite_keeps_what_is_committed_through_a_loss_of_power(bench):
    """``synchronous`` 2 is FULL: https://www.sqlite.org/pragma.html#pragma_synchronous"""
    asked = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 10_000}
    with ThreadPoolExecutor(8) as pool:

        def found(_: int) -> dict[str, object]:
            with bench.engine.connect() as connection:
                time.sleep(0.01)
                return {
                    name: connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in asked
                }

        assert all(each == asked for each in pool.map(found, range(8)))


def test_postgresql_is_left_to_answer_only_when_what_is_committed_is_written(empty_url):
    engine = make_engine(empty_url("postgresql"), pooled=False)
    with engine.connect() as connection:
        assert connection.exec_driver_sql("SHOW synchronous_commit").scalar() == "on"
    engine.dispose()


def test_a_time_without_a_zone_is_never_kept(either_bench):
    with pytest.raises(StatementError, match="has no zone"):
        either_bench.quoted(now=datetime(2027, 3, 1, 8))
    east = datetime(2027, 3, 1, 13, 30, 0, 123_456, tzinfo=timezone(timedelta(hours=5, minutes=30)))
    kept = either_bench.quoted(now=east)
    assert either_bench.revision(kept.number).made_at == later(microseconds=123_456)


@pytest.mark.parametrize(
    "amount",
    ["0.10", "12345678901234567890.12", "-0.005", "0E-3", "1E+3", "0.1000000000000000055511151231"],
)
def test_an_amount_comes_back_with_every_digit_it_was_kept_with(either_bench, amount):
    either_bench.quoted()
    with Session(either_bench.engine) as session:
        session.execute(update(QuoteRevisionRow).values(unit_cost=Decimal(amount)))
        session.commit()
        found = session.scalar(select(col(QuoteRevisionRow.unit_cost)))
    assert found == Decimal(amount)
    # What a number is worth, and the decimals it was written with.
    assert f"{found:f}" == f"{Decimal(amount):f}"


def test_three_dimes_are_thirty_cents_and_nothing_is_kept_as_a_binary_float(either_bench):
    for _ in range(3):
        either_bench.quoted()
    with Session(either_bench.engine) as session:
        session.execute(update(QuoteRevisionRow).values(deposit=Decimal("0.10")))
        session.commit()
        found = session.scalars(select(col(QuoteRevisionRow.deposit))).all()
        assert sum(found) == Decimal("0.30")
        if session.get_bind().dialect.name == "sqlite":
            kinds = session.execute(text("SELECT DISTINCT typeof(deposit) FROM quote_revision"))
            assert kinds.scalars().all() == ["text"]


@pytest.mark.parametrize("wrong", [0.1, "0.1", Decimal("NaN"), Decimal("Infinity")])
def test_what_is_no_finite_decimal_is_not_kept_as_one(either_bench, wrong):
    either_bench.quoted()
    with Session(either_bench.engine) as session, pytest.raises(StatementError, match="finite"):
        session.execute(update(QuoteRevisionRow).values(net=wrong))


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE quote_revision SET state = 'lost'",
        "UPDATE quote_revision SET shop_version = 77",
        "UPDATE booking SET begun = -1",
        "UPDATE booking SET revision = 9",
        "UPDATE shop SET version = 0",
        "INSERT INTO counter (shop, name, value) VALUES ('no shop', 'quote', 1)",
        "INSERT INTO quote (shop, number, revision) VALUES ('foils', 1, 1)",
    ],
)
def test_the_tables_themselves_refuse_what_cannot_be(either_bench, change):
    either_bench.booked()
    with either_bench.engine.connect() as connection, pytest.raises(IntegrityError):
        connection.exec_driver_sql(change)


@pytest.mark.parametrize("url", ["sqlite://", "sqlite:///:memory:", "mysql://localhost/a"])
def test_a_database_that_would_lose_what_is_kept_is_refused(url):
    with pytest.raises(ValueError, match=r"SQLite a file|not supported"):
        database_url(url)


def test_a_new_database_and_its_folder_are_their_owners_alone(tmp_path):
    make_engine(f"sqlite:///{tmp_path}/new/bench.db").dispose()
    assert (tmp_path / "new").stat().st_mode & 0o777 == 0o700
    assert (tmp_path / "new" / "bench.db").stat().st_mode & 0o777 == 0o600
