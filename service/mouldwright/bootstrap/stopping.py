"""The end of a server: what is told when, and nobody waited for without end."""

from __future__ import annotations

import logging
import os
import signal
import socket
import sys
import threading
import time
from collections.abc import Callable

import uvicorn

_LAST_S = 2.0


def stoppable(config: uvicorn.Config, told: Callable[[], None]) -> uvicorn.Server:
    """Return a server that says when it begins to stop, before it waits for what is under way.

    Args:
        config: How it serves.
        told: Called once, on the loop; must be quick.
    """

    class Stoppable(uvicorn.Server):
        async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
            told()
            await super().shutdown(sockets)

    return Stoppable(config)


def in_peace() -> None:
    """Let no further signal break off the stopping, which ends by itself within seconds."""
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, signal.SIG_IGN)


def leave_behind() -> None:
    """End the process where threads of requests go on that nobody waits for any more.

    What they have committed is kept, what they have not is rolled back by the database; but the
    interpreter would wait for each of them, however long it takes.
    """
    until = time.monotonic() + _LAST_S
    for thread in threading.enumerate():
        if thread is not threading.current_thread() and not thread.daemon:
            thread.join(max(0.0, until - time.monotonic()))
    if any(
        thread is not threading.current_thread() and not thread.daemon
        for thread in threading.enumerate()
    ):
        logging.getLogger(__name__).warning("left behind what did not end in time")
        logging.shutdown()
        sys.stdout.flush()
        os._exit(0)
