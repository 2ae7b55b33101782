"""A server of a test's own: the program itself on a free port, its worker beside it."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from mouldwright.client import Client

# The demo shop's own start, 8:30 on a Monday in Lisbon, which is UTC in winter.
DEMO_START = datetime(2027, 3, 1, 8, 30, tzinfo=UTC)
_LINK = re.compile(r"https?://\S+/sign-in\?code=\S+")
_SLOWEST_START_S = 300.0


class Server:
    """``mouldwright serve`` as a process, started, killed and started again on one port."""

    def __init__(
        self, folder: Path, url: str, *, before: Sequence[str] = (), **settings: Any
    ) -> None:
        """Keep how it is started.

        Args:
            folder: For its output.
            url: Of its database.
            before: Words that stand before its command.
            settings: By their names, over those of the test run.
        """
        self.folder, self.url, self.port = folder, url, free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self.ahead = DEMO_START - datetime.now(UTC)
        self._before = before
        self._settings = {"clock_ahead_seconds": self.ahead.total_seconds(), **settings}
        self._process: subprocess.Popen[str] | None = None
        self._said: list[str] = []
        self._reader: threading.Thread | None = None

    @property
    def pid(self) -> int:
        assert self._process is not None
        return self._process.pid

    @property
    def said(self) -> str:
        """Return what it has printed since it was started."""
        return "".join(self._said)

    @property
    def workers(self) -> list[int]:
        """Return the processes it started that live now."""
        return [
            int(child)
            for task in Path(f"/proc/{self.pid}/task").glob("*/children")
            for child in task.read_text().split()
        ]

    @property
    def runs(self) -> bool:
        """Return whether it was started and has not ended."""
        return self._process is not None and self._process.poll() is None

    def start(self, *arguments: str) -> None:
        """Start it and wait until it answers."""
        self.launch(*arguments)
        wait_until(lambda: self.listens() or not self.runs, _SLOWEST_START_S, self._why)
        assert self.runs, self._why()

    def launch(self, *arguments: str) -> None:
        """Start it and wait for nothing."""
        self._said = []
        self._process = subprocess.Popen(
            [
                *self._before,
                sys.executable,
                "-c",
                "from mouldwright.cli.main import run; run()",
                *("serve", "--host", "127.0.0.1", "--port", str(self.port)),
                *("--database", self.url),
                *arguments,
            ],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            env=self._environment(),
        )
        self._reader = threading.Thread(
            target=self._listen, args=(self._process, self._said), daemon=True
        )
        self._reader.start()

    def link(self) -> str:
        """Return the one-time link it printed."""
        wait_until(lambda: _LINK.search(self.said), _SLOWEST_START_S, self._why)
        found = _LINK.search(self.said)
        assert found is not None
        return found[0]

    def kill(self, *, with_workers: bool = True) -> None:
        """Kill it as a power cut would, by default with its worker."""
        workers = self.workers if with_workers else []
        for pid in [self.pid, *workers]:
            kill(pid)
        self._reap()

    def send(self, number: signal.Signals) -> None:
        """Send it a signal and wait for nothing."""
        assert self._process is not None
        self._process.send_signal(number)

    def ended(self, seconds: float = 300.0) -> int:
        """Wait until it has ended by itself; return its exit code."""
        return self._reap(seconds)

    def stop(self) -> int:
        """Ask it to end as Ctrl-C does; return its exit code."""
        assert self._process is not None
        if self._process.poll() is None:
            self._process.send_signal(signal.SIGINT)
            try:
                self._process.wait(300.0)
            except subprocess.TimeoutExpired:
                self.kill()
                raise
        return self._reap()

    def _reap(self, seconds: float = 300.0) -> int:
        assert self._process is not None
        assert self._reader is not None
        code = self._process.wait(seconds)
        self._reader.join(300.0)
        return code

    def _environment(self) -> dict[str, str]:
        mine = {k: v for k, v in os.environ.items() if not k.upper().startswith("MOULDWRIGHT_")}
        return mine | {f"MOULDWRIGHT_{k.upper()}": str(v) for k, v in self._settings.items()}

    def _listen(self, process: subprocess.Popen[str], said: list[str]) -> None:
        assert process.stdout is not None
        with process.stdout:
            said.extend(process.stdout)

    def listens(self) -> bool:
        """Return whether it takes connections."""
        try:
            with socket.create_connection(("127.0.0.1", self.port), timeout=1.0):
                return True
        except OSError:
            return False

    def _why(self) -> str:
        return f"the server said:\n{self.said}"


def signed_in(server: Server) -> Client:
    """Return a keeper's client, by the link the server printed."""
    return Client.by_link(server.link())


def free_port() -> int:
    """Return a port that nobody listens on now."""
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        port: int = listening.getsockname()[1]
    return port


def kill(pid: int) -> None:
    """End a process at once; one that is gone already is gone."""
    try:
        os.kill(pid, signal.SIGKILL)
    except ProcessLookupError:
        return


def wait_until(
    true: Callable[[], object], seconds: float, why: Callable[[], str] = lambda: ""
) -> None:
    """Wait until something is so, and fail where it does not come about in time."""
    until = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < until, f"waited {seconds} s in vain; {why()}"
        time.sleep(0.02)
