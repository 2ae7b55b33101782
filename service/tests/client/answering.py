"""A service that answers by hand: what it was asked is kept, what it answers is given."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import httpx

from mouldwright.client.connection import Connection
from mouldwright.client.retry import Retry

ADDRESS = "http://bench.test:8765"
Answer = httpx.Response | Exception | Callable[[httpx.Request], httpx.Response]


class Service:
    """Gives one answer after another, the last one for ever."""

    def __init__(self, *answers: Answer) -> None:
        self.answers, self.asked, self.waits = list(answers), [], []

    def __call__(self, request: httpx.Request) -> httpx.Response:
        self.asked.append(request)
        answer = self.answers.pop(0) if len(self.answers) > 1 else self.answers[0]
        if isinstance(answer, Exception):
            raise answer
        return answer(request) if callable(answer) else answer

    @property
    def transport(self) -> httpx.MockTransport:
        return httpx.MockTransport(self)

    def connection(self, *, drawn: float = 1.0, attempts: int = 6, **more: Any) -> Connection:
        """Return a connection whose waits are noted, not waited for."""
        return Connection(
            ADDRESS,
            retry=Retry(attempts=attempts),
            transport=self.transport,
            sleep=self.waits.append,
            draw=lambda: drawn,
            **more,
        )

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
