"""The service asked beside other work: whoever asks awaits the answer."""

from __future__ import annotations

import asyncio
import random
from collections.abc import AsyncGenerator, AsyncIterator, Awaitable, Callable
from contextlib import aclosing
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


class AsyncConnection(Asking):
    """Does the steps of many verbs side by side, those of each one after another."""

    def __init__(
        self,
        address: str,
        *,
        token: str | None = None,
        retry: Retry | None = None,
        timeout_s: float = 60.0,
        transport: httpx.AsyncBaseTransport | None = None,
        sleep: Callable[[float], Awaitable[None]] = asyncio.sleep,
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
        self._http = httpx.AsyncClient(transport=transport, **self._with)

    async def close(self) -> None:
        """Let go of the connections held."""
        await self._http.aclose()

    async def run(self, steps: Steps[T]) -> T:
        """Do the steps; return what comes of them. Raises what they raise."""
        async with aclosing(self._walk(steps)) as walked:
            async for step in walked:
                if isinstance(step, Ended):
                    return step.value
        raise AssertionError("steps end in an answer or an error")

    async def told(self, steps: Tells[T]) -> AsyncIterator[T]:
        """Do the steps; yield what they tell on the way. Raises what they raise."""
        async with aclosing(self._walk(steps)) as walked:
            async for step in walked:
                if isinstance(step, Tell):
                    yield step.value

    async def _walk(self, steps: Steps[T]) -> AsyncGenerator[Tell[Any] | Ended[T], None]:
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
                    reply = await hands.do(step)
                except httpx.TransportError as error:
                    lost = error
        finally:
            steps.close()
            await hands.close()


class _Hands:
    """Does one step after another of one verb; at most one answer is open at a time."""

    def __init__(
        self,
        http: httpx.AsyncClient,
        request: Callable[..., httpx.Request],
        sleep: Callable[[float], Awaitable[None]],
    ) -> None:
        self._http, self._request, self._sleep = http, request, sleep
        self._opened: httpx.Response | None = None
        self._lines: AsyncIterator[str] | None = None

    async def do(self, step: Step) -> object:
        match step:
            case Send(call):
                return await self._http.send(self._request(call, self._http))
            case Open(call):
                await self.close()
                found = await self._http.send(self._request(call, self._http), stream=True)
                self._opened, self._lines = found, found.aiter_lines()
                if not found.is_success:
                    await found.aread()
                return found
            case Line():
                return None if self._lines is None else await anext(self._lines, None)
            case Close():
                await self.close()
            case Wait(seconds):
                await self._sleep(seconds)
        return None

    async def close(self) -> None:
        if self._opened is not None:
            await self._opened.aclose()
            self._opened, self._lines = None, None
