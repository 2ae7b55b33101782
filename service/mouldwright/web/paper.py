"""Documents handed to a browser as files."""

from __future__ import annotations

from starlette.responses import Response

from mouldwright.documents.quote_pdf import file_name, quote_pdf
from mouldwright.documents.quote_sheet import quote_sheet
from mouldwright.documents.setting import paper_of
from mouldwright.usecases.given_out import GivenOut


def quote_file(
    found: GivenOut, *, language: str, paper: str, headers: dict[str, str] | None = None
) -> Response:
    """Return a quote's PDF, to be saved. Raises InvalidInput where it cannot be written so."""
    made = quote_pdf(
        quote_sheet(found.shop, found.revision, language=language), paper=paper_of(paper)
    )
    named = {"content-disposition": f'attachment; filename="{file_name(found.revision)}"'}
    return Response(made, media_type="application/pdf", headers={**named, **(headers or {})})
