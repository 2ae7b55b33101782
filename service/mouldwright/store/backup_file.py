"""A backup as a file: lines of JSON, compressed, the digest of them all at the end.

::

    {"format": "mouldwright backup", "layout": 1, "schema": "0002", "made_at": "..."}
    {"table": "shop", "columns": ["key", "version", "added_at"]}
    ["foils", 3, "2027-03-01T08:00:00+00:00"]
    ...
    {"rows": 412, "sha256": "..."}

Nothing in it is of one database's own kind: instants are ISO 8601 in UTC, dates ISO 8601,
decimals the digits that were kept.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import os
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.usecases.backup import Backup

FORMAT, LAYOUT = "mouldwright backup", 1
_GZIP = b"\x1f\x8b"
# No row comes near this: a file that does would only fill the memory.
_LONGEST_LINE = 256_000_000

# A table's name and columns, and its rows.
Table = tuple[str, tuple[str, ...], Iterable[Iterable[Any]]]
# A row with where it belongs.
Placed = tuple[str, tuple[str, ...], list[Any]]


@contextmanager
def put_in_place(file: Path) -> Iterator[Path]:
    """Yield a folder beside the file; what lies in it as ``whole`` afterwards becomes the file.

    The folder is its owner's alone, and gone afterwards. The file is there whole or not at
    all, also when the power fails.

    Raises:
        InvalidInput: if nothing can be written there, or what is there is no backup.
    """
    if not file.parent.is_dir():
        raise _fault(file, "there is no such folder.", f"Make {file.parent} first.")
    if file.exists() and not _opens_as_backup(file):
        raise _fault(file, "something else is there.", "Choose another name.")
    try:
        with TemporaryDirectory(dir=file.parent, prefix=".mouldwright-") as folder:
            yield Path(folder)
            os.replace(Path(folder) / "whole", file)
            _to_disk(file.parent)
    except OSError as error:
        raise _fault(
            file, f"it could not be written: {error.strerror}.", "Choose another place."
        ) from error


def write_backup(file: Path, tables: Iterable[Table], *, schema: str, made_at: datetime) -> Backup:
    """Write a backup to a new file that is its owner's alone, down to the disk."""
    head = {"format": FORMAT, "layout": LAYOUT, "schema": schema, "made_at": _written(made_at)}
    digest, counts = hashlib.sha256(), Counter[str]()
    descriptor = os.open(file, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    with os.fdopen(descriptor, "wb") as raw:
        with gzip.GzipFile(filename="", mode="wb", fileobj=raw, mtime=0) as out:

            def line(value: Any) -> None:
                text = json.dumps(value, separators=(",", ":"), default=_written).encode() + b"\n"
                digest.update(text)
                out.write(text)

            line(head)
            for name, columns, rows in tables:
                line({"table": name, "columns": columns})
                counts[name] = 0
                for row in rows:
                    line(list(row))
                    counts[name] += 1
            end = {"rows": counts.total(), "sha256": digest.hexdigest()}
            out.write(json.dumps(end).encode() + b"\n")
        raw.flush()
        os.fsync(raw.fileno())
    return Backup(made_at=made_at, schema=schema, rows=dict(counts), digest=digest.hexdigest())


class BackupReader:
    """Reads a backup row by row; the digest is checked when the last row has been read.

    Attributes:
        schema: The last step of the tables it was taken from.
    """

    def __init__(self, file: Path, stream: gzip.GzipFile) -> None:
        """Read the head. Raises InvalidInput where it is no backup of ours."""
        self._file, self._stream = file, stream
        self._digest, self._counts, self._sha256 = hashlib.sha256(), Counter[str](), ""
        text, head = self._line()
        if not isinstance(head, dict) or head.get("format") != FORMAT:
            raise _no_backup(file)
        if head.get("layout") != LAYOUT:
            raise _fault(
                file,
                f"it is laid out in a way (layout {head.get('layout')}) that this version "
                "cannot read.",
                "Restore it with the version that made it, or a later one.",
            )
        self._digest.update(text)
        try:
            self.schema = str(head["schema"])
            self._made_at = datetime.fromisoformat(head["made_at"])
        except (KeyError, TypeError, ValueError) as error:
            raise _damaged(file, "its head is not whole") from error

    def rows(self) -> Iterator[Placed]:
        """Yield each row with its table and columns, in the order they must be put back.

        Raises:
            InvalidInput: if the file ends early or is not what was written.
        """
        table: str = ""
        columns: tuple[str, ...] = ()
        while True:
            text, value = self._line()
            match value:
                case list():
                    self._counts[table] += 1
                    yield table, columns, value
                case {"table": str(table), "columns": list(named)}:
                    columns = tuple(named)
                    self._counts[table] = 0
                case {"rows": int(rows), "sha256": str(digest)}:
                    self._must_be_whole(rows, digest)
                    return
                case _:
                    raise _damaged(self._file, "a line in it means nothing")
            self._digest.update(text)

    def backup(self) -> Backup:
        """Return what the file holds, its rows having been read to the end."""
        return Backup(
            made_at=self._made_at,
            schema=self.schema,
            rows=dict(self._counts),
            digest=self._sha256,
        )

    def _must_be_whole(self, rows: int, digest: str) -> None:
        self._sha256 = self._digest.hexdigest()
        if (rows, digest) != (self._counts.total(), self._sha256):
            raise _damaged(self._file, "its digest does not fit what is in it")
        try:
            # The compression has a sum of its own, which is looked at beyond the last line.
            more = self._stream.read(1)
        except (EOFError, OSError, zlib.error) as error:
            raise _damaged(self._file, f"its end is not whole ({error})") from error
        if more:
            raise _damaged(self._file, "something follows its end")

    def _line(self) -> tuple[bytes, Any]:
        try:
            text = self._stream.readline(_LONGEST_LINE)
            if not text.endswith(b"\n"):
                raise _damaged(self._file, "it ends early")
            return text, json.loads(text)
        except (ValueError, EOFError, OSError, zlib.error) as error:
            raise _damaged(self._file, f"it cannot be read on ({error})") from error


@contextmanager
def reading_backup(file: Path) -> Iterator[BackupReader]:
    """Open a backup. Raises InvalidInput where it is none."""
    if not file.is_file():
        raise _fault(file, "there is no such file.", "Name a backup that was made before.")
    try:
        raw = file.open("rb")
    except OSError as error:
        raise _fault(file, f"it cannot be read: {error.strerror}.", "Ask its owner.") from error
    with raw:
        if raw.read(2) != _GZIP:
            raise _no_backup(file)
        raw.seek(0)
        with gzip.GzipFile(fileobj=raw, mode="rb") as stream:
            yield BackupReader(file, stream)


def look_at(file: Path) -> Backup:
    """Read a backup to its end and return what it holds. Raises InvalidInput."""
    with reading_backup(file) as reader:
        for _ in reader.rows():
            pass
        return reader.backup()


def refuse_newer(file: Path, schema: str) -> InvalidInput:
    """Return what is said of a backup whose tables this version does not know."""
    return _fault(
        file,
        f"it was made by a newer version (step {schema}).",
        "Restore it with that version, or a later one.",
    )


def _written(value: Any) -> str:
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{value!r} has no place in a backup")


def _opens_as_backup(file: Path) -> bool:
    try:
        with reading_backup(file):
            return True
    except InvalidInput:
        return False


def _to_disk(folder: Path) -> None:
    """Bring a changed folder to the disk, so that the file's new name outlives the power."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _no_backup(file: Path) -> InvalidInput:
    return _fault(file, "it is no backup.", "Name a file that `mouldwright backup` wrote.")


def _damaged(file: Path, how: str) -> InvalidInput:
    return _fault(
        file, f"it is damaged: {how}. Nothing was changed.", "Take an earlier backup or a copy."
    )


def _fault(file: Path, problem: str, remedy: str) -> InvalidInput:
    return InvalidInput([Fault(path="file", value=str(file), problem=problem, remedy=remedy)])
