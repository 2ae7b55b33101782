"""A quote as a PDF."""

from __future__ import annotations

from dataclasses import asdict, replace

from mouldwright.documents.quote_sheet import QuoteSheet
from mouldwright.documents.setting import Paper, set_on_paper
from mouldwright.domain.promise.revision import QuoteRevision
from mouldwright.figures.section_drawing import draw_section

_DRAWING_PX = 300.0


def file_name(revision: QuoteRevision) -> str:
    """Return what the file of a quote is called."""
    return f"quote-{revision.number}-{revision.revision}.pdf"


def quote_pdf(sheet: QuoteSheet, *, paper: Paper = "a4") -> bytes:
    """Return the bytes of a quote's PDF; the same sheet gives the same bytes."""
    drawings = {}
    if sheet.section is not None:
        drawings["section"] = draw_section(sheet.section, width_px=_DRAWING_PX)
    # The drawing goes as a picture; its outline has no place in the data.
    pictures = {"mark": sheet.mark} if sheet.mark else {}
    return set_on_paper(
        "quote",
        asdict(replace(sheet, section=None, mark="")),
        paper=paper,
        drawings=drawings,
        pictures=pictures,
    )
