"""How the manual's pages become a site: see ``build.py``, which is how it is built.

The front page, ``docs`` and each shop's own page are its source, as they stand. What is in the
contents, and in which order, is read from ``docs/index.md``.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from sphinx.application import Sphinx

import mouldwright
from mouldwright.web.static_files import static_files

project = "mouldwright"
release = mouldwright.__version__
language = "en"

extensions = ["myst_parser"]
source_suffix = {".md": "markdown"}
root_doc = "docs/index"
include_patterns = ["README.md", "docs/**.md", "scenarios/*/README.md", "docker/README.md"]
exclude_patterns = [".*", "build", "dist", "service", "api_tests"]
nitpicky = True
myst_heading_anchors = 4
# A block may name the file it is written to, which is no language.
suppress_warnings = ["misc.highlighting_failure"]

html_theme = "theme"
html_theme_path = ["."]
html_copy_source = False
html_show_sourcelink = False
html_use_index = False
# A page that is opened as a file may not read another, which a summary of what was found would do.
html_show_search_summary = False
html_additional_pages = {"index": "to_contents.html"}
templates_path = ["templates"]

# The product's own inks, measures, sheet and tables, in the order that its pages load them.
OWN_STYLES = ["ink.css", "measure.css", "sheet.css", "forms.css", "tables.css"]
html_context = {"own_styles": OWN_STYLES}

_ROOM = re.compile(r"^## (?P<title>.+)\n(?P<text>(?:(?!## ).*\n?)*)", re.M)
_ENTRY = re.compile(r"^- \[([^\]]+)\]\(([^)#]+)\.md\)", re.M)
_CODE = re.compile(r'(?<=<span class="pre">)[^<]+')
_TABLE = re.compile(r"(<table\b.*?</table>)", re.S)


def contents(index: str) -> str:
    """Return the page of contents with each of its rooms as an entry of the site's navigation."""
    rooms = ((found["title"], _ENTRY.findall(found["text"])) for found in _ROOM.finditer(index))
    trees = (
        "\n".join(
            [f"```{{toctree}}\n:hidden:\n:caption: {title}\n"]
            + [f"{name} <{page}>" for name, page in pages]
            + ["```\n"]
        )
        for title, pages in rooms
        if pages
    )
    return f"{index}\n" + "\n".join(trees)


def _read(_app: Sphinx, page: str, source: list[str]) -> None:
    if page == root_doc:
        source[0] = contents(source[0])


def _fit_to_phones(
    _app: Sphinx, _page: str, _template: str, context: dict[str, Any], _tree: object
) -> None:
    """Let a table that is wider than a phone scroll by itself, and a path break after a stroke."""
    if "body" in context:
        body = _TABLE.sub(r'<div class="table-wrapper">\1</div>', context["body"])
        context["body"] = _CODE.sub(lambda found: found[0].replace("/", "/<wbr>"), body)


def _finished(app: Sphinx, fault: Exception | None) -> None:
    if fault is None:
        for name in [*OWN_STYLES, "mark.svg"]:
            (Path(app.outdir) / "_static" / name).write_bytes(static_files()[name].text)


def setup(app: Sphinx) -> None:
    """Take the contents from the page of contents, and the look from the product."""
    app.connect("source-read", _read)
    app.connect("html-page-context", _fit_to_phones)
    app.connect("build-finished", _finished)
