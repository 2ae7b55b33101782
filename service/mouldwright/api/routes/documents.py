"""Documents of what is kept: a quote as a PDF."""

from __future__ import annotations

from typing import Annotated

from fastapi import Path, Query
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Viewer, new_router, sent
from mouldwright.api.kinds import problems
from mouldwright.documents.quote_pdf import file_name, quote_pdf
from mouldwright.documents.quote_sheet import quote_sheet
from mouldwright.documents.setting import Paper
from mouldwright.documents.wording import Language
from mouldwright.usecases.given_out import given_out

PDF = "application/pdf"
_Number = Annotated[int, Path(ge=1, le=2**31 - 1, examples=[1])]

router = new_router(SHOP, "documents")


@router.get(
    "/quotes/{number}/revisions/{revision}/pdf",
    operation_id="read_quote_pdf",
    response_class=Response,
    responses={
        200: {"content": {PDF: {"schema": {"type": "string", "format": "binary"}}}},
        **problems(422),
    },
)
def read_quote_pdf(
    seat: Viewer,
    number: _Number,
    revision: _Number,
    language: Annotated[Language, Query(description="what it is written in")] = "en",
    paper: Annotated[Paper, Query(description="what it is set on")] = "a4",
) -> Response:
    """Return a revision of a quote as its customer reads it, set on paper."""
    found = given_out(seat.services, seat.shop, number, revision)
    made = quote_pdf(quote_sheet(found.shop, found.revision, language=language), paper=paper)
    named = f'attachment; filename="{file_name(found.revision)}"'
    return sent(made, media_type=PDF, headers={"Content-Disposition": named})
