"""A backup: all that is kept, in one file, and what can be said of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Protocol


@dataclass(frozen=True, slots=True, kw_only=True)
class Backup:
    """What a backup file holds.

    Attributes:
        made_at: The moment it shows, zone-aware.
        schema: The last step the tables it was taken from had been brought to.
        rows: Rows of each table.
        digest: SHA-256 of all that is in it, in hexadecimal.
    """

    made_at: datetime
    schema: str
    rows: Mapping[str, int]
    digest: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What a restore left.

    Attributes:
        backup: What was put back.
        replaced: Rows that were there before and are gone.
        tokens: Tokens that hold now.
    """

    backup: Backup
    replaced: int
    tokens: int


class Backups(Protocol):
    """Takes backups of one database and puts them back; the service may go on meanwhile."""

    def take(self, file: Path) -> Backup:
        """Write all that is kept at one moment to a file, whole or not at all.

        Raises:
            InvalidInput: if the file cannot be written there, or nothing is kept.
            Busy: if the tables are being altered for too long.
        """
        ...

    def look(self, file: Path) -> Backup:
        """Read a backup to its end and return what it holds.

        Raises:
            InvalidInput: if it is none, is damaged, or comes from a newer version.
        """
        ...

    def put_back(self, file: Path, *, replace: bool, withdraw_tokens: bool) -> Restored:
        """Put back what a backup holds, all or nothing.

        Args:
            file: The backup.
            replace: Whether what is kept now may go.
            withdraw_tokens: Whether every token is withdrawn.

        Raises:
            InvalidInput: if the file is no backup that can be used.
            Conflict: if something is kept already and may not go.
            Busy: if someone else is writing for too long.
        """
        ...
