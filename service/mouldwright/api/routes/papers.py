"""Papers for the bench: day sheets, labels for moulds, what to buy."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any

from fastapi import Query, Request
from starlette.responses import Response

from mouldwright.api.deps import SHOP, Viewer, new_router, sent
from mouldwright.api.kinds import problems
from mouldwright.documents.buy_paper import buy_pdf
from mouldwright.documents.day_paper import day_pdf
from mouldwright.documents.mould_labels import labels_pdf, moulds_of
from mouldwright.documents.setting import Paper
from mouldwright.usecases import questions
from mouldwright.usecases.papers import asked_day, families_asked
from mouldwright.usecases.shelf import open_kept

PDF = "application/pdf"
_FILE: dict[int | str, dict[str, Any]] = {
    200: {"content": {PDF: {"schema": {"type": "string", "format": "binary"}}}}
}
_Paper = Annotated[Paper, Query(description="what it is set on")]

router = new_router(f"{SHOP}/papers", "documents")


@router.get(
    "/day-sheet.pdf",
    operation_id="read_day_sheet_pdf",
    response_class=Response,
    responses={**_FILE, **problems(422)},
)
def read_day_sheet(
    seat: Viewer,
    day: Annotated[date | None, Query(description="left out, today")] = None,
    person: Annotated[str | None, Query(max_length=200, description="left out, everyone")] = None,
    paper: _Paper = "a4",
) -> Response:
    """Return day sheets by the plan that holds, a page for each person."""
    asked = asked_day(seat.services, seat.shop, person=person, day=day)
    return _sent(day_pdf(asked, paper=paper), f"day-{asked.day.isoformat()}.pdf")


@router.get(
    "/mould-labels.pdf",
    operation_id="read_mould_labels_pdf",
    response_class=Response,
    responses={**_FILE, **problems(422)},
)
def read_labels(
    request: Request,
    seat: Viewer,
    family: Annotated[
        list[str], Query(max_length=200, description="key of a family of moulds; left out, all")
    ] = [],  # noqa: B006  # each request gets a list of its own
    paper: _Paper = "a4",
) -> Response:
    """Return a label for each mould, with a code that opens its page."""
    shop = open_kept(seat.services.units, seat.services.written, seat.shop).shop
    moulds = moulds_of(shop, families_asked(shop, family))
    address = seat.services.address(str(request.base_url))
    return _sent(labels_pdf(shop, seat.shop, moulds, address, paper=paper), "mould-labels.pdf")


@router.get(
    "/buy-list.pdf",
    operation_id="read_buy_list_pdf",
    response_class=Response,
    responses={**_FILE, **problems(409, 422)},
)
def read_buy_list(
    seat: Viewer,
    by: Annotated[
        date | None, Query(description="the day it must be there; left out, as soon as it comes")
    ] = None,
    paper: _Paper = "a4",
) -> Response:
    """Return the cheapest packs for what the open orders draw beyond stock."""
    said = None if by is None else by.isoformat()
    found = questions.to_buy(seat.services, seat.shop, by=said, beside=None)
    return _sent(buy_pdf(found, paper=paper), f"buy-{found.today.isoformat()}.pdf")


def _sent(made: bytes, name: str) -> Response:
    named = f'attachment; filename="{name}"'
    return sent(made, media_type=PDF, headers={"Content-Disposition": named})
