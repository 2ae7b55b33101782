"""A store without room, or that may only be read: said in our words, nothing half written.

On SQLite the file is kept from growing by ``max_page_count``, which ends in the error a full disk
gives (sqlite.org/rescode.html#full). PostgreSQL's is raised by a trigger with its own code for a
full disk, 53100 (its documentation, Appendix A), since the server's disk is not ours to fill.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

import pytest
from promise_bench import KEY
from sqlalchemy import event, text

from mouldwright.store.engine import make_engine
from mouldwright.store.unit_of_work import StoreUnits
from mouldwright.usecases.errors import NotWritten, StoreFull, StoreReadOnly

FULL = """
CREATE FUNCTION no_room() RETURNS trigger LANGUAGE plpgsql AS
  $$ BEGIN RAISE EXCEPTION 'no space left on device' USING ERRCODE = '53100'; END $$;
CREATE TRIGGER no_room BEFORE INSERT ON shop_version FOR EACH ROW EXECUTE FUNCTION no_room();
"""
ROOM_AGAIN = "DROP TRIGGER no_room ON shop_version; DROP FUNCTION no_room();"
_IS_POSTGRESQL = "postgresql"


@contextmanager
def no_room(url: str) -> Iterator[StoreUnits]:
    """Open the store without room for anything more."""
    engine = make_engine(url)
    postgresql = engine.dialect.name == _IS_POSTGRESQL
    if postgresql:
        with engine.begin() as connection:
            connection.execute(text(FULL))
    else:

        @event.listens_for(engine, "connect")
        def keep_small(connection, _):
            pages = connection.execute("PRAGMA page_count").fetchone()[0]
            connection.execute(f"PRAGMA max_page_count={pages}")

    try:
        yield StoreUnits(engine)
    finally:
        if postgresql:
            with engine.begin() as connection:
                connection.execute(text(ROOM_AGAIN))
        engine.dispose()


@contextmanager
def only_to_be_read(url: str) -> Iterator[StoreUnits]:
    """Open the store to be read alone, though a unit asks to write."""
    engine = make_engine(url)

    @event.listens_for(engine, "begin")
    def read_only(connection):
        if engine.dialect.name == _IS_POSTGRESQL:
            connection.exec_driver_sql("SET TRANSACTION READ ONLY")
        else:
            connection.exec_driver_sql("PRAGMA query_only=ON")

    try:
        yield StoreUnits(engine)
    finally:
        engine.dispose()


def write(units: StoreUnits) -> int:
    """Write a further version of the shop, a large one; return its number."""
    with units.write(KEY) as unit:
        now = unit.shops.now()
        further = replace(now, version=now.version + 1, document=now.document + " " * 2_000_000)
        unit.shops.write(further)
        unit.commit()
    return further.version


@pytest.mark.parametrize(
    ("kept_so", "kind"), [(no_room, StoreFull), (only_to_be_read, StoreReadOnly)]
)
def test_what_cannot_be_kept_is_told_and_leaves_nothing(either_bench, kept_so, kind):
    before = write(either_bench.units)
    with kept_so(either_bench.url) as units:
        for _ in range(2):
            with pytest.raises(kind, match="Nothing was changed") as caught:
                write(units)
            assert isinstance(caught.value, NotWritten)
        with units.read(KEY) as unit:
            assert unit.shops.now().version == before
    assert write(either_bench.units) == before + 1
