"""How many rows a statement changed."""

from __future__ import annotations

from typing import Any, cast

from sqlalchemy import CursorResult, Result


def rows_touched(done: Result[Any]) -> int:
    """Return how many rows an update or a delete changed."""
    # The session's types do not tell such a statement's result from that of a query.
    return cast("CursorResult[Any]", done).rowcount
