"""Coming in by a one-time link or a token, going out, and the choice of light or dark."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from mouldwright.usecases.access import by_code, caller, sign_in
from mouldwright.usecases.errors import NotSignedIn
from mouldwright.usecases.session import COOKIE, SIGN_IN, sign_out
from mouldwright.web.render import Chrome, render
from mouldwright.web.visit import (
    THEMES,
    AnyForm,
    Posted,
    SignedIn,
    is_secure,
    keep_theme,
    one_try,
    request_id,
    services_of,
    text_of,
    theme_of,
)

router = APIRouter()


@router.get(SIGN_IN)
def show_sign_in(request: Request, code: str = "") -> HTMLResponse:
    """Show the button that signs in: what merely opens a link, such as a preview, uses none up."""
    return _sign_in_page(request, code=code[:200])


@router.post(SIGN_IN)
def do_sign_in(request: Request, form: AnyForm) -> Response:
    """Sign in by a link's code or by a token."""
    services = services_of(request)
    code, secret = text_of(form, "code"), text_of(form, "token")
    try:
        with one_try(request):
            secret = _let_in(request, code, secret)
    except NotSignedIn as refused:
        said = str(refused) if code else "That token opens nothing: look for a slip, or ask anew."
        return _sign_in_page(request, problem=said, status=401)
    response = RedirectResponse("/", status_code=303)
    response.set_cookie(
        COOKIE,
        secret,
        max_age=services.limits.token_days * 86_400,
        httponly=True,
        samesite="lax",
        secure=is_secure(request),
    )
    return response


@router.post("/sign-out")
def do_sign_out(visit: SignedIn, form: Posted) -> Response:
    """Sign out; the link's token is withdrawn with it."""
    sign_out(visit.services.units, visit.token, now=visit.now)
    response = visit.go(SIGN_IN, say="You are signed out.")
    response.delete_cookie(COOKIE, path="/")
    # Whoever sits down next must not leaf back through pages that the browser kept.
    response.headers["clear-site-data"] = '"cache"'
    return response


@router.post("/theme")
def choose_theme(request: Request, form: AnyForm) -> Response:
    """Keep the reader's choice of light or dark, and go back to where it was made."""
    chosen, back = text_of(form, "theme"), text_of(form, "back")
    # Only to a page of ours: a path that begins with two strokes names another host.
    safe = back.startswith("/") and not back.startswith("//") and "\\" not in back
    response = RedirectResponse(back if safe else "/", status_code=303)
    if chosen in THEMES:
        keep_theme(response, chosen, secure=is_secure(request))
    return response


def _let_in(request: Request, code: str, secret: str) -> str:
    services = services_of(request).acting(by_code(request_id(request)))
    now = services.clock()
    if code:
        return sign_in(
            services.units,
            code,
            days=services.limits.token_days,
            now=now,
            chance=services.chance,
        ).secret
    caller(services.units, secret, now=now)
    return secret


def _sign_in_page(
    request: Request, *, code: str = "", problem: str = "", status: int = 200
) -> HTMLResponse:
    chrome = Chrome(title="Sign in", theme=theme_of(request), path=SIGN_IN)
    page = render("sign_in.html", chrome=chrome, code=code, problem=problem)
    # The code stands in the page's address: it goes to nobody as a referrer, and into no cache.
    # No referrer at all would hide from the service that its own page asks.
    headers = {"referrer-policy": "strict-origin", "cache-control": "no-store"}
    return HTMLResponse(page, status_code=status, headers=headers)
