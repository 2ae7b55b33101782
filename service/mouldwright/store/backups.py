"""Backups of a database that is in use, and putting them back, into either kind of database."""

from __future__ import annotations

import errno
import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import date, datetime
from itertools import groupby, islice
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Date,
    DateTime,
    MetaData,
    Table,
    event,
    func,
    insert,
    inspect,
    select,
    text,
    update,
)
from sqlalchemy.exc import ArgumentError, DBAPIError

from mouldwright.domain.errors import Conflict, Fault, InvalidInput
from mouldwright.store.backup_file import (
    BackupReader,
    Placed,
    look_at,
    put_in_place,
    reading_backup,
    refuse_newer,
    write_backup,
)
from mouldwright.store.columns import UtcInstant
from mouldwright.store.engine import database_url, make_engine, reading
from mouldwright.store.fence import of_every_shop
from mouldwright.store.migrate import (
    MIGRATION_LOCK,
    altering,
    made_by_newer,
    migrate,
    revision_of,
    revisions,
    take_down,
    upgrade,
)
from mouldwright.store.refusals import is_lack_of_room, not_written
from mouldwright.store.tables import FeedRow, QuoteLinkRow, TokenRow
from mouldwright.usecases.backup import Backup, Restored
from mouldwright.usecases.errors import StoreFull

_AT_ONCE = 500
_TOKEN = TokenRow.__table__  # type: ignore[attr-defined]
# What opens a door to whoever holds its secret.
_DOORS: tuple[Table, ...] = (
    _TOKEN,
    QuoteLinkRow.__table__,  # type: ignore[attr-defined]
    FeedRow.__table__,  # type: ignore[attr-defined]
)


class StoreBackups:
    """See ``usecases.backup.Backups``."""

    def __init__(self, url: str, clock: Callable[[], datetime]) -> None:
        """Open it on a database.

        Raises:
            InvalidInput: if the url names none that can be used.
        """
        try:
            self._at = database_url(url)
        except (ValueError, ArgumentError) as error:
            raise InvalidInput(
                [
                    Fault(
                        path="database",
                        # Never the url itself: it may hold a password.
                        value="",
                        problem=f"{error}.",
                        remedy="Write sqlite:///file.db or postgresql://user@host/name.",
                    )
                ]
            ) from error
        self._url, self._clock = url, clock

    def take(self, file: Path) -> Backup:
        """Write all that is kept at one moment to a file, whole or not at all."""
        # Before the moment is chosen: all that was committed by then is in the file.
        made_at = self._clock()
        with (
            put_in_place(file) as folder,
            self._reached(writes_beside=True),
            self._one_moment(folder) as connection,
        ):
            schema = revision_of(connection)
            if schema is None:
                raise self._nothing_kept()
            if schema not in revisions():
                raise made_by_newer(schema)
            tables = (_of_table(connection, table) for table in _tables(connection, schema))
            return write_backup(folder / "whole", tables, schema=schema, made_at=made_at)

    def look(self, file: Path) -> Backup:
        """Read a backup to its end and return what it holds."""
        backup = look_at(file)
        if backup.schema not in revisions():
            raise refuse_newer(file, backup.schema)
        return backup

    def put_back(self, file: Path, *, replace: bool, withdraw_tokens: bool) -> Restored:
        """Put back what a backup holds, all or nothing."""
        # Read to the end first: what is damaged should keep no one waiting.
        self.look(file)
        with (
            reading_backup(file) as reader,
            self._reached(),
            altering(self._url) as connection,
        ):
            replaced, withdrawn = self._clear(connection, may_go=replace)
            upgrade(connection, reader.schema)
            _insert(connection, reader)
            upgrade(connection)
            now = self._clock()
            for door in _DOORS:
                wanted: ColumnElement[bool] = door.c.revoked_at.is_(None)
                if not withdraw_tokens:
                    wanted &= door.c.id.in_(withdrawn)
                connection.execute(update(door).where(wanted).values(revoked_at=now))
            holding = select(func.count()).where(
                _TOKEN.c.revoked_at.is_(None), _TOKEN.c.expires_at > now
            )
            return Restored(
                backup=reader.backup(),
                replaced=replaced,
                tokens=connection.scalar(holding) or 0,
            )

    def _clear(self, connection: Connection, *, may_go: bool) -> tuple[int, list[str]]:
        """Take down what is there; return how many rows there were, and the doors withdrawn.

        A token or link that was withdrawn after the backup was made must not hold again.
        """
        schema = revision_of(connection)
        if schema is None:
            return 0, []
        if schema not in revisions():
            raise made_by_newer(schema)
        upgrade(connection)
        counts = (
            connection.scalar(select(func.count()).select_from(table)) or 0
            for table in _tables(connection, revisions()[-1])
        )
        rows = sum(counts)
        if rows and not may_go:
            raise Conflict(
                f"The database holds {rows} rows already; nothing was changed.",
                remedy="Restore into an empty one, or say --replace to lose what is there.",
                stands="in use",
            )
        ids = [
            found
            for door in _DOORS
            for found in connection.scalars(select(door.c.id).where(door.c.revoked_at.is_not(None)))
        ]
        take_down(connection)
        return rows, ids

    @contextmanager
    def _one_moment(self, folder: Path) -> Iterator[Connection]:
        """Open a connection that sees all that is kept at one moment, whoever writes meanwhile."""
        if self._at.get_backend_name() == "postgresql":
            with self._one_moment_postgresql() as connection:
                yield connection
            return
        source = Path(str(self._at.database))
        if not source.is_file():
            raise self._nothing_kept()
        # A reader that takes its time would keep the log of writes from being folded back
        # into the file; from a copy we may read as slowly as we like.
        copy = folder / "copy.db"
        with (
            closing(sqlite3.connect(f"{source.absolute().as_uri()}?mode=rw", uri=True)) as live,
            closing(sqlite3.connect(copy)) as still,
        ):
            live.backup(still)
        engine = make_engine(f"sqlite:///{copy}", pooled=False)
        try:
            with reading(engine).connect() as connection:
                yield connection
        finally:
            engine.dispose()

    @contextmanager
    def _one_moment_postgresql(self) -> Iterator[Connection]:
        engine = make_engine(self._url, pooled=False)
        try:
            # Held by a connection of its own, before the moment is chosen: who alters tables
            # has then either finished or not begun.
            with engine.connect() as guard:
                guard.execute(text(f"SELECT pg_advisory_lock_shared({MIGRATION_LOCK})"))
                with of_every_shop(reading(engine)).connect() as connection:
                    yield connection
        finally:
            engine.dispose()

    @contextmanager
    def _reached(self, *, writes_beside: bool = False) -> Iterator[None]:
        """Say what a database does that does not answer.

        Args:
            writes_beside: Whether a file is written, so that a lack of room is that file's.
        """
        try:
            yield
        except DBAPIError as error:
            refused = not_written(error)
            if refused is not None:
                raise refused from error
            raise self._fault(f"it says: {_first_line(error.orig)}.") from error
        except (sqlite3.Error, OSError) as error:
            if is_lack_of_room(error):
                no_room = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
                raise (no_room if writes_beside else StoreFull()) from error
            raise self._fault(f"it says: {_first_line(error)}.") from error

    def _nothing_kept(self) -> InvalidInput:
        return self._fault("nothing is kept there.")

    def _fault(self, problem: str) -> InvalidInput:
        shown = self._at.render_as_string(hide_password=True)
        remedy = "Name the database the service uses, with --database."
        return InvalidInput([Fault(path="database", value=shown, problem=problem, remedy=remedy)])


def _first_line(error: object) -> str:
    return str(error).partition("\n")[0].rstrip(".")


def _tables(connection: Connection, schema: str) -> list[Table]:
    """Return our tables as they are after a step, those first that others point at.

    Which ones are ours is seen in a database made for the purpose: another may hold tables of
    other programs too.
    """
    with TemporaryDirectory() as folder:
        url = f"sqlite:///{folder}/empty.db"
        migrate(url, schema)
        engine = make_engine(url, pooled=False)
        with reading(engine).connect() as empty:
            ours = set(inspect(empty).get_table_names()) - {"alembic_version"}
        engine.dispose()
    found = MetaData()

    @event.listens_for(found, "column_reflect")
    def _(_inspector: Any, _table: Any, column: Any) -> None:
        if isinstance(column["type"], DateTime):
            column["type"] = UtcInstant()

    found.reflect(connection, only=sorted(ours))
    return [table for table in found.sorted_tables if table.name in ours]


def _of_table(connection: Connection, table: Table) -> tuple[str, tuple[str, ...], Iterator[Any]]:
    rows = connection.execution_options(yield_per=_AT_ONCE).execute(
        select(table).order_by(*table.primary_key.columns)
    )
    return table.name, tuple(table.columns.keys()), iter(rows)


def _insert(connection: Connection, reader: BackupReader) -> None:
    tables = {table.name: table for table in _tables(connection, reader.schema)}
    for name, placed in groupby(reader.rows(), key=lambda row: row[0]):
        table = tables[name]
        while rows := [_values(table, row) for row in islice(placed, _AT_ONCE)]:
            connection.execute(insert(table), rows)


def _values(table: Table, placed: Placed) -> dict[str, Any]:
    _, columns, row = placed
    return {
        name: _value(table.columns[name].type, value)
        for name, value in zip(columns, row, strict=True)
    }


def _value(kind: Any, value: Any) -> Any:
    if value is None:
        return None
    if isinstance(kind, UtcInstant):
        return datetime.fromisoformat(value)
    return date.fromisoformat(value) if isinstance(kind, Date) else value
