"""Write anew whatever is made from the code: ``refresh.py [PART OF A NAME ...]``, else all of it.

That is what the commands of a page print, the tables and the schema of the scenario format, the
pages of reference, and the figures of the manual. Look at what changed before it is committed.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

import manual_figures
import readme_blocks
import reference_pages
import walked_pages
from house import ROOT

from mouldwright.scenario.format_tables import fill_tables
from mouldwright.scenario.schema import schema_text

DOCS = ROOT / "docs"
_FORMAT = DOCS / "scenario-format.md"


def _text(path: Path) -> str:
    return path.read_text(encoding="utf-8")


# Made in a moment; a test makes each and compares.
MADE: Mapping[Path, Callable[[], str]] = {
    _FORMAT: lambda: fill_tables(_text(_FORMAT)),
    DOCS / "scenario.schema.json": schema_text,
    DOCS / "reference" / "commands.md": reference_pages.command_page,
    DOCS / "reference" / "addresses.md": reference_pages.api_page,
    DOCS / "reference" / "sheets.md": reference_pages.sheets_page,
    **{
        DOCS / "figures" / f"{name}.svg": partial(manual_figures.svg_of, name)
        for name in manual_figures.FIGURES
    },
}
# Their commands are run; the tests of those pages compare what they print.
PRINTED: Mapping[Path, Callable[[str], str]] = {
    **dict.fromkeys(readme_blocks.PAGES, readme_blocks.refreshed),
    **dict.fromkeys(walked_pages.PAGES, walked_pages.refreshed),
}


def refresh(*names: str) -> list[Path]:
    """Write anew each file whose path holds one of the names, or all; return those that changed."""
    makers = {**MADE, **{path: _printing(path, make) for path, make in PRINTED.items()}}
    changed = []
    for path, make in makers.items():
        shown = str(path.relative_to(ROOT))
        if names and not any(name in shown for name in names):
            continue
        text = make()
        if not path.exists() or _text(path) != text:
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
            changed.append(path)
    return changed


def _printing(path: Path, make: Callable[[str], str]) -> Callable[[], str]:
    return lambda: make(_text(path))


if __name__ == "__main__":
    for each in refresh(*sys.argv[1:]):
        sys.stdout.write(f"{each.relative_to(ROOT)}\n")
