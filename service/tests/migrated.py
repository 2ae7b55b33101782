"""A database with the newest tables for every test that wants one, the steps taken only once."""

from __future__ import annotations

import tempfile
from functools import cache
from pathlib import Path

from mouldwright.store.migrate import migrate

_SQLITE = "sqlite:///"


def make_newest(url: str) -> None:
    """Bring a database to the newest tables.

    A SQLite file that is not there yet is a copy of one that took the steps before, which is a
    fifth of a second's work the less; all else takes the steps itself.
    """
    file = Path(url.removeprefix(_SQLITE))
    if not url.startswith(_SQLITE) or file.exists():
        migrate(url)
    else:
        content, mode = _newest()
        file.touch(mode)
        file.write_bytes(content)


@cache
def _newest() -> tuple[bytes, int]:
    """Return the file's content, and who may read it."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "newest.db")
        migrate(f"{_SQLITE}{file}")
        # What is committed and not yet in the file itself would be left behind.
        assert [each.name for each in Path(folder).iterdir()] == [file.name]
        return file.read_bytes(), file.stat().st_mode & 0o777
