from __future__ import annotations

from collections.abc import Callable
from itertools import count

import psycopg
import pytest
from promise_databases import bench, either_bench, postgresql_url

__all__ = ["bench", "either_bench", "empty_url", "postgresql_url"]

_NAMES = count(1)


@pytest.fixture
def empty_url(request, tmp_path) -> Callable[[str], str]:
    """Makes an empty database of a kind, and returns its url."""

    def made(kind: str) -> str:
        number = next(_NAMES)
        if kind == "sqlite":
            return f"sqlite:///{tmp_path / f'empty-{number}.db'}"
        server = request.getfixturevalue("postgresql_url")
        with psycopg.connect(server, autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE empty_{number}")
        return server.replace("/postgres?", f"/empty_{number}?")

    return made
