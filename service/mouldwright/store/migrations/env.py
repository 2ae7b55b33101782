"""Run by Alembic: the steps on a connection that is already open, in one transaction."""

from __future__ import annotations

from typing import Any, Literal

from alembic import context
from sqlmodel.sql.sqltypes import AutoString

from mouldwright.store.tables import METADATA


def _shown(kind: str, item: Any, _: Any) -> str | Literal[False]:
    """Write our own column types by their module's name, and plain ones without a library's."""
    if kind == "type" and isinstance(item, AutoString):
        return f"sa.String(length={item.length})"
    if kind == "type" and type(item).__module__ == "mouldwright.store.columns":
        return f"columns.{type(item).__name__}()"
    return False


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
    render_item=_shown,
    compare_type=True,
)
context.run_migrations()
