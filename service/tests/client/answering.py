"""A service that answers by hand: what it was asked is kept, what it answers is given."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any, TypeVar

import httpx
from pydantic import BaseModel

from mouldwright.client.async_connection import AsyncConnection
from mouldwright.client.call import Call
from mouldwright.client.connection import Connection
from mouldwright.client.kept import Kept
from mouldwright.client.retry import Retry
from mouldwright.client.steps import Steps, Tells

ADDRESS = "http://bench.test:8765"
Answer = httpx.Response | Exception | Callable[[httpx.Request], httpx.Response]
M = TypeVar("M", bound=BaseModel)
T = TypeVar("T")


class Asker:
    """Asks in turn or beside other work, and gives what comes of it to a test that waits."""

    def __init__(self, connection: Connection | AsyncConnection) -> None:
        self.connection = connection

    def run(self, steps: Steps[T]) -> T:
        asked = self.connection.run(steps)
        return asyncio.run(asked) if asyncio.iscoroutine(asked) else asked

    def told(self, steps: Tells[T]) -> list[T]:
        if isinstance(self.connection, Connection):
            return list(self.connection.told(steps))
        told = self.connection.told(steps)

        async def all_of_it() -> list[T]:
            return [each async for each in told]

        return asyncio.run(all_of_it())

    def read(self, call: Call, answer: type[M]) -> Kept[M]:
        return self.run(self.connection.read(call, answer))

    def read_anew(self, call: Call, answer: type[M], known: Kept[M]) -> Kept[M]:
        return self.run(self.connection.read_anew(call, answer, known))


class Service:
    """Gives one answer after another, the last one for ever."""

    def __init__(self, *answers: Answer, beside: bool = False) -> None:
        """Keep what it answers, and whether it is asked beside other work."""
        self.answers, self.asked, self.waits = list(answers), [], []
        self.beside = beside

    def __call__(self, request: httpx.Request) -> httpx.Response:
        self.asked.append(request)
        answer = self.answers.pop(0) if len(self.answers) > 1 else self.answers[0]
        if isinstance(answer, Exception):
            raise answer
        if callable(answer):
            return answer(request)
        # One of its own each time: an answer that was read in one way cannot be in the other.
        return httpx.Response(answer.status_code, headers=answer.headers, content=answer.content)

    @property
    def transport(self) -> httpx.MockTransport:
        return httpx.MockTransport(self)

    def asker(self, *, drawn: float = 1.0, attempts: int = 6, **more: Any) -> Asker:
        """Return who asks it; the waits are noted, not waited for."""
        settings = {
            "retry": Retry(attempts=attempts),
            "transport": self.transport,
            "draw": lambda: drawn,
            **more,
        }
        if self.beside:
            return Asker(AsyncConnection(ADDRESS, sleep=self._note_wait, **settings))
        return Asker(Connection(ADDRESS, sleep=self.waits.append, **settings))

    async def _note_wait(self, seconds: float) -> None:
        self.waits.append(seconds)

    def sent(self, header: str) -> list[str | None]:
        """Return what came in a header, request by request."""
        return [request.headers.get(header) for request in self.asked]


def problem(status: int, kind: str, *errors: dict[str, Any], **headers: str) -> httpx.Response:
    return httpx.Response(
        status,
        json={
            "type": f"/v1/problems/{kind}",
            "title": "A title",
            "status": status,
            "detail": "What is wrong.",
            "errors": list(errors),
        },
        headers={"content-type": "application/problem+json", **headers},
    )


def ok(value: Any, **headers: str) -> httpx.Response:
    return httpx.Response(200, json=value, headers=headers)
