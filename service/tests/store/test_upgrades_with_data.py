"""A database of every earlier step, with something in every table, brought to the newest tables."""

from __future__ import annotations

from typing import Any

import pytest
from backup_bench import KINDS
from kept_things import fill
from promise_bench import KEY, promise_bench, promise_bench_at
from sqlalchemy import column, insert, inspect, select
from sqlalchemy import table as sql_table

from mouldwright.domain.errors import Conflict
from mouldwright.store.engine import make_engine
from mouldwright.store.fence import of_every_shop
from mouldwright.store.migrate import altering, differences, migrate, revision_of, revisions
from mouldwright.store.tables import METADATA
from mouldwright.usecases.kept_run import Page

Rows = list[dict[str, Any]]
# What a row that was there before a column came has in it, as its step says.
SINCE = {"terms": "", "address": "", "subject": "plan", "publishes": True, "log_last": 0}
SINCE |= {"pins": "", "binds": True, "traceparent": ""}


@pytest.fixture(scope="module")
def kept(tmp_path_factory) -> dict[str, Rows]:
    """Every row of a bench that has something in every table."""
    bench = promise_bench(tmp_path_factory.mktemp("kept"))
    fill(bench)
    found = rows_of(bench.url)
    bench.engine.dispose()
    return found


def rows_of(url: str) -> dict[str, Rows]:
    engine = of_every_shop(make_engine(url, pooled=False))
    with engine.connect() as connection:
        found = {
            table.name: sorted(
                (dict(row) for row in connection.execute(select(table)).mappings()),
                key=lambda row, table=table: [str(row[c.name]) for c in table.primary_key],
            )
            for table in METADATA.sorted_tables
        }
    engine.dispose()
    return found


def put_in(url: str, kept: dict[str, Rows]) -> dict[str, set[str]]:
    """Write the rows by plain SQL, as far as the tables go; return the columns there are."""
    engine = of_every_shop(make_engine(url, pooled=False))
    with engine.begin() as connection:
        seen = inspect(connection)
        there = {
            name: {found["name"] for found in seen.get_columns(name)}
            for name in seen.get_table_names()
            if name in METADATA.tables
        }
        for table in METADATA.sorted_tables:
            if table.name in there:
                columns = there[table.name]
                rows = [{k: v for k, v in row.items() if k in columns} for row in kept[table.name]]
                # Its columns alone: the tables in the code would fill in those that came later.
                plain = sql_table(table.name, *(column(c, table.c[c].type) for c in columns))
                connection.execute(insert(plain), rows)
    engine.dispose()
    return there


@pytest.mark.parametrize("step", revisions())
@pytest.mark.parametrize("kind", KINDS)
def test_a_database_of_any_earlier_step_keeps_every_row_and_is_read(kind, step, kept, empty_url):
    url = empty_url(kind)
    migrate(url, step)
    there = put_in(url, kept)
    migrate(url)
    assert differences(url) == []
    now = rows_of(url)
    for name, columns in there.items():
        for row, before in zip(now[name], kept[name], strict=True):
            since = {later: SINCE.get(later) for later in row.keys() - columns}
            assert row == {c: v for c, v in before.items() if c in columns} | since
    assert all(not now[name] for name in now.keys() - there.keys())
    bench = promise_bench_at(url, shop=None)
    with bench.units.read(KEY) as unit:
        assert bench.written.read(unit.shops.now().document).name.startswith("Prüfstand")
        if "quote" in there:
            quotes = unit.quotes.listed(Page(limit=50))
            assert len(quotes) == len(kept["quote"])
            assert [unit.quotes.revision(q.number).figures.net for q in quotes] == [
                q.net for q in quotes
            ]
            assert len(unit.bookings.listed(Page(limit=50))) == len(kept["booking"])
            assert unit.plans.newest().plan.tasks
            assert [run.id for run in unit.runs.listed(subject=None)]
        assert len(unit.log.all()) == len(now["log_entry"])
    # What is kept next follows on what was kept before.
    if "quote" in there:
        assert bench.quoted().number == 1 + max(row["number"] for row in kept["quote"])
    bench.engine.dispose()


@pytest.mark.parametrize("kind", KINDS)
def test_a_database_of_a_later_version_is_refused_and_left_as_it_is(kind, empty_url):
    url = empty_url(kind)
    migrate(url)
    engine = of_every_shop(make_engine(url, pooled=False))
    with engine.begin() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(Conflict, match=r"step 9999 by a newer version.*Use that version"):
        migrate(url)
    with altering(url) as connection:
        assert revision_of(connection) == "9999"
    engine.dispose()
