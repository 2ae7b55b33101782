"""Bringing a database to the newest tables."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from tempfile import TemporaryDirectory
from typing import Any

from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from mouldwright.domain.errors import Conflict
from mouldwright.store.engine import make_engine, writing
from mouldwright.store.fence import of_every_shop
from mouldwright.store.tables import METADATA

# Any number will do, as long as every process that migrates takes the same one.
MIGRATION_LOCK = 7_301_118_201


def migrate(url: str, revision: str = "head") -> None:
    """Take every step that is still to be taken, all or none; one process at a time.

    Raises:
        Conflict: if a later version took steps that this one does not know.
        RuntimeError: if a row is left pointing at nothing.
    """
    with altering(url) as connection:
        taken = revision_of(connection)
        if taken is not None and taken not in revisions():
            raise made_by_newer(taken)
        upgrade(connection, revision)


def made_by_newer(taken: str) -> Conflict:
    """Return what is said of a database whose last step is unknown here."""
    return Conflict(
        f"The database was brought to step {taken} by a newer version.",
        remedy="Use that version, or a later one.",
        stands="newer",
    )


def migration_config() -> Config:
    """Return Alembic's settings for the steps in this package."""
    config = Config()
    config.set_main_option("script_location", "mouldwright.store:migrations")
    config.set_main_option("path_separator", "os")
    return config


def draft(number: str, title: str) -> None:
    """Write a step from the difference between the steps so far and the tables in the code.

    Args:
        number: The next one, four digits.
        title: What the step does, in a few words.
    """
    with TemporaryDirectory() as folder:
        url = f"sqlite:///{folder}/draft.db"
        migrate(url)
        with altering(url) as connection:
            config = _config_on(connection)
            config.set_main_option("file_template", "v%%(rev)s_%%(slug)s")
            command.revision(config, title, autogenerate=True, rev_id=number)


def differences(url: str) -> list[Any]:
    """Return what the tables of a database lack or have beyond the ones in the code."""
    with altering(url) as connection:
        return list(compare_metadata(MigrationContext.configure(connection), METADATA))


def upgrade(connection: Connection, revision: str = "head") -> None:
    """Take every step up to a revision on a connection of ``altering``."""
    command.upgrade(_config_on(connection), revision)


def take_down(connection: Connection) -> None:
    """Take every step back, rows and all, on a connection of ``altering``."""
    command.downgrade(_config_on(connection), "base")


def revisions() -> tuple[str, ...]:
    """Return the name of every step this version knows, the first first."""
    steps = ScriptDirectory.from_config(migration_config()).walk_revisions()
    return tuple(step.revision for step in steps)[::-1]


def revision_of(connection: Connection) -> str | None:
    """Return the last step a database has taken, None where it has taken none."""
    return MigrationContext.configure(connection).get_current_revision()


@contextmanager
def altering(url: str) -> Iterator[Connection]:
    """Open a connection on which tables may be altered: one at a time, all or nothing.

    Raises:
        RuntimeError: if a row is left pointing at nothing.
    """
    # SQLite alters a table by copying it; with foreign keys on, dropping the old one would
    # take rows of other tables along. They are checked at the end instead.
    engine = make_engine(url, foreign_keys=False, pooled=False, busy_seconds=60)
    try:
        with of_every_shop(writing(engine)).begin() as connection:
            if connection.dialect.name == "postgresql":
                connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({MIGRATION_LOCK})")
            yield connection
            if connection.dialect.name == "sqlite":
                lost = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
                if lost:
                    raise RuntimeError(f"rows that point at nothing: {lost[:5]}")
    finally:
        engine.dispose()


def _config_on(connection: Connection) -> Config:
    config = migration_config()
    config.attributes["connection"] = connection
    return config
