"""Who may speak to the service at all: by which name, from which site, with how much.

A page of another site can make a browser call an address on its own machine. So the name in
Host must be one the service is called by, and what changes something on the strength of a
cookie must come from a page of the service itself.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from urllib.parse import urlsplit

from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from mouldwright.api.faults import problem_response
from mouldwright.api.kinds import KINDS, Kind
from mouldwright.usecases.session import COOKIE

SAFE = {"GET", "HEAD", "OPTIONS", "TRACE"}
_HOST = re.compile(r"(\[[0-9a-f:.]+\]|[^:\[\]/@?#]+)(?::[0-9]{1,5})?", re.I)


class Guard:
    """Refuses what comes by another name or from another site."""

    def __init__(self, app: ASGIApp, *, called: Collection[str]) -> None:
        """Stand before an application.

        Args:
            app: The application.
            called: Names it is called by, small letters, without ports.
        """
        self._app, self._called = app, frozenset(called)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request pass, or refuse it."""
        refused = self._refused(scope) if scope["type"] == "http" else None
        if refused is None:
            await self._app(scope, receive, send)
            return
        await problem_response(refused, refused.meaning)(scope, receive, send)

    def _refused(self, scope: Scope) -> Kind | None:
        headers = Headers(scope=scope)
        hosts = headers.getlist("host")
        named = _HOST.fullmatch(hosts[0]) if len(hosts) == 1 else None
        if named is None or named[1].lower() not in self._called:
            return KINDS["misdirected"]
        # No database keeps a NUL, and nothing here is named with one.
        if "\x00" in scope["path"] or b"%00" in scope["query_string"]:
            return KINDS["no-such-address"]
        if scope["method"] in SAFE:
            return None
        if not _has_session(headers) and not _is_from_elsewhere(headers, scope["scheme"], hosts[0]):
            return None
        return None if _is_ours(headers, scope["scheme"], hosts[0]) else KINDS["other-origin"]


def _has_session(headers: Headers) -> bool:
    return any(f"{COOKIE}=" in cookie for cookie in headers.getlist("cookie"))


def _is_ours(headers: Headers, scheme: str, host: str) -> bool:
    """Return whether the browser says that a page of ours asks.

    A browser sends Origin with whatever changes something; one that hides it says by
    Sec-Fetch-Site where it came from.
    """
    origin = headers.get("origin")
    # A page that goes to nobody as a referrer hides its origin too.
    if origin is None or origin == "null":
        return headers.get("sec-fetch-site") == "same-origin"
    said = urlsplit(origin)
    return said.netloc.lower() == host.lower() and said.scheme in {scheme, "https"}


def _is_from_elsewhere(headers: Headers, scheme: str, host: str) -> bool:
    """Return whether a browser says that a page of another site asks, without a token of its own.

    Nobody is signed in yet where somebody signs in: a page of another site could do it for them.
    """
    if "authorization" in headers or headers.get("origin", "null") == "null":
        return False
    return not _is_ours(headers, scheme, host)


class BodyCap:
    """Refuses a body that is longer than is taken, however its length is given."""

    def __init__(self, app: ASGIApp, *, most_bytes: int) -> None:
        """Stand before an application."""
        self._app, self._most = app, most_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Count what comes in."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        said = Headers(scope=scope).get("content-length", "0")
        if said.isascii() and said.isdigit() and (len(said) > 18 or int(said) > self._most):
            kind = KINDS["too-large"]
            await problem_response(kind, self._detail())(scope, receive, send)
            return
        taken = 0

        async def counted() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > self._most:
                raise HTTPException(413)
            return message

        await self._app(scope, counted, send)

    def _detail(self) -> str:
        return f"The body is longer than is taken at once: at most {self._most:,} bytes."
