"""The service asked in turn: whoever asks waits for the answer."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Generator, Iterator
from typing import Any, TypeVar

import httpx

from mouldwright.client.asking import Asking
from mouldwright.client.retry import Retry
from mouldwright.client.steps import (
    Close,
    Ended,
    Line,
    Open,
    Send,
    Step,
    Steps,
    Tell,
    Tells,
    Wait,
    next_step,
)

T = TypeVar("T")


class Connection(Asking):
    """Does the steps of a verb one after another. Threads may share one."""

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
        super().__init__(address, token=token, retry=retry, timeout_s=timeout_s, draw=draw)
        self._sleep = sleep
        self._http = httpx.Client(transport=transport, **self._with)

    def close(self) -> None:
        """Let go of the connections held."""
        self._http.close()

    def run(self, steps: Steps[T]) -> T:
        """Do the steps; return what comes of them. Raises what they raise."""
        for step in self._walk(steps):
            if isinstance(step, Ended):
                return step.value
        raise AssertionError("steps end in an answer or an error")

    def told(self, steps: Tells[T]) -> Iterator[T]:
        """Do the steps; yield what they tell on the way. Raises what they raise."""
        for step in self._walk(steps):
            if isinstance(step, Tell):
                yield step.value

    def _walk(self, steps: Steps[T]) -> Generator[Tell[Any] | Ended[T], None, None]:
        hands = _Hands(self._http, self._request, self._sleep)
        reply: object = None
        lost: Exception | None = None
        try:
            while True:
                step = next_step(steps, reply, lost)
                reply, lost = None, None
                if isinstance(step, Tell | Ended):
                    yield step
                    if isinstance(step, Ended):
                        return
                    continue
                try:
                    reply = hands.do(step)
                except httpx.TransportError as error:
                    lost = error
        finally:
            steps.close()
            hands.close()


class _Hands:
    """Does one step after another of one verb; at most one answer is open at a time."""

    def __init__(
        self,
        http: httpx.Client,
        request: Callable[..., httpx.Request],
        sleep: Callable[[float], None],
    ) -> None:
        self._http, self._request, self._sleep = http, request, sleep
        self._opened: httpx.Response | None = None
        self._lines: Iterator[str] = iter(())

    def do(self, step: Step) -> object:
        match step:
            case Send(call):
                return self._http.send(self._request(call, self._http))
            case Open(call):
                self.close()
                found = self._http.send(self._request(call, self._http), stream=True)
                self._opened, self._lines = found, found.iter_lines()
                if not found.is_success:
                    found.read()
                return found
            case Line():
                return next(self._lines, None)
            case Close():
                self.close()
            case Wait(seconds):
                self._sleep(seconds)
        return None

    def close(self) -> None:
        if self._opened is not None:
            self._opened.close()
            self._opened = None
