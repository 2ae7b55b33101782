from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from backup_bench import KINDS
from kept_things import everything, fill
from promise_bench import promise_bench_at
from sqlalchemy import inspect

from mouldwright.store.engine import make_engine
from mouldwright.store.migrate import (
    altering,
    differences,
    migrate,
    revision_of,
    revisions,
    take_down,
)
from mouldwright.store.tables import METADATA


@pytest.mark.parametrize("kind", KINDS)
def test_the_steps_lead_to_the_tables_in_the_code_and_back_to_none(kind, empty_url):
    url = empty_url(kind)
    for step in revisions():
        migrate(url, step)
    assert differences(url) == []
    with altering(url) as connection:
        take_down(connection)
        assert revision_of(connection) is None
        assert inspect(connection).get_table_names() == ["alembic_version"]
    migrate(url)
    assert differences(url) == []


@pytest.mark.parametrize("kind", KINDS)
def test_a_table_that_is_in_the_code_alone_would_be_seen(kind, empty_url):
    url = empty_url(kind)
    migrate(url, revisions()[0])
    missing = {item[1].name for item in differences(url) if item[0] == "add_table"}
    assert {"booking", "quote_revision", "run"} <= missing


def test_a_step_taken_again_loses_nothing(either_bench):
    fill(either_bench)
    before = everything(either_bench.url)
    migrate(either_bench.url)
    assert everything(either_bench.url) == before


@pytest.mark.parametrize("kind", KINDS)
def test_many_who_start_at_once_take_each_step_once(kind, empty_url):
    url = empty_url(kind)
    with ThreadPoolExecutor(6) as pool:
        list(pool.map(lambda _: migrate(url), range(6)))
    assert differences(url) == []
    promise_bench_at(url).engine.dispose()


@pytest.mark.parametrize("kind", KINDS)
def test_a_step_that_fails_is_not_half_taken(kind, empty_url):
    url = empty_url(kind)
    migrate(url, revisions()[0])
    engine = make_engine(url, pooled=False)
    with engine.begin() as connection:
        # In the way of the second step, which makes other tables before this one.
        connection.exec_driver_sql("CREATE TABLE quote_revision (in_the_way integer)")
    with pytest.raises(Exception, match=r"quote_revision"):
        migrate(url)
    with engine.connect() as connection:
        assert revision_of(connection) == revisions()[0]
        assert not inspect(connection).has_table("quote")
    engine.dispose()


def test_every_constraint_has_a_name_by_which_a_later_step_can_change_it():
    unnamed = [
        (table.name, type(constraint).__name__)
        for table in METADATA.sorted_tables
        for constraint in table.constraints
        if constraint.name is None
    ]
    assert unnamed == []


@pytest.mark.parametrize("kind", KINDS)
def test_the_databases_know_the_constraints_by_those_names(kind, empty_url):
    url = empty_url(kind)
    migrate(url)
    engine = make_engine(url, pooled=False)
    with engine.connect() as connection:
        seen = inspect(connection)
        found = {
            item["name"]
            for table in METADATA.tables
            for item in (*seen.get_check_constraints(table), *seen.get_foreign_keys(table))
        }
    engine.dispose()
    assert None not in found
    assert {"ck_run_state_known", "fk_booking_shop_quote_revision_quote_revision"} <= found
