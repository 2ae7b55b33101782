"""What went wrong, as a page that says so and what to do next."""

from __future__ import annotations

from collections.abc import Sequence
from urllib.parse import urlsplit

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, Response

from mouldwright.domain.errors import (
    CannotBeMade,
    Conflict,
    HardLimit,
    InvalidInput,
    MouldwrightError,
    NotFound,
)
from mouldwright.usecases import errors
from mouldwright.usecases.session import COOKIE
from mouldwright.web.fault_words import FaultLine, fault_line
from mouldwright.web.render import Chrome, render
from mouldwright.web.visit import FormNotOurs, theme_of

# The kind of an error: its status, and what stands at the head of the page. First fit holds.
_KINDS: tuple[tuple[type[MouldwrightError], int, str], ...] = (
    (errors.NotSignedIn, 401, "Sign in first"),
    (FormNotOurs, 403, "Send it again"),
    (errors.TooManyTries, 429, "Too many wrong tries"),
    (errors.NotAllowed, 403, "That is not yours to do"),
    (errors.Unknown, 404, "There is no such sheet"),
    (NotFound, 404, "There is no such sheet"),
    (errors.AlreadyThere, 409, "That name is taken"),
    (errors.Stale, 409, "Someone changed it meanwhile"),
    (errors.KeyReused, 409, "That was done already"),
    (errors.TooLarge, 413, "That is too much at once"),
    (errors.Busy, 503, "Someone else is writing"),
    (errors.StoreReadOnly, 503, "It can only be read now"),
    (errors.StoreFull, 507, "There is no room left"),
    (Conflict, 409, "That does not fit how things stand"),
    (CannotBeMade, 422, "It cannot be made so"),
    (HardLimit, 422, "No plan can hold that"),
    (InvalidInput, 422, "Something in it cannot be right"),
    (MouldwrightError, 400, "That did not work"),
)


def add_fault_pages(pages: FastAPI) -> None:
    """Let every error end in a page."""
    pages.add_exception_handler(MouldwrightError, _ours)
    pages.add_exception_handler(HTTPException, _http)
    pages.add_exception_handler(RequestValidationError, _unreadable)
    pages.add_exception_handler(Exception, _unexpected)


def fault_page(
    request: Request,
    status: int,
    head: str,
    sentences: Sequence[str] = (),
    *,
    lines: Sequence[FaultLine] = (),
) -> HTMLResponse:
    """Return the page of an error, in sentences and with faults that lead to their fields."""
    chrome = Chrome(title=head, theme=theme_of(request), path="/")
    signed_in = bool(request.cookies.get(COOKIE)) and status != 401
    page = render(
        "fault.html",
        chrome=chrome,
        head=head,
        lines=[*(FaultLine(sentence=each) for each in sentences), *lines],
        status=status,
        back=_came_from(request),
        signed_in=signed_in,
    )
    return HTMLResponse(page, status_code=status)


def _came_from(request: Request) -> str:
    """Return the page of ours that led here, else where every page can be reached from."""
    said = urlsplit(request.headers.get("referer", ""))
    ours = said.netloc == request.headers.get("host") and said.path.startswith("/")
    if not ours or said.path.startswith("//"):
        return "/"
    back = said.path + (f"?{said.query}" if said.query else "")
    return "/" if back == str(request.url.path) else back


def _shop_in(request: Request) -> str:
    return str(request.path_params.get("shop", ""))


def _ours(request: Request, error: Exception) -> Response:
    status, head = next((s, h) for kind, s, h in _KINDS if isinstance(error, kind))
    shop = _shop_in(request)
    if isinstance(error, InvalidInput) and shop:
        lines = [fault_line(shop, fault) for fault in error.faults]
        return fault_page(request, status, head, lines=lines)
    if isinstance(error, InvalidInput):
        sentences = [str(fault) for fault in error.faults]
    elif isinstance(error, CannotBeMade | HardLimit):
        sentences = list(error.reasons)
    else:
        sentences = [str(error)]
    page = fault_page(request, status, head, sentences)
    if isinstance(error, errors.TooManyTries):
        page.headers["Retry-After"] = str(error.wait_s)
    return page


def _http(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 400
    if status == 404:
        return fault_page(request, 404, "There is no such sheet", ["The address leads nowhere."])
    if status == 405:
        words = "This address is not for opening: use the button of the page it belongs to."
        return fault_page(request, 405, "Not this way", [words])
    if status == 413:
        return fault_page(request, 413, "That is too much at once", ["Send a smaller file."])
    return fault_page(request, status, "That did not work", ["The request could not be read."])


def _unreadable(request: Request, error: Exception) -> Response:
    if _shop_in(request):
        return fault_page(request, 404, "There is no such sheet", ["The address leads nowhere."])
    return fault_page(request, 422, "Something in it cannot be right", ["Check the address."])


def _unexpected(request: Request, error: Exception) -> Response:
    words = [
        "The fault is ours, and it has been noted. Nothing you sent was kept halfway.",
        "Try again; if it comes back, tell whoever runs this bench's service the time it happened.",
    ]
    return fault_page(request, 500, "Something broke here", words)
