"""Every fenced block of the front page, the manual and the shops' pages, and what is done with it.

A block says by its language what it is. What cannot be carried out by a test stands under a mark
that says why: ``<!-- not run: WHY -->``. A piece of a scenario is read as a change of the demo
bench, or of the shop in ``<!-- within FOLDER -->``. No mark is seen by a reader of the page.
"""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from house import ROOT

from mouldwright.scenario.document import Document
from mouldwright.scenario.read import ScenarioRead, read_document, scenario_files

PAGES = (
    ROOT / "README.md",
    *sorted((ROOT / "docs").rglob("*.md")),
    *sorted((ROOT / "scenarios").glob("*/README.md")),
    ROOT / "docker" / "README.md",
)
_BLOCK = re.compile(
    r"(?:^ *<!-- (?P<mark>not run|within):? (?P<said>[^\n]+?) -->\n)?"
    r"^ *```(?P<kind>[^\s`]*)(?: (?P<file>\S+))?\n(?P<text>.*?)^ *```$",
    re.M | re.S,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A fenced block.

    Attributes:
        kind: What stands behind the fence; empty where nothing does.
        file: The file that a walk writes it to; empty for none.
        not_run: Why it is not carried out; empty where it is.
        within: Folder of the shop that a piece of a scenario belongs to, below the project's.
    """

    page: Path
    line: int
    kind: str
    text: str
    file: str = ""
    not_run: str = ""
    within: str = "scenarios/foil-bench"

    def __str__(self) -> str:
        """Return where it stands, as an editor opens it."""
        return f"{self.page.relative_to(ROOT)}:{self.line}"


def blocks_of(page: Path, text: str) -> list[Block]:
    """Return the blocks of a page in their order."""
    found = []
    for block in _BLOCK.finditer(text):
        marked = (
            {{"not run": "not_run", "within": "within"}[block["mark"]]: block["said"]}
            if (block["mark"])
            else {}
        )
        found.append(
            Block(
                page=page,
                line=text.count("\n", 0, block.start("kind")) + 1,
                kind=block["kind"],
                text=block["text"],
                file=block["file"] or "",
                **marked,
            )
        )
    return found


def all_blocks() -> list[Block]:
    """Return every block of every page."""
    return [block for page in PAGES for block in blocks_of(page, page.read_text(encoding="utf-8"))]


def commands(block: Block) -> list[list[str]]:
    """Return the commands of a block of shell as words, without what is said beside them."""
    joined = block.text.replace("\\\n", " ")
    split = (shlex.split(line, comments=True) for line in joined.splitlines())
    return [words for words in split if words]


def read_within(text: str, folder: Path) -> ScenarioRead:
    """Read a piece of a scenario as a change of a shop: what it names is altered or added.

    Raises:
        InvalidInput: with every fault, if the changed shop cannot be used.
    """
    whole, piece = Document(), Document()
    for file in scenario_files(folder):
        whole.add(file.read_text(encoding="utf-8"), file.name)
    piece.add(text, "the page")
    whole.faults.extend(piece.faults)
    _change(whole.root, piece.root)
    return read_document(whole, folder)


def _change(into: dict[str, Any], piece: dict[str, Any]) -> None:
    for key, value in piece.items():
        here = into.get(key)
        if isinstance(here, dict) and isinstance(value, dict):
            _change(here, value)
        elif _is_tables(here) and _is_tables(value):
            for entry in value:
                named = [each for each in here if _name(each) == _name(entry) is not None]
                if named:
                    _change(named[0], entry)
                else:
                    here.append(entry)
        else:
            into[key] = value


def _is_tables(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(each, dict) for each in value)


def _name(entry: dict[str, Any]) -> object:
    return entry.get("name", entry.get("number"))
