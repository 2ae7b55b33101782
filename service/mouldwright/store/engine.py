"""Opening the database: one url, SQLite with the care it needs, or PostgreSQL."""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, NullPool, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError, OperationalError

from mouldwright import tracing
from mouldwright.domain.errors import Fault, InvalidInput, MouldwrightError
from mouldwright.store.fence import say_whose

# How a transaction on SQLite begins is an execution option of the engine it is begun on.
_BEGIN = "mouldwright_begin"
_MOST_TOLD = 400


def database_url(text: str) -> URL:
    """Return the url of a database, PostgreSQL by its current driver.

    Raises:
        ValueError: if it is neither a SQLite file nor PostgreSQL.
    """
    url = make_url(text)
    backend = url.get_backend_name()
    if backend == "postgresql":
        return url.set(drivername="postgresql+psycopg")
    if backend != "sqlite":
        raise ValueError(f"{backend} is not supported: give a sqlite or a postgresql url")
    if not url.database or url.database == ":memory:":
        raise ValueError("give SQLite a file: every thread would see a memory of its own")
    return url


def make_engine(
    text: str,
    *,
    pool_size: int = 20,
    busy_seconds: float = 10.0,
    foreign_keys: bool = True,
    pooled: bool = True,
) -> Engine:
    """Return an engine for a database; a SQLite file and its folder are made where missing.

    On PostgreSQL no row is seen through it but as ``fence`` says for which shop it is.

    Args:
        text: Url, such as ``sqlite:///data/mouldwright.db``.
        pool_size: Connections kept; as many as there are threads that may want one at once.
        busy_seconds: How long a unit waits for the one that is writing.
        foreign_keys: Left off only while tables are altered.
        pooled: Without a pool each connection is opened and closed by itself.

    Raises:
        ValueError: if it is neither a SQLite file nor PostgreSQL.
    """
    url = database_url(text)
    pool: dict[str, Any] = {"poolclass": NullPool}
    if pooled:
        pool = {"pool_size": pool_size, "max_overflow": 2, "pool_timeout": busy_seconds}
    if url.get_backend_name() == "postgresql":
        wait = f"-c lock_timeout={int(busy_seconds * 1000)}"
        connect = {"options": wait}
        engine = create_engine(url, connect_args=connect, pool_pre_ping=True, **pool)
        say_whose(engine)
        return _noting(engine)
    _make_private(Path(str(url.database)))
    engine = create_engine(url, connect_args={"timeout": busy_seconds}, **pool)
    _take_care(engine, foreign_keys=foreign_keys)
    return _noting(engine)


def reading(engine: Engine) -> Engine:
    """Return the engine for units that only read: they wait for no writer and cannot write."""
    if engine.dialect.name == "postgresql":
        return engine.execution_options(postgresql_readonly=True, isolation_level="REPEATABLE READ")
    return engine.execution_options(**{_BEGIN: "BEGIN"})


def writing(engine: Engine) -> Engine:
    """Return the engine for units that write: on SQLite they take the lock when they begin.

    Taken later, on the first write after a read, the lock cannot be waited for: SQLite then
    fails at once, whatever the timeout says.
    """
    if engine.dialect.name == "postgresql":
        return engine
    return engine.execution_options(**{_BEGIN: "BEGIN IMMEDIATE"})


class DatabaseAway(MouldwrightError):
    """The database does not let itself be opened."""


@contextmanager
def opening(text: str) -> Iterator[None]:
    """Say in plain words why a database cannot be opened; its password is left out.

    Raises:
        InvalidInput: if the url is none of ours.
        DatabaseAway: if it does not answer.
    """
    try:
        database_url(text)
    except (ValueError, ArgumentError) as error:
        raise InvalidInput(
            [
                Fault(
                    path="database",
                    value="",
                    problem=f"this is no database of ours: {error}.",
                    remedy="Write sqlite:///file.db or postgresql://user@host/name.",
                )
            ]
        ) from None
    shown = database_url(text).render_as_string(hide_password=True)
    try:
        yield
    except OperationalError as error:
        raise DatabaseAway(f"The database {shown} cannot be opened: {error.orig}") from error
    except OSError as error:
        raise DatabaseAway(f"The database {shown} cannot be opened: {error.strerror}") from error


def must_answer(engine: Engine) -> None:
    """Ask the database for nothing. Raises whatever keeps it from answering."""
    with reading(engine).connect() as connection:
        connection.exec_driver_sql("SELECT 1")


def _noting(engine: Engine) -> Engine:
    """Let each statement be told of where somebody listens; its values stay out of what is told."""
    if not tracing.is_on():
        return engine

    @event.listens_for(engine, "before_cursor_execute")
    def begun(*about: Any) -> None:
        about[4].began = time.perf_counter()

    @event.listens_for(engine, "after_cursor_execute")
    def ended(*about: Any) -> None:
        seconds = time.perf_counter() - about[4].began
        tracing.note("statement", seconds, statement=" ".join(about[2].split())[:_MOST_TOLD])

    return engine


def _make_private(file: Path) -> None:
    """Make the file, and its folder where there is none, for their owner alone."""
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    if not file.exists():
        os.close(os.open(file, os.O_CREAT | os.O_RDWR, 0o600))


def _take_care(engine: Engine, *, foreign_keys: bool) -> None:
    @event.listens_for(engine, "connect")
    def opened(connection: sqlite3.Connection, _: Any) -> None:
        # The driver must not begin transactions of its own: we say when and how.
        connection.isolation_level = None
        for pragma in (
            "journal_mode=WAL",
            "synchronous=FULL",
            f"foreign_keys={'ON' if foreign_keys else 'OFF'}",
        ):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def begun(connection: Connection) -> None:
        how = connection.get_execution_options().get(_BEGIN, "BEGIN IMMEDIATE")
        # Straight to the driver where nothing can go wrong: this is done for every request.
        driver = connection.connection.driver_connection
        assert isinstance(driver, sqlite3.Connection)
        if how == "BEGIN":
            driver.execute("PRAGMA query_only=ON")
            driver.execute(how)
        else:
            driver.execute("PRAGMA query_only=OFF")
            connection.exec_driver_sql(how)
