"""Looking at a database without changing anything in it, not even making it."""

from __future__ import annotations

import os
import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, func, inspect, select, union_all
from sqlalchemy.exc import DatabaseError, OperationalError
from sqlmodel import col

from mouldwright.store.engine import database_url, make_engine, opening, reading, writing
from mouldwright.store.fence import fence_of, of_every_shop
from mouldwright.store.migrate import revision_of, revisions
from mouldwright.store.runs_standing import standing_of
from mouldwright.store.tables import RunRow, ShopVersionRow, TokenRow
from mouldwright.usecases.diagnosis import DatabaseCondition

_PATIENCE_S = 2.0


def condition_of(url: str, *, now: datetime) -> DatabaseCondition:
    """Return what a database is found to be.

    Args:
        url: Where it is.
        now: What the service would say the time is; leases are held against it.

    Raises:
        InvalidInput: if the url is none of ours.
    """
    with opening(url):
        parsed = database_url(url)
    shown = parsed.render_as_string(hide_password=True)
    seen: dict[str, Any] = {"shown": shown, "steps": revisions()}
    if parsed.get_backend_name() == "sqlite":
        file = Path(str(parsed.database))
        seen |= _of_file(file)
        if not file.exists():
            closed = "" if _can_be_made(file) else "its folder cannot be written to."
            return DatabaseCondition(**seen, is_there=False, closed=closed)
    engine = make_engine(url, pooled=False, busy_seconds=_PATIENCE_S)
    try:
        with of_every_shop(reading(engine)).connect() as connection:
            seen |= _of_tables(connection, now)
        if seen["schema"] is not None:
            seen |= _of_writing(engine)
    except DatabaseError as error:
        return DatabaseCondition(**{**seen, "closed": _first_line(error)})
    finally:
        engine.dispose()
    return DatabaseCondition(**seen)


def _of_file(file: Path) -> dict[str, object]:
    folder = next((each for each in file.absolute().parents if each.exists()), Path("/"))
    beside = [file, *(file.with_name(file.name + end) for end in ("-wal", "-shm"))]
    open_files = (str(each) for each in beside if each.exists() and each.stat().st_mode & 0o077)
    return {
        "free_bytes": shutil.disk_usage(folder).free,
        # Windows has no such bits, and says that everyone may.
        "open_to_others": tuple(open_files) if os.name == "posix" else (),
    }


def _can_be_made(file: Path) -> bool:
    there = next((each for each in file.absolute().parents if each.exists()), None)
    return there is not None and there.is_dir() and os.access(there, os.W_OK | os.X_OK)


def _of_tables(connection: Connection, now: datetime) -> dict[str, object]:
    schema, known = revision_of(connection), revisions()
    found: dict[str, object] = {"schema": schema}
    if connection.dialect.name == "sqlite":
        found["damage"] = _damage(connection)
    else:
        found["own_clock"] = connection.exec_driver_sql("SELECT clock_timestamp()").scalar_one()
    if schema == known[-1] and not found.get("damage"):
        found |= {"latest": _latest(connection), "work": standing_of(connection, now)}
        if connection.dialect.name == "postgresql":
            found["fence"] = fence_of(connection)
    return found


def _damage(connection: Connection) -> str:
    said = connection.exec_driver_sql("PRAGMA quick_check(1)").scalar_one()
    if said != "ok":
        return str(said)
    lost = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchone()
    return "" if lost is None else f"a row of {lost[0]} points at nothing."


def _latest(connection: Connection) -> datetime | None:
    written = (
        select(func.max(col(ShopVersionRow.written_at)).label("at")),
        select(func.max(col(RunRow.asked_at))),
        select(func.max(col(TokenRow.issued_at))),
    )
    latest: datetime | None = connection.scalar(
        select(func.max(union_all(*written).subquery().c.at))
    )
    return latest if latest is None or latest.tzinfo else latest.replace(tzinfo=UTC)


def _of_writing(engine: Engine) -> dict[str, object]:
    """Try to write no row at all: what may not be written is refused all the same."""
    try:
        with writing(engine).connect() as connection:
            if not inspect(connection).has_table("shop"):
                return {"unwritable": "there is no table of shops."}
            connection.exec_driver_sql("UPDATE shop SET version = version WHERE key IS NULL")
            connection.rollback()
    except OperationalError as error:
        said = _first_line(error)
        return {"is_busy": True} if "lock" in said else {"unwritable": said}
    except DatabaseError as error:
        return {"unwritable": _first_line(error)}
    return {}


def _first_line(error: DatabaseError) -> str:
    said = str(error.orig).strip().splitlines() or [type(error.orig).__name__]
    return f"{said[0].rstrip('.')}."
