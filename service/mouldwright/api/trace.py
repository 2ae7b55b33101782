"""Around every request: an id, headers that keep browsers careful, a line in the log."""

from __future__ import annotations

import asyncio
import logging
import re
import secrets
import time

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from mouldwright import tracing
from mouldwright.api.faults import problem_response
from mouldwright.api.kinds import KINDS
from mouldwright.api.metrics import Metrics

_log = logging.getLogger("mouldwright.requests")
_GIVEN_ID = re.compile(r"[A-Za-z0-9._-]{8,64}")

# Pages say more precisely what they need; what says nothing needs nothing.
_CAREFUL = {
    "Content-Security-Policy": "default-src 'none'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "private, no-cache",
}


class Trace:
    """Gives a request its id and its headers, notes it, and answers where something broke.

    The log has the route's pattern, never the address itself: that may name a customer or
    hold the code of a link.
    """

    def __init__(self, app: ASGIApp, *, metrics: Metrics) -> None:
        """Stand around an application."""
        self._app, self._metrics = app, metrics

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        with tracing.span("request", under=headers.get("traceparent", "")) as facts:
            await self._answer(scope, receive, send, headers, facts)

    async def _answer(
        self, scope: Scope, receive: Receive, send: Send, asked: Headers, facts: dict[str, object]
    ) -> None:
        given = asked.get("x-request-id", "")
        request_id = given if _GIVEN_ID.fullmatch(given) else secrets.token_hex(8)
        scope.setdefault("state", {})["request_id"] = request_id
        began = time.perf_counter()
        self._metrics.begun()
        status = 0

        async def tell(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                headers = MutableHeaders(scope=message)
                headers["X-Request-Id"] = request_id
                if scope["method"] == "POST":
                    # It may show a secret, this once: that is kept nowhere on the way.
                    headers["Cache-Control"] = "no-store"
                for name, value in _CAREFUL.items():
                    headers.setdefault(name, value)
            await send(message)

        try:
            await self._app(scope, receive, tell)
        except asyncio.CancelledError:
            # The server lets go of what is under way for too long once it is told to stop.
            if status:
                raise
            stopped = problem_response(KINDS["stopping"], KINDS["stopping"].meaning)
            await stopped(scope, receive, tell)
        except Exception as error:
            _log.error("failed", exc_info=error, extra={"facts": {"request": request_id}})
            if status:
                raise
            failed = problem_response(KINDS["failed"], KINDS["failed"].meaning)
            await failed(scope, receive, tell)
        finally:
            seconds = time.perf_counter() - began
            facts |= self._noted(scope, request_id, status, seconds)

    def _noted(
        self, scope: Scope, request_id: str, status: int, seconds: float
    ) -> dict[str, object]:
        """Note a request that is over; return what is known of it."""
        route = getattr(scope.get("route"), "path", None)
        self._metrics.ended(scope["method"], route, status, seconds)
        facts = {
            "request": request_id,
            "method": scope["method"],
            "route": route,
            "status": status,
        }
        _log.info("request", extra={"facts": facts | {"ms": round(seconds * 1000, 1)}})
        return facts
