"""Pages that are walked through from top to bottom, in one empty folder, as a reader would.

Fenced blocks are done in their order: ``console`` runs a mouldwright command and compares what it
prints; ``toml FILE`` is written to the end of a file, which may be new; ``diff FILE`` replaces each
line after ``- `` by the one after ``+ ``. Any other block is left to ``page_blocks.py``. What is
printed is written anew by ``refresh.py``.
"""

from __future__ import annotations

import re
import tempfile
from pathlib import Path

from house import ROOT
from readme_blocks import run, tidy

PAGES = (
    ROOT / "docs" / "first-hour.md",
    ROOT / "docs" / "add-a-process.md",
    *(
        page
        for page in sorted((ROOT / "docs" / "how-to").glob("*.md"))
        if "\n```console\n" in page.read_text(encoding="utf-8")
    ),
)
_BLOCK = re.compile(r"^```(?P<kind>\S+)(?: (?P<file>\S+))?\n(?P<text>.*?)^```$", re.M | re.S)
_COMMAND = re.compile(r"\$ (mouldwright [^\n]+)\n")


def walked(page: str, folder: Path) -> list[tuple[str, str, str]]:
    """Do all that a page says, and return (command, shown, printed) of each of its commands.

    Raises:
        ValueError: if a file lies outside the folder, or a line to be replaced is not there once.
    """
    found = []
    for block in _BLOCK.finditer(page):
        text = block["text"]
        if block["kind"] == "console":
            command = _COMMAND.match(text)
            if command is None:
                raise ValueError(f"a console block begins with $ mouldwright, not {text[:40]!r}")
            shown = tidy(text[command.end() :])
            found.append((command[1], shown, run(command[1], folder)))
        elif block["file"]:
            file = (folder / block["file"]).resolve()
            if folder.resolve() not in file.parents:
                raise ValueError(f"{block['file']} lies outside the folder")
            before = file.read_text(encoding="utf-8") if file.exists() else ""
            change = {"toml": _added, "diff": _replaced}[block["kind"]]
            file.write_text(change(before, text), encoding="utf-8")
    return found


def _added(before: str, text: str) -> str:
    return f"{before}\n{text}" if before else text


def _replaced(before: str, text: str) -> str:
    old, new = (re.findall(rf"^{sign} (.+)$", text, re.M) for sign in (r"-", r"\+"))
    for was, becomes in zip(old, new, strict=True):
        if before.count(was) != 1:
            raise ValueError(f"{was!r} stands {before.count(was)} times in the file")
        before = before.replace(was, becomes)
    return before


def refreshed(page: str) -> str:
    """Return the page with what each of its commands prints now."""
    with tempfile.TemporaryDirectory() as folder:
        printed = iter(walked(page, Path(folder)))

    def anew(block: re.Match[str]) -> str:
        if block["kind"] != "console":
            return block[0]
        command, _, now = next(printed)
        return f"```console\n$ {command}\n{now}```"

    return _BLOCK.sub(anew, page)
