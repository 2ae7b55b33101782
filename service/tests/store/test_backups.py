from __future__ import annotations

import gzip
import secrets
import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from backup_bench import KINDS, backups, restored, taken
from kept_things import everything, fill
from promise_bench import KEY, NOW, freeze, promise_bench_at

from mouldwright.domain.errors import Conflict, InvalidInput
from mouldwright.store.backup_file import write_backup
from mouldwright.store.engine import make_engine
from mouldwright.store.migrate import differences, migrate, revisions
from mouldwright.store.tables import METADATA
from mouldwright.usecases.access import caller
from mouldwright.usecases.errors import NotSignedIn
from mouldwright.usecases.kept import Role
from mouldwright.usecases.orders import accept
from mouldwright.usecases.quotes import send, worked_out_again
from mouldwright.usecases.runs import ask_for_plan


@pytest.mark.parametrize("into", KINDS)
def test_a_backup_puts_back_every_row_of_every_table_into_either_database(
    either_bench, into, empty_url, tmp_path
):
    fill(either_bench)
    before = everything(either_bench.url)
    # Every table has something to lose; a new one gets its row in kept_things.fill.
    assert [name for name, rows in before.items() if not rows] == []
    file, backup = taken(either_bench, tmp_path)
    assert backup.rows == {name: len(rows) for name, rows in before.items()}
    target = empty_url(into)
    done = restored(file, target)
    assert everything(target) == before
    assert done.backup == backup == backups(target).look(file)
    # Of a keeper, an owner and a bench the last was withdrawn.
    assert (done.replaced, done.tokens) == (0, 2)
    assert differences(target) == []


@pytest.mark.parametrize("into", KINDS)
def test_a_quote_that_was_put_back_is_worked_out_again_to_the_cent_and_the_next_number_follows(
    either_bench, into, empty_url, tmp_path
):
    kept = either_bench.quoted()
    document = kept.document
    file, _ = taken(either_bench, tmp_path)
    # What comes later is not in it.
    either_bench.quoted()
    target = empty_url(into)
    restored(file, target)
    again = promise_bench_at(target, shop=None)
    again.finish = either_bench.finish
    try:
        assert again.revision(1).figures == kept.figures
        with again.units.read(KEY) as unit:
            shop = again.written.read(unit.shops.now().document)
            quoted = worked_out_again(
                unit, unit.quotes.revision(1), written=again.written, finish=again.finish
            )
        assert freeze(shop, quoted) == document
        assert again.quoted().number == 2
    finally:
        again.engine.dispose()


def test_a_backup_taken_while_twelve_write_holds_one_moment_and_keeps_no_one_waiting(
    either_bench, empty_url, tmp_path
):
    drafted = either_bench.draft()
    stop, written = threading.Event(), []

    def chance() -> str:
        return secrets.token_hex(8)

    def write(_: int) -> None:
        while not stop.is_set():
            number = either_bench.quoted(drafted).number
            with either_bench.units.write(KEY) as unit:
                send(unit, number, revision=None, now=NOW)
                accept(unit, number, revision=None, now=NOW)
                ask_for_plan(unit, why="a test", now=NOW, chance=chance)
                unit.commit()
            written.append(number)

    files = [tmp_path / f"{n}.backup" for n in range(3)]
    with ThreadPoolExecutor(12) as pool:
        writers = [pool.submit(write, n) for n in range(12)]
        try:
            grown = []
            for file in files:
                before = len(written)
                backups(either_bench.url).take(file)
                grown.append(len(written) - before)
        finally:
            stop.set()
        for writer in writers:
            writer.result()
    assert sum(grown) > 0, "nobody wrote while the backups were taken"
    for file in files:
        target = empty_url("sqlite")
        restored(file, target)
        rows = everything(target)
        numbers = sorted(row[1] for row in rows["quote"])
        assert numbers == list(range(1, len(numbers) + 1))
        counters = {row[1]: row[2] for row in rows["counter"]}
        assert counters.get("quote", 0) == len(numbers) == len(rows["quote_revision"])
        assert counters.get("book", 0) == len(rows["booking"])
        states = [row[3] for row in rows["quote_revision"]]
        assert set(states) <= {"draft", "accepted"}, "sending and accepting were one unit"
        assert states.count("accepted") == len(rows["booking"])
        assert bool(rows["booking"]) == bool(rows["run"])


def test_what_was_acknowledged_before_a_backup_began_is_in_it(either_bench, empty_url, tmp_path):
    numbers = [either_bench.quoted().number for _ in range(3)]
    file, _ = taken(either_bench, tmp_path)
    target = empty_url("sqlite")
    restored(file, target)
    assert [row[1] for row in everything(target)["quote"]] == numbers


def test_a_database_in_use_is_not_overwritten_unless_told(either_bench, tmp_path):
    file, _ = taken(either_bench, tmp_path)
    either_bench.quoted()
    before = everything(either_bench.url)
    with pytest.raises(Conflict, match="rows already; nothing was changed"):
        restored(file, either_bench.url)
    assert everything(either_bench.url) == before
    done = restored(file, either_bench.url, replace=True)
    assert done.replaced == sum(map(len, before.values()))
    assert everything(either_bench.url)["quote"] == []
    # The pool's own connections see the tables that were put back.
    assert either_bench.quoted().number == 1


def test_a_restore_that_fails_half_way_changes_nothing(either_bench, tmp_path):
    either_bench.quoted()
    before = everything(either_bench.url)
    # A revision whose quote is missing.
    wrong = tmp_path / "wrong.backup"
    rows = [
        [value.isoformat() if hasattr(value, "isoformat") else value for value in row]
        for row in everything(either_bench.url)["quote_revision"]
    ]
    columns = tuple(METADATA.tables["quote_revision"].columns.keys())
    rows = [[str(v) if type(v).__name__ == "Decimal" else v for v in row] for row in rows]
    write_backup(wrong, [("quote_revision", columns, rows)], schema=revisions()[-1], made_at=NOW)
    with pytest.raises((InvalidInput, RuntimeError)):
        restored(wrong, either_bench.url, replace=True)
    assert everything(either_bench.url) == before


def test_tokens_come_back_as_hashes_and_open_again_unless_they_were_withdrawn(
    either_bench, empty_url, tmp_path
):
    fill(either_bench)
    file, _ = taken(either_bench, tmp_path)
    assert b"secret 0" not in gzip.decompress(file.read_bytes())
    target = empty_url("sqlite")
    restored(file, target)
    units = promise_bench_at(target, shop=None).units
    assert caller(units, "secret 0", now=NOW).role is Role.KEEPER
    with pytest.raises(NotSignedIn):
        caller(units, "secret 2", now=NOW)


def test_a_token_withdrawn_after_the_backup_stays_withdrawn(either_bench, tmp_path):
    fill(either_bench)
    file, _ = taken(either_bench, tmp_path)
    with either_bench.units.write_house() as house:
        house.tokens.revoke(f"{0:0>16}", NOW)
        house.commit()
    assert restored(file, either_bench.url, replace=True).tokens == 1
    with pytest.raises(NotSignedIn):
        caller(either_bench.units, "secret 0", now=NOW)


def test_every_token_can_be_withdrawn_as_the_backup_is_put_back(bench, empty_url, tmp_path):
    fill(bench)
    file, _ = taken(bench, tmp_path)
    target = empty_url("sqlite")
    assert restored(file, target, withdraw_tokens=True).tokens == 0
    with pytest.raises(NotSignedIn):
        caller(promise_bench_at(target, shop=None).units, "secret 1", now=NOW)


def test_a_database_of_a_newer_version_is_neither_backed_up_nor_written_over(bench, tmp_path):
    file, _ = taken(bench, tmp_path)
    with bench.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(Conflict, match="newer version"):
        backups(bench.url).take(tmp_path / "b.backup")
    with pytest.raises(Conflict, match="newer version"):
        restored(file, bench.url, replace=True)


@pytest.mark.parametrize("kind", KINDS)
def test_a_backup_of_older_tables_is_brought_to_the_newest(kind, empty_url, tmp_path):
    first = revisions()[0]
    assert first != revisions()[-1]
    old = empty_url(kind)
    migrate(old, first)
    engine = make_engine(old, pooled=False)
    with engine.begin() as connection:
        connection.exec_driver_sql(
            "INSERT INTO shop (key, version, added_at) VALUES ('foils', 1, '2027-03-01 08:00:00')"
        )
    engine.dispose()
    file = tmp_path / "old.backup"
    assert backups(old).take(file).schema == first
    target = empty_url(kind)
    restored(file, target)
    rows = everything(target)
    assert [row[0] for row in rows["shop"]] == ["foils"]
    assert rows["quote"] == []
    assert differences(target) == []


def test_a_run_under_way_when_the_backup_was_made_is_taken_up_again(
    either_bench, empty_url, tmp_path
):
    fill(either_bench)
    file, _ = taken(either_bench, tmp_path)
    target = empty_url("postgresql")
    restored(file, target)
    again = promise_bench_at(target, shop=None)
    try:
        run = again.queue.claim("w2", NOW + timedelta(minutes=1), timedelta(seconds=30))
        assert run is not None
        assert (run.id, run.attempts) == ("run-1", 2)
    finally:
        again.engine.dispose()


@pytest.mark.parametrize("kind", KINDS)
def test_no_table_numbers_its_rows_by_a_counter_that_a_restore_would_miss(kind, empty_url):
    """A sequence of the database's own would begin again at 1 after a restore."""
    url = empty_url(kind)
    migrate(url)
    engine = make_engine(url, pooled=False)
    with engine.connect() as connection:
        asked = {
            "sqlite": "SELECT count(*) FROM sqlite_master WHERE sql LIKE '%AUTOINCREMENT%'",
            "postgresql": "SELECT count(*) FROM pg_sequences",
        }
        assert connection.exec_driver_sql(asked[kind]).scalar() == 0
    engine.dispose()


def test_tables_of_other_programs_in_the_same_database_are_left_alone(empty_url, tmp_path):
    target = empty_url("postgresql")
    first = promise_bench_at(target)
    with first.engine.begin() as connection:
        connection.exec_driver_sql("CREATE TABLE ledger_of_others (line text)")
        connection.exec_driver_sql("INSERT INTO ledger_of_others VALUES ('ours')")
    file = tmp_path / "a.backup"
    assert "ledger_of_others" not in backups(target).take(file).rows
    restored(file, target, replace=True)
    with first.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT line FROM ledger_of_others").scalar() == "ours"
    first.engine.dispose()


@pytest.mark.parametrize("withdraw", [False, True])
def test_a_link_withdrawn_since_stays_withdrawn_and_all_go_with_the_tokens(
    tmp_path, empty_url, withdraw
):
    bench = promise_bench_at(empty_url("sqlite"))
    fill(bench)
    file, _ = taken(bench, tmp_path)
    # Of the two links in the backup one was withdrawn before; the other is withdrawn after.
    with bench.units.write(KEY) as unit:
        unit.links.revoke(1, "link 00000000001", NOW)
        unit.commit()
    bench.engine.dispose()
    restored(file, bench.url, replace=True)
    again = promise_bench_at(bench.url, None)
    with again.units.read(KEY) as unit:
        assert unit.links.listed(1)[0].revoked_at == NOW
    again.engine.dispose()
    fresh = empty_url("sqlite")
    restored(file, fresh, withdraw_tokens=withdraw)
    other = promise_bench_at(fresh, None)
    with other.units.read(KEY) as unit:
        assert (unit.links.listed(1)[0].revoked_at == NOW) is withdraw
    other.engine.dispose()
