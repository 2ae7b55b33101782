"""Setting a document on paper: plain data and a template in, the bytes of a PDF out.

The data goes to the template as JSON, so that nothing anyone typed is ever read as markup. Only
the faces that come with the program are used wherever they have every letter, so a document looks
the same on every machine.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal, get_args

import font_source_sans_pro
import typst

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.figures.pen import Drawing

Paper = Literal["a4", "us-letter"]
PAPERS: tuple[Paper, ...] = get_args(Paper)
FACE = "Source Sans Pro"
# A paper that is kept for good (PDF/A-2u) must have a face for each of its letters. Where a name is
# written in letters that the program's own faces lack, those of the machine are taken too; a letter
# that none of them has is set as an empty box, so that the paper goes out all the same.
_WAYS: tuple[Mapping[str, Any], ...] = (
    {"ignore_system_fonts": True, "pdf_standards": "a-2u"},
    {"ignore_system_fonts": False, "pdf_standards": "a-2u"},
    {"ignore_system_fonts": False},
)
_NO_FACE = "could not be displayed"


def paper_of(name: str) -> Paper:
    """Return the paper of that name. Raises InvalidInput where there is none."""
    for paper in PAPERS:
        if paper == name:
            return paper
    raise InvalidInput(
        [
            Fault(
                path="paper",
                value=name,
                problem="documents are not set on that paper.",
                remedy=f"Write {' or '.join(PAPERS)}.",
            )
        ]
    )


def set_on_paper(
    template: str,
    data: Mapping[str, Any],
    *,
    paper: Paper = "a4",
    drawings: Mapping[str, Drawing] | None = None,
    pictures: Mapping[str, str] | None = None,
) -> bytes:
    """Return a PDF.

    Args:
        template: Name of a template beside this file, without its ending.
        data: What the template shows; anything JSON can hold.
        paper: What it is set on.
        drawings: By the name the template asks for them with.
        pictures: SVG that is no drawing of ours, the same way.
    """
    said = {
        "data": json.dumps(data, ensure_ascii=False),
        "paper": paper,
        "drawings": json.dumps(
            {**{k: _drawn(d) for k, d in (drawings or {}).items()}, **(pictures or {})}
        ),
    }
    source = files("mouldwright.documents").joinpath("templates", f"{template}.typ").read_bytes()
    for how in _WAYS[:-1]:
        try:
            return _made(source, said, how)
        except typst.TypstError as error:
            if _NO_FACE not in str(error):
                raise
    return _made(source, said, _WAYS[-1])


def _made(source: bytes, said: Mapping[str, str], how: Mapping[str, Any]) -> bytes:
    # Its stubs want every path to be of the kind of the source.
    made = typst.compile(  # type: ignore[call-overload]
        source, format="pdf", font_paths=_faces(), sys_inputs=said, timestamp=0, **how
    )
    assert isinstance(made, bytes)
    return made


def must_set() -> None:
    """Set a line on paper. Raises where the typesetter or its faces are missing."""
    if not any(Path(folder).glob("*.?tf") for folder in _faces()):
        raise FileNotFoundError("no face to set in was found")
    typst.compile(  # type: ignore[call-overload]  # as above
        b"A line.", format="pdf", font_paths=_faces(), ignore_system_fonts=True
    )


@lru_cache(maxsize=1)
def _faces() -> list[str]:
    return [str(Path(font_source_sans_pro.__file__).parent / "files")]


def _drawn(drawing: Drawing) -> str:
    """Return a drawing in paper's ink, lettered in the document's face."""
    return drawing.standalone("print").replace("Segoe UI", FACE)
