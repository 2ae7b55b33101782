"""Putting a shop's mark into its scenario's file: all else in it stays to the letter."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.scenario.append import put_whole, text_as_it_stands
from mouldwright.scenario.document import Document
from mouldwright.scenario.read import read_document, scenario_files
from mouldwright.scenario.write import write_entry

_HEAD = re.compile(r"\s*\[\s*shop\s*\]\s*(#.*)?$")
_MARK = re.compile(r"\s*mark\s*=")


def put_mark(path: Path, mark: str) -> Path:
    """Write a mark into the shop of a scenario, or take it out; return the file it stands in.

    The whole is read again before anything is written.

    Args:
        path: A scenario file, or a folder of them.
        mark: Text of an SVG that was checked; empty takes it out.

    Raises:
        InvalidInput: if the file's own way of writing the shop lets no line be put in.
        OSError: if the file cannot be written.
    """
    texts = {file: text_as_it_stands(file) for file in scenario_files(path)}
    for file, text in texts.items():
        changed = _changed(text, mark)
        if changed is None:
            continue
        document = Document()
        for each in texts:
            said = changed if each == file else texts[each]
            document.add(said.removeprefix("\ufeff"), each.name)
        read_document(document, path if path.is_dir() else path.parent)
        put_whole(file, changed)
        return file
    raise InvalidInput(
        [
            Fault(
                path="shop.mark",
                value="",
                problem="the shop is not written as a [shop] table with its mark on one line.",
                remedy="Write the mark into it by hand.",
            )
        ]
    )


def _changed(text: str, mark: str) -> str | None:
    """Return the text with another mark in it; None where no line of it can be changed so."""
    lines = text.splitlines(keepends=True)
    head = next((n for n, line in enumerate(lines) if _HEAD.match(line)), None)
    if head is None:
        return None
    end = "\r\n" if lines[head].endswith("\r\n") else "\n"
    rest = range(head + 1, len(lines))
    stop = next((n for n in rest if lines[n].lstrip().startswith("[")), len(lines))
    body = [line for line in lines[head + 1 : stop] if not _MARK.match(line)]
    put = [write_entry({"mark": mark}).rstrip("\n") + end] if mark else []
    first = lines[head] if lines[head].endswith("\n") else lines[head] + end
    changed = "".join([*lines[:head], first, *put, *body, *lines[stop:]])
    return changed if _is_so(text, changed, mark) else None


def _is_so(before: str, after: str, mark: str) -> bool:
    """Return whether a text says what another does, the mark alone being this one."""
    try:
        was, now = (_table(text) for text in (before, after))
    except tomllib.TOMLDecodeError:
        return False
    found = now["shop"].pop("mark", "")
    was["shop"].pop("mark", None)
    return bool(found == mark and now == was)


def _table(text: str) -> dict[str, Any]:
    return tomllib.loads(text.removeprefix("\ufeff"))
