"""Going on with the log of a scenario in its file: all else in it stays to the letter."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path

from mouldwright.domain.record.log import LogEntry
from mouldwright.scenario.document import Document
from mouldwright.scenario.read import read_document, scenario_files
from mouldwright.scenario.write import write_log_entry

# Where the log of a folder begins.
_LOG_FILE = "log.toml"


def append_to_log(path: Path, entry: LogEntry) -> Path:
    """Write an entry under the last one of a scenario; return the file it stands in.

    The whole is read again before anything is written, and the file takes the place of the old
    one at once: whoever reads it finds the one or the other.

    Args:
        path: A scenario file, or a folder of them.
        entry: With the number that follows.

    Raises:
        InvalidInput: if the scenario would be wrong with it.
        OSError: if the file cannot be written.
    """
    files = scenario_files(path)
    texts = {file: text_as_it_stands(file) for file in files}
    target = _target(path, texts)
    before = texts.get(target, "")
    end = "\r\n" if "\r\n" in before else "\n"
    gap = "" if not before else end if before.endswith("\n") else end * 2
    texts[target] = before + gap + write_log_entry(entry).replace("\n", end)
    document = Document()
    for file in sorted(texts):
        document.add(texts[file].removeprefix("\ufeff"), file.name)
    read_document(document, path if path.is_dir() else path.parent)
    put_whole(target, texts[target])
    return target


def text_as_it_stands(file: Path) -> str:
    """Return a file's text with its own ends of lines."""
    with file.open(encoding="utf-8", newline="") as opened:
        return opened.read()


def _target(path: Path, texts: dict[Path, str]) -> Path:
    """Return the file that has the last entry of the log, else where a log begins."""
    if not path.is_dir():
        return path
    for file in sorted(texts, reverse=True):
        if any(line.strip().startswith("[[log]]") for line in texts[file].splitlines()):
            return file
    return path / _LOG_FILE


def put_whole(target: Path, text: str) -> None:
    """Put a text in the place of a file at once. Raises OSError where it cannot be written."""
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            os.chmod(name, target.stat().st_mode & 0o777)
        os.replace(name, target)
    except BaseException:
        with suppress(OSError):
            os.unlink(name)
        raise
