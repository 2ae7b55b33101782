"""The one place from which the service is asked: who asks, once or again, and what came back."""

from __future__ import annotations

import random
import secrets
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from types import TracebackType
from typing import Self, TypeVar
from urllib.parse import quote

import httpx
from pydantic import BaseModel, ValidationError

from mouldwright.client.errors import NoAnswer, Refused
from mouldwright.client.kept import Kept
from mouldwright.client.retry import Retry
from mouldwright.wire.json_text import json_text
from mouldwright.wire.model import Model
from mouldwright.wire.service.problem import Problem

_LOOPBACK = {"127.0.0.1", "::1", "localhost"}
# The service says with these that nothing was done.
_TRY_AGAIN = {429, 503}
# These come from what stands before the service, and may hide that it was done.
_LOST = {502, 504}
# Kinds of problem that pass by waiting: the same request is still being worked on.
_STILL_WORKING = {"key-in-flight"}

M = TypeVar("M", bound=BaseModel)


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One thing to ask.

    Attributes:
        body: What is sent: a model, or JSON as it goes out; None for nothing.
        query: Left out where a value is None.
        etag: State that was read; it is changed only from that one.
        key: Makes it once, however often it is asked; None where nothing is made.
        keeps_nothing: Whether it is a question that changes nothing, though it has a body.
        headers: Any further ones.
    """

    method: str
    path: str
    body: BaseModel | str | None = None
    query: Mapping[str, str | int | bool | None] = field(default_factory=dict)
    etag: str | None = None
    key: str | None = None
    keeps_nothing: bool = False
    headers: Mapping[str, str] = field(default_factory=dict)

    @property
    def changes_nothing(self) -> bool:
        """Return whether everything is afterwards as it was."""
        return self.keeps_nothing or self.method in ("GET", "HEAD")

    @property
    def may_be_repeated(self) -> bool:
        """Return whether asking twice does no more than asking once.

        A change from a state that was read is not among them: if the first one was done
        and its answer lost, the second would be told that someone else was there first.
        """
        if self.changes_nothing or self.key is not None:
            return True
        return self.method in ("PUT", "DELETE") and self.etag is None

    def sent_headers(self) -> dict[str, str]:
        """Return the headers that go with it."""
        sent = {"Accept": "application/json, application/problem+json", **self.headers}
        if self.body is not None:
            sent["Content-Type"] = "application/json"
        if self.etag is not None:
            sent["If-Match"] = self.etag
        if self.key is not None:
            sent["Idempotency-Key"] = self.key
        return sent


def new_key() -> str:
    """Return a key that nothing was made with before."""
    return secrets.token_urlsafe(24)


class Connection:
    """Asks the service, again where that can do no harm, and reads what it answers."""

    def __init__(
        self,
        address: str,
        *,
        token: str | None = None,
        retry: Retry | None = None,
        timeout_s: float = 60.0,
        transport: httpx.BaseTransport | None = None,
        sleep: Callable[[float], None] = time.sleep,
        draw: Callable[[], float] = random.random,
    ) -> None:
        """Keep where and how; nothing is asked yet.

        Args:
            address: Of the service, such as ``http://127.0.0.1:8765``.
            token: Shown with each request.
            retry: How often it is asked again.
            timeout_s: How long one attempt may be silent, seconds.
            transport: Another way to the service than the network.
            sleep: Waits so many seconds.
            draw: Gives a number from 0 to 1.

        Raises:
            ValueError: if the address is none.
        """
        url = httpx.URL(address)
        if url.scheme not in ("http", "https") or not url.host:
            raise ValueError(f"address = {address!r}: write it as http://127.0.0.1:8765.")
        self.address = address.rstrip("/")
        self.token = token
        self._retry, self._sleep, self._draw = retry or Retry(), sleep, draw
        self._http = httpx.Client(
            base_url=self.address,
            timeout=timeout_s,
            transport=transport,
            # What stands on this machine is not reached through a proxy.
            trust_env=url.host not in _LOOPBACK,
            limits=httpx.Limits(max_connections=None, max_keepalive_connections=64),
        )

    def __enter__(self) -> Self:
        """Return itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Close it."""
        self.close()

    def close(self) -> None:
        """Let go of the connections held."""
        self._http.close()

    def read(self, call: Call, answer: type[M]) -> Kept[M]:
        """Ask, and return the answer with the state it was in.

        Raises:
            Refused: if the service says no.
            NoAnswer: if none came, or none that can be read.
        """
        found = self.ask(call)
        return Kept(_parsed(found, answer, call), found.headers.get("etag"))

    def read_anew(self, call: Call, answer: type[M], known: Kept[M] | None) -> Kept[M]:
        """Ask for what may have been read before; the same comes back where it still holds.

        Raises:
            Refused: if the service says no.
            NoAnswer: if none came, or none that can be read.
        """
        if known is None or known.etag is None:
            return self.read(call, answer)
        found = self.ask(replace(call, headers={**call.headers, "If-None-Match": known.etag}))
        if found.status_code == httpx.codes.NOT_MODIFIED:
            return known
        return Kept(_parsed(found, answer, call), found.headers.get("etag"))

    def done(self, call: Call) -> None:
        """Ask for what has no answer but that it was done. Raises Refused, NoAnswer."""
        self.ask(call)

    def text(self, call: Call) -> str:
        """Ask for a text. Raises Refused, NoAnswer."""
        return self.ask(call).text

    def content(self, call: Call) -> bytes:
        """Ask for a file. Raises Refused, NoAnswer."""
        return self.ask(call).content

    def ask(self, call: Call) -> httpx.Response:
        """Ask until there is an answer that stands. Raises Refused, NoAnswer."""
        request = self._request(call)
        tried = 0
        while True:
            tried += 1
            last = tried == self._retry.attempts
            try:
                found = self._http.send(request)
            except httpx.TransportError as error:
                unsent = _never_sent(error)
                if last or not (unsent or call.may_be_repeated):
                    raise NoAnswer(
                        f"No answer from {self.address}: {_why(error)}.",
                        perhaps_done=not unsent and not call.changes_nothing,
                    ) from error
                self._pause(tried, None)
                continue
            if found.is_success or found.status_code == httpx.codes.NOT_MODIFIED:
                return found
            refused = _refused(found, call)
            if last or not _passes(refused, call):
                raise refused
            self._pause(tried, _told_s(found))

    @contextmanager
    def stream(self, call: Call) -> Iterator[httpx.Response]:
        """Open an answer that is read as it comes; not asked again.

        Raises:
            Refused: if the service says no.
            NoAnswer: if none came.
        """
        try:
            with self._http.stream(call.method, call.path, headers=self._headers(call)) as found:
                if not found.is_success:
                    found.read()
                    raise _refused(found, call)
                yield found
        except httpx.TransportError as error:
            raise NoAnswer(
                f"The answer of {self.address} broke off: {_why(error)}.", perhaps_done=False
            ) from error

    def wait(self, seconds: float) -> None:
        """Wait."""
        self._sleep(seconds)

    @property
    def attempts(self) -> int:
        """Return how often a thing is asked in all."""
        return self._retry.attempts

    def _pause(self, tried: int, told_s: float | None) -> None:
        self._sleep(self._retry.wait_s(tried, drawn=self._draw(), told_s=told_s))

    def _headers(self, call: Call) -> dict[str, str]:
        sent = call.sent_headers()
        if self.token is not None:
            sent["Authorization"] = f"Bearer {self.token}"
        return sent

    def _request(self, call: Call) -> httpx.Request:
        return self._http.build_request(
            call.method,
            call.path,
            params=_query(call),
            headers=self._headers(call),
            content=_content(call.body),
        )


def segment(key: str | int) -> str:
    """Return a key as one step of a path, whatever it is made of."""
    return quote(str(key), safe="")


def _content(body: BaseModel | str | None) -> bytes | None:
    """Return a body as it goes out: what is left out of a question stays left out."""
    if isinstance(body, Model):
        return json_text(body.model_dump(by_alias=True, exclude_unset=True)).encode()
    if isinstance(body, BaseModel):
        return body.model_dump_json(exclude_unset=True).encode()
    return None if body is None else body.encode()


def _query(call: Call) -> dict[str, str | int]:
    return {
        name: str(value).lower() if isinstance(value, bool) else value
        for name, value in call.query.items()
        if value is not None
    }


def _never_sent(error: httpx.TransportError) -> bool:
    return isinstance(error, httpx.ConnectError | httpx.ConnectTimeout | httpx.PoolTimeout)


def _passes(refused: Refused, call: Call) -> bool:
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
