"""What a database says when it will not write, in our words.

Only what leaves the database as it was belongs here: a unit that ends so is rolled back whole, also
where its commit was refused. A connection that breaks is not among them, since nobody knows then
whether a commit came through.
"""

from __future__ import annotations

import errno
import sqlite3

from sqlalchemy.exc import DBAPIError

from mouldwright.usecases.errors import Busy, NotWritten, StoreFull, StoreReadOnly

# Result codes of SQLite, extended ones cut down to the primary (sqlite.org/rescode.html); what it
# shares of the write-ahead log cannot grow on a full disk either.
_SQLITE_FULL = 13
_BY_SQLITE: dict[int, type[NotWritten]] = {5: Busy, 8: StoreReadOnly}
_SQLITE_IOERR_SHMSIZE = 4874
# PostgreSQL, Appendix A: disk_full, read_only_sql_transaction, lock_not_available.
_BY_SQLSTATE: dict[str | None, type[NotWritten]] = {
    "53100": StoreFull,
    "25006": StoreReadOnly,
    "55P03": Busy,
}


def not_written(error: DBAPIError) -> NotWritten | None:
    """Return why nothing was written, None where that is not sure."""
    said = error.orig
    if isinstance(said, sqlite3.Error):
        if is_lack_of_room(said):
            return StoreFull()
        kind = _BY_SQLITE.get(_code(said) & 0xFF)
    else:
        kind = _BY_SQLSTATE.get(getattr(said, "sqlstate", None))
    return None if kind is None else kind()


def is_lack_of_room(error: Exception) -> bool:
    """Return whether a disk is full, as SQLite or the system itself says."""
    if isinstance(error, sqlite3.Error):
        return _code(error) & 0xFF == _SQLITE_FULL or _code(error) == _SQLITE_IOERR_SHMSIZE
    return isinstance(error, OSError) and error.errno in (errno.ENOSPC, errno.EDQUOT)


def _code(error: sqlite3.Error) -> int:
    """Return SQLite's own code; 0 where the driver itself complains."""
    return getattr(error, "sqlite_errorcode", 0)
