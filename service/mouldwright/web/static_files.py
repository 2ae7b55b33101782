"""Styles and scripts, read once and served under a name that changes with what is in them."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from mouldwright.figures.look import figure_css, resolved_css, tokens_css

_KINDS = {
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "svg": "image/svg+xml",
}
_ROOM = "mouldwright.web.static"


@dataclass(frozen=True, slots=True, kw_only=True)
class StaticFile:
    """A file that a page loads.

    Attributes:
        kind: Its media type.
        mark: Changes whenever its text does.
    """

    text: bytes
    kind: str
    mark: str


@lru_cache(1)
def static_files() -> dict[str, StaticFile]:
    """Return every file that pages may load, by its name."""
    ink = (tokens_css() + figure_css()).encode()
    found = {
        "ink.css": _file(ink, _KINDS["css"]),
        # What a drawing saved by a page carries with it: plain colours, for any viewer.
        "figure-light.css": _file(resolved_css("light").encode(), _KINDS["css"]),
    }
    for entry in resources.files(_ROOM).iterdir():
        kind = _KINDS.get(entry.name.rpartition(".")[2])
        if kind is not None:
            found[entry.name] = _file(entry.read_bytes(), kind)
    return found


def _file(text: bytes, kind: str) -> StaticFile:
    return StaticFile(text=text, kind=kind, mark=hashlib.sha256(text).hexdigest()[:12])


def static_path(name: str) -> str:
    """Return the path of a file; a browser may keep it, since the path changes with the text.

    Raises:
        KeyError: if there is no such file: a template names one that was never written.
    """
    return f"/static/{static_files()[name].mark}/{name}"
