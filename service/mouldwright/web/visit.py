"""One visit to a page: who comes, to which shop, and what the page needs to answer."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any
from urllib.parse import quote, unquote

from fastapi import Depends, Request
from starlette.datastructures import FormData
from starlette.responses import HTMLResponse, RedirectResponse, Response

from mouldwright.domain.errors import MouldwrightError
from mouldwright.usecases.access import admit, caller
from mouldwright.usecases.audit import actor_of
from mouldwright.usecases.errors import NotSignedIn
from mouldwright.usecases.kept import Role, Token
from mouldwright.usecases.services import Services
from mouldwright.usecases.session import COOKIE, FORM_KEY, form_key, form_key_holds
from mouldwright.web.render import Chrome, render

SAID, THEME = "mouldwright_said", "mouldwright_theme"
THEMES = ("device", "light", "dark")
_A_YEAR_S = 31_536_000
LONGEST_SAID = 600


class FormNotOurs(MouldwrightError):
    """A form came that no page of ours showed to this visitor."""

    def __init__(self) -> None:
        """Say what to do."""
        super().__init__(
            "This form was not shown by a page of yours. Open the page again, then send it."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """A request by someone signed in.

    Attributes:
        shop: Key of the shop it is about; empty where it is about none.
        secret: Of the token; it never goes into a page.
    """

    request: Request
    services: Services
    token: Token
    secret: str
    shop: str

    @property
    def now(self) -> datetime:
        """Return the present, zone-aware."""
        return self.services.clock()

    def may(self, role: Role) -> bool:
        """Return whether the visitor's role reaches so far."""
        return self.token.role.reaches(role)

    def must(self, role: Role) -> None:
        """Raise NotAllowed where the visitor's role does not reach so far."""
        admit(self.token, role, shop=self.shop or None)

    def show(
        self,
        template: str,
        *,
        title: str,
        shop_name: str = "",
        place: str = "",
        status: int = 200,
        **values: Any,
    ) -> HTMLResponse:
        """Return a page.

        Args:
            template: Its file.
            title: Of the window.
            shop_name: At the head of the sheet.
            place: Key of its entry at the head.
            status: Of the answer.
            values: What the template shows.
        """
        chrome = Chrome(
            title=title,
            shop=self.shop,
            shop_name=shop_name,
            place=place,
            theme=theme_of(self.request),
            form_key=form_key(self.secret),
            role=self.token.role.value,
            said=said(self.request),
            path=here(self.request),
        )
        response = HTMLResponse(
            render(template, chrome=chrome, form_key=chrome.form_key, **values), status_code=status
        )
        if chrome.said:
            response.delete_cookie(SAID, path="/")
        return response

    def part(self, template: str, **values: Any) -> HTMLResponse:
        """Return a piece of a page, to be put into one that is shown."""
        return HTMLResponse(render(template, form_key=form_key(self.secret), **values))

    def go(self, path: str, *, say: str = "") -> RedirectResponse:
        """Return an answer that sends the browser on, with a sentence for the next page."""
        response = RedirectResponse(path, status_code=303)
        if say:
            say_next(response, say, secure=is_secure(self.request))
        return response


def here(request: Request) -> str:
    """Return the path and query of a page, to come back to."""
    return request.url.path + (f"?{request.url.query}" if request.url.query else "")


def is_secure(request: Request) -> bool:
    """Return whether a page came over https, so that its cookies go nowhere else."""
    return request.url.scheme == "https"


def theme_of(request: Request) -> str:
    """Return the reader's choice of light or dark; "device" where none was made."""
    chosen = request.cookies.get(THEME, "device")
    return chosen if chosen in THEMES else "device"


def said(request: Request) -> str:
    """Return the sentence that the page before left."""
    return unquote(request.cookies.get(SAID, ""))[:LONGEST_SAID]


def say_next(response: Response, sentence: str, *, secure: bool) -> None:
    """Leave a sentence for the next page."""
    response.set_cookie(
        SAID,
        quote(sentence[:LONGEST_SAID], safe=""),
        max_age=60,
        httponly=True,
        samesite="lax",
        secure=secure,
    )


def keep_theme(response: Response, chosen: str, *, secure: bool) -> None:
    """Keep the reader's choice of light or dark for a year."""
    response.set_cookie(
        THEME, chosen, max_age=_A_YEAR_S, httponly=True, samesite="lax", secure=secure
    )


def services_of(request: Request) -> Services:
    """Return the services the pages were hung up with."""
    services: Services = request.app.state.services
    return services


def request_id(request: Request) -> str:
    """Return the id that the answer and the log of requests have too."""
    return str(getattr(request.state, "request_id", ""))


def one_try(request: Request) -> AbstractContextManager[None]:
    """Return what a secret is tried within that opens something by itself. Raises TooManyTries."""
    services = services_of(request)
    came_from = request.client.host if request.client else ""
    return services.guesses.one(came_from, services.clock())


def signed_in(request: Request) -> Visit:
    """Return the visit of whoever the cookie names. Raises NotSignedIn."""
    services = services_of(request)
    secret = request.cookies.get(COOKIE, "")
    if not secret:
        raise NotSignedIn
    token = caller(services.units, secret, now=services.clock())
    services = services.acting(actor_of(token, request_id(request)))
    return Visit(request=request, services=services, token=token, secret=secret, shop="")


def in_shop(request: Request, shop: str) -> Visit:
    """Return the visit to a shop. Raises NotSignedIn; Unknown where it is another's shop."""
    visit = signed_in(request)
    admit(visit.token, Role.VIEWER, shop=shop)
    return Visit(
        request=request,
        services=visit.services,
        token=visit.token,
        secret=visit.secret,
        shop=shop,
    )


async def any_form(request: Request) -> AsyncIterator[FormData]:
    """Give the form that was sent, by whomever.

    Reading the body is the one thing here that waits; what follows runs in a thread.
    """
    async with request.form(max_files=5, max_fields=200) as form:
        yield form


def posted(request: Request, form: Annotated[FormData, Depends(any_form)]) -> FormData:
    """Return the form that was sent, its key checked against the session's.

    Raises:
        FormNotOurs: if the form does not carry the key of this session.
    """
    shown = form.get(FORM_KEY, "")
    secret = request.cookies.get(COOKIE, "")
    if not secret or not isinstance(shown, str) or not form_key_holds(secret, shown):
        raise FormNotOurs
    return form


SignedIn = Annotated[Visit, Depends(signed_in)]
InShop = Annotated[Visit, Depends(in_shop)]
AnyForm = Annotated[FormData, Depends(any_form)]
Posted = Annotated[FormData, Depends(posted)]


def text_of(form: FormData, name: str) -> str:
    """Return a field of a form as text without blanks around it; empty where it is missing."""
    value = form.get(name, "")
    return value.strip() if isinstance(value, str) else ""
