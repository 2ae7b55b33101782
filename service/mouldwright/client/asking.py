"""How the service is asked: who asks, once or again, and what came back; no waiting in here."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any, TypeVar

import httpx
from pydantic import BaseModel, ValidationError

from mouldwright.client.call import Call
from mouldwright.client.errors import NoAnswer, Refused
from mouldwright.client.kept import Kept
from mouldwright.client.retry import Retry
from mouldwright.client.steps import Line, Open, Send, Steps, Tell, Tells, Wait
from mouldwright.wire.service.problem import Problem

_LOOPBACK = {"127.0.0.1", "::1", "localhost"}
# The service says with these that nothing was done.
_TRY_AGAIN = {429, 503}
# A 503 of a service that is being stopped says that it does not know.
_PERHAPS_DONE = {"stopping"}
# These come from what stands before the service, and may hide that it was done.
_LOST = {502, 504}
# Kinds of problem that pass by waiting: the same request is still being worked on.
_STILL_WORKING = {"key-in-flight"}

T = TypeVar("T")
M = TypeVar("M", bound=BaseModel)


class Asking:
    """Says step by step how the service is asked, again where that can do no harm.

    Attributes:
        address: Of the service.
        token: Shown with each request.
    """

    def __init__(
        self,
        address: str,
        *,
        token: str | None = None,
        retry: Retry | None = None,
        timeout_s: float = 60.0,
        draw: Callable[[], float] = random.random,
    ) -> None:
        """Keep where and how; nothing is asked yet.

        Args:
            address: Of the service, such as ``http://127.0.0.1:8765``.
            token: Shown with each request.
            retry: How often it is asked again.
            timeout_s: How long one attempt may be silent, seconds.
            draw: Gives a number from 0 to 1.

        Raises:
            ValueError: if the address is none.
        """
        url = httpx.URL(address)
        if url.scheme not in ("http", "https") or not url.host:
            raise ValueError(f"address = {address!r}: write it as http://127.0.0.1:8765.")
        self.address = address.rstrip("/")
        self.token = token
        self._retry, self._draw = retry or Retry(), draw
        # What both kinds of connection are opened with.
        self._with: dict[str, Any] = {
            "base_url": self.address,
            "timeout": timeout_s,
            # What stands on this machine is not reached through a proxy.
            "trust_env": url.host not in _LOOPBACK,
            "limits": httpx.Limits(max_connections=None, max_keepalive_connections=64),
        }

    @property
    def attempts(self) -> int:
        """Return how often a thing is asked in all."""
        return self._retry.attempts

    def read(self, call: Call, answer: type[M]) -> Steps[Kept[M]]:
        """Ask, and return the answer with the state it was in.

        Raises:
            Refused: if the service says no.
            NoAnswer: if none came, or none that can be read.
        """
        found = yield from self.ask(call)
        return Kept(_parsed(found, answer, call), found.headers.get("etag"))

    def value(self, call: Call, answer: type[M]) -> Steps[M]:
        """Ask, and return the answer by itself. Raises Refused, NoAnswer."""
        return (yield from self.read(call, answer)).value

    def read_anew(self, call: Call, answer: type[M], known: Kept[M] | None) -> Steps[Kept[M]]:
        """Ask for what may have been read before; the same comes back where it still holds.

        Raises:
            Refused: if the service says no.
            NoAnswer: if none came, or none that can be read.
        """
        if known is None or known.etag is None:
            return (yield from self.read(call, answer))
        known_as = {**call.headers, "If-None-Match": known.etag}
        found = yield from self.ask(replace(call, headers=known_as))
        if found.status_code == httpx.codes.NOT_MODIFIED:
            return known
        return Kept(_parsed(found, answer, call), found.headers.get("etag"))

    def pages(
        self, call: Call, answer: type[M], page: Callable[[M], tuple[Sequence[T], str | None]]
    ) -> Tells[T]:
        """Ask for one page after another and tell what stands on them. Raises Refused, NoAnswer.

        Args:
            call: For the first page.
            answer: What a page is read as.
            page: Returns what stands on one, and where the next begins; None after the last.
        """
        following: str | None = None
        while True:
            query = {**call.query, "cursor": following}
            found = yield from self.value(replace(call, query=query), answer)
            entries, following = page(found)
            for entry in entries:
                yield Tell(entry)
            if following is None:
                return

    def done(self, call: Call) -> Steps[None]:
        """Ask for what has no answer but that it was done. Raises Refused, NoAnswer."""
        yield from self.ask(call)

    def text(self, call: Call) -> Steps[str]:
        """Ask for a text. Raises Refused, NoAnswer."""
        return (yield from self.ask(call)).text

    def content(self, call: Call) -> Steps[bytes]:
        """Ask for a file. Raises Refused, NoAnswer."""
        return (yield from self.ask(call)).content

    def ask(self, call: Call) -> Steps[httpx.Response]:
        """Ask until there is an answer that stands. Raises Refused, NoAnswer."""
        tried = 0
        while True:
            tried += 1
            last = tried == self._retry.attempts
            try:
                found: httpx.Response = yield Send(call)
            except httpx.TransportError as error:
                unsent = _never_sent(error)
                if last or not (unsent or call.may_be_repeated):
                    raise NoAnswer(
                        f"No answer from {self.address}: {_why(error)}.",
                        perhaps_done=not unsent and not call.changes_nothing,
                    ) from error
                yield self._pause(tried, None)
                continue
            if found.is_success or found.status_code == httpx.codes.NOT_MODIFIED:
                return found
            refused = _refused(found, call)
            if last or not _passes(refused, call):
                raise refused
            yield self._pause(tried, _told_s(found))

    def open(self, call: Call) -> Steps[httpx.Response]:
        """Open an answer that is read line by line; not asked again.

        Raises:
            Refused: if the service says no.
            NoAnswer: if none came.
        """
        try:
            found: httpx.Response = yield Open(call)
        except httpx.TransportError as error:
            raise self._broke_off(error) from error
        if not found.is_success:
            raise _refused(found, call)
        return found

    def line(self) -> Steps[str | None]:
        """Return the next line of what was opened, None at its end. Raises NoAnswer."""
        try:
            line: str | None = yield Line()
        except httpx.TransportError as error:
            raise self._broke_off(error) from error
        return line

    def _broke_off(self, error: httpx.TransportError) -> NoAnswer:
        return NoAnswer(
            f"The answer of {self.address} broke off: {_why(error)}.", perhaps_done=False
        )

    def _pause(self, tried: int, told_s: float | None) -> Wait:
        return Wait(self._retry.wait_s(tried, drawn=self._draw(), told_s=told_s))

    def _request(self, call: Call, http: httpx.Client | httpx.AsyncClient) -> httpx.Request:
        """Return a call as it goes out, for whichever sends it."""
        headers = call.sent_headers()
        if self.token is not None:
            headers["Authorization"] = f"Bearer {self.token}"
        return http.build_request(
            call.method,
            call.path,
            params=call.sent_query(),
            headers=headers,
            content=call.sent_body(),
        )


def _never_sent(error: httpx.TransportError) -> bool:
    return isinstance(error, httpx.ConnectError | httpx.ConnectTimeout | httpx.PoolTimeout)


def _passes(refused: Refused, call: Call) -> bool:
    if refused.kind in _PERHAPS_DONE:
        return call.may_be_repeated
    if refused.status in _TRY_AGAIN:
        return True
    return call.may_be_repeated and (refused.status in _LOST or refused.kind in _STILL_WORKING)


def _told_s(found: httpx.Response) -> float | None:
    """Return the seconds of a Retry-After; a date in it is left aside."""
    told = found.headers.get("retry-after", "")
    return float(told) if told.isascii() and told.isdigit() else None


def _refused(found: httpx.Response, call: Call) -> Refused:
    request_id = found.headers.get("x-request-id", "")
    try:
        problem = Problem.model_validate_json(found.content)
    except ValidationError:
        # Whatever stands between answers in a way of its own.
        problem = Problem(
            type="about:blank",
            title=found.reason_phrase or "Refused",
            status=found.status_code,
            detail=f"{call.method} {call.path} was answered {found.status_code} without a reason.",
            errors=[],
        )
    return Refused(problem, request_id=request_id)


def _parsed(found: httpx.Response, answer: type[M], call: Call) -> M:
    try:
        return answer.model_validate_json(found.content)
    except ValidationError as error:
        raise NoAnswer(
            f"The answer to {call.method} {call.path} is not {answer.__name__}: "
            f"{error.errors()[0]['msg']}.",
            perhaps_done=not call.changes_nothing,
        ) from error


def _why(error: httpx.TransportError) -> str:
    return str(error) or type(error).__name__
