"""On PostgreSQL no statement reaches another shop's rows, whatever it asks for."""

from __future__ import annotations

from collections.abc import Iterator

import psycopg
import pytest
from backup_bench import KINDS, restored, taken
from kept_things import everything, fill
from promise_bench import DEMO, KEY, NOW, PromiseBench, promise_bench_at
from promise_databases import PLAIN
from sqlalchemy import Engine, delete, func, insert, select, update
from sqlalchemy.exc import DBAPIError

from mouldwright.store.condition import condition_of
from mouldwright.store.engine import make_engine
from mouldwright.store.fence import of_every_shop, of_shop
from mouldwright.store.migrate import migrate
from mouldwright.store.tables import METADATA, CounterRow, KeptReplyRow, QuoteRevisionRow
from mouldwright.usecases.errors import KeyReused, Unknown
from mouldwright.usecases.kept import Asked, Reply, ShopVersion

OTHER = "next-door"
_REFUSED = "row-level security"


@pytest.fixture
def two_shops(empty_url) -> Iterator[PromiseBench]:
    """A bench with something in every table, and a second shop on the same PostgreSQL."""
    bench = promise_bench_at(empty_url("postgresql"))
    fill(bench)
    with bench.units.write_house() as house:
        house.house.add_shop(
            ShopVersion(
                key=OTHER, version=1, title="Other", document=bench.written.document(DEMO),
                written_at=NOW, written_by="a test",
            )
        )  # fmt: skip
        house.commit()
    yield bench
    bench.engine.dispose()


@pytest.fixture
def bare(two_shops) -> Iterator[Engine]:
    """Connections that do not say for which shop they are."""
    engine = make_engine(two_shops.url, pool_size=2)
    yield engine
    engine.dispose()


def shops_seen(engine: Engine) -> dict[str, set[str | None]]:
    """Return of which shops each table has rows, as an engine's transactions see it."""
    with engine.connect() as connection:
        return {
            table.name: set(
                connection.scalars(select(table.c.key if table.name == "shop" else table.c.shop))
            )
            for table in METADATA.sorted_tables
        }


def test_who_does_not_say_for_which_shop_sees_no_row_of_any_table(bare):
    assert all(shops_seen(of_every_shop(bare)).values())
    # Once before it was ever said on the connection, and once after.
    for _ in range(2):
        assert not any(shops_seen(bare).values())
        shops_seen(of_shop(bare, KEY))


def test_a_transaction_for_a_shop_sees_that_shop_alone_in_every_table(bare):
    assert set().union(*shops_seen(of_shop(bare, KEY)).values()) == {KEY}
    assert set().union(*shops_seen(of_shop(bare, OTHER)).values()) == {OTHER}
    assert set().union(*shops_seen(of_shop(bare, "no shop")).values()) == set()


def test_what_is_said_ends_with_the_transaction_and_is_said_anew_in_the_next(two_shops):
    with two_shops.units.write(KEY) as unit:
        count = select(func.count()).select_from(QuoteRevisionRow)
        before = unit.session.scalar(count)
        assert before
        unit.commit()
        assert unit.session.scalar(count) == before


@pytest.mark.parametrize("whose", [None, OTHER])
def test_another_shops_rows_are_neither_changed_nor_removed_nor_added(two_shops, bare, whose):
    engine = bare if whose is None else of_shop(bare, whose)
    before = everything(two_shops.url)
    for table in METADATA.sorted_tables:
        key = table.c.key if table.name == "shop" else table.c.shop
        row = next(row for row in before[table.name] if KEY in row)
        with engine.begin() as connection:
            for change in (update(table).values({key: KEY}), delete(table)):
                assert connection.execute(change.where(key == KEY)).rowcount == 0
        with pytest.raises(DBAPIError, match=_REFUSED), engine.begin() as connection:
            connection.execute(insert(table), dict(zip(table.c.keys(), row, strict=True)))
    assert everything(two_shops.url) == before


def test_a_row_is_not_moved_to_another_shop(bare):
    with pytest.raises(DBAPIError, match=_REFUSED), of_shop(bare, KEY).begin() as connection:
        connection.execute(update(CounterRow).values(shop=OTHER))


def test_a_unit_whose_repository_asks_for_another_shop_finds_nothing(two_shops):
    with two_shops.units.read(OTHER) as unit:
        # As if what opens them had mixed the keys up.
        unit.shop = KEY
        with pytest.raises(Unknown):
            unit.quotes.revision(1)
        assert unit.bookings.open() == ()
        assert len(unit.log.all()) == 0
        assert unit.tokens.listed() == ()
    with two_shops.units.write(OTHER) as unit:
        unit.shop = KEY
        with pytest.raises(DBAPIError, match=_REFUSED):
            unit.quotes.next_number()


def test_a_keepers_key_used_for_one_shop_is_refused_for_another(two_shops):
    asked = Asked(caller="a keeper", key="k", fingerprint="one")
    with two_shops.units.write(KEY) as unit:
        unit.replies.keep(asked, Reply(status=201, body="{}", headers={}), NOW)
        unit.commit()
    with two_shops.units.write(OTHER) as unit:
        assert unit.replies.find(asked) is None
        with pytest.raises(KeyReused):
            unit.replies.keep(asked, Reply(status=201, body="{}", headers={}), NOW)


def test_erasing_a_customer_reaches_replies_of_no_shop_and_sees_its_own_alone_again(two_shops):
    body = '{"customer": "Tern"}'
    for caller, opened in (
        ("a", two_shops.units.write(KEY)),
        ("b", two_shops.units.write_house()),
        ("c", two_shops.units.write(OTHER)),
    ):
        with opened as unit:
            asked = Asked(caller=caller, key="k", fingerprint="")
            unit.replies.keep(asked, Reply(status=200, body=body, headers={}), NOW)
            unit.commit()
    with two_shops.units.write(KEY) as unit:
        unit.replies.forget_customer("Tern", shop=KEY)
        assert set(unit.session.scalars(select(KeptReplyRow.shop))) == {KEY}
        unit.commit()
    with two_shops.engine.connect() as connection:
        named = select(KeptReplyRow.caller).where(KeptReplyRow.body.contains("Tern"))
        assert connection.scalars(named).all() == ["c"]


@pytest.mark.parametrize("kind", KINDS)
def test_replies_kept_before_are_given_the_shop_of_who_asked(kind, empty_url):
    url = empty_url(kind)
    migrate(url, "0013")
    engine = make_engine(url, pooled=False)
    at = "'2027-03-01 08:00:00'"
    with engine.begin() as connection:
        for statement in (
            f"INSERT INTO shop (key, version, added_at) VALUES ('foils', 1, {at})",
            "INSERT INTO token (id, secret_hash, shop, role, label, issued_at, expires_at)"
            f" VALUES ('t', 'h', 'foils', 'owner', '', {at}, {at}),"
            f" ('k', 'i', NULL, 'keeper', '', {at}, {at})",
            "INSERT INTO kept_reply (caller, key, fingerprint, status, headers, body, kept_at)"
            f" VALUES ('t', '1', '', 200, '', '', {at}), ('k', '1', '', 200, '', '', {at})",
        ):
            connection.exec_driver_sql(statement)
    migrate(url)
    with of_every_shop(engine).connect() as connection:
        found = connection.execute(select(KeptReplyRow.caller, KeptReplyRow.shop))
        assert dict(found.all()) == {"t": "foils", "k": None}
    engine.dispose()


def test_a_backup_holds_every_shop_and_is_put_back_behind_the_fence(two_shops, empty_url, tmp_path):
    file, _ = taken(two_shops, tmp_path)
    target = empty_url("postgresql")
    restored(file, target)
    assert everything(target) == everything(two_shops.url)
    engine = make_engine(target, pool_size=2)
    assert not any(shops_seen(engine).values())
    assert set().union(*shops_seen(of_shop(engine, OTHER)).values()) == {OTHER}
    engine.dispose()


@pytest.fixture
def made(empty_url) -> str:
    """The url of a PostgreSQL with the newest tables and nothing in them."""
    url = empty_url("postgresql")
    migrate(url)
    return url


def test_every_table_is_behind_the_fence_and_a_plain_role_does_not_pass_it(made):
    fence = condition_of(made, now=NOW).fence
    assert (fence.role, fence.is_passed, fence.open_tables) == (PLAIN, False, ())


def test_a_superuser_is_found_to_pass_it(made, postgresql_databases):
    assert condition_of(postgresql_databases.as_superuser(made), now=NOW).fence.is_passed


@pytest.mark.parametrize(
    "change",
    [
        "ALTER TABLE quote NO FORCE ROW LEVEL SECURITY",
        "ALTER TABLE quote DISABLE ROW LEVEL SECURITY",
        "DROP POLICY of_its_shop ON quote",
        "CREATE POLICY anyone ON quote USING (true)",
    ],
)
def test_a_table_that_was_let_out_is_named(made, change):
    with psycopg.connect(made, autocommit=True) as connection:
        connection.execute(change)
    assert condition_of(made, now=NOW).fence.open_tables == ("quote",)


def test_sqlite_has_none(bench):
    assert condition_of(bench.url, now=NOW).fence is None
