"""The process a worker lives in, seen from the server that started it."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Mapping, Sequence

WORKER_MODULE = "mouldwright.runs"
_SLOWEST_RESTART_S = 30.0


class WorkerProcess:
    """Starts a worker process, starts another where it dies, and ends it with the server.

    The worker's standard input is a pipe from the server: when the server is gone, however it
    went, the pipe closes and the worker stops by itself.
    """

    def __init__(self, environment: Mapping[str, str], arguments: Sequence[str] = ()) -> None:
        """Keep how it is started.

        Args:
            environment: Settings that differ from the server's own environment.
            arguments: For ``python -m mouldwright.runs``.
        """
        self._environment = {**os.environ, **environment}
        self._command = [sys.executable, "-m", WORKER_MODULE, "--until-input-ends", *arguments]
        self._stopping = threading.Event()
        self._process: subprocess.Popen[bytes] | None = None
        self._thread = threading.Thread(target=self._watch, name="worker watch", daemon=True)

    @property
    def pid(self) -> int | None:
        """Return the id of the process that lives now, None where none does."""
        process = self._process
        return process.pid if process is not None and process.poll() is None else None

    def start(self) -> None:
        """Start it."""
        self._process = self._spawn()
        self._thread.start()

    def tell_to_stop(self) -> None:
        """Let it give back what it has and end; no other is started after it. Waits for nothing."""
        self._stopping.set()
        # A service told to stop while it starts has workers that were never started.
        if self._thread.ident is not None:
            self._thread.join()
        process = self._process
        if process is not None and process.stdin is not None:
            process.stdin.close()

    def stop(self, *, patience_s: float = 10.0) -> None:
        """Let it give back what it has and end; end it by force where that takes too long."""
        self.tell_to_stop()
        process = self._process
        if process is None:
            return
        try:
            process.wait(patience_s)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()

    def _spawn(self) -> subprocess.Popen[bytes]:
        return subprocess.Popen(self._command, stdin=subprocess.PIPE, env=self._environment)

    def _watch(self) -> None:
        wait_s = 0.5
        while not self._stopping.wait(wait_s):
            process = self._process
            if process is None or process.poll() is None:
                wait_s = 0.5
                continue
            if process.stdin is not None:
                process.stdin.close()
            self._process = self._spawn()
            # One that dies again at once is not started faster and faster.
            wait_s = min(_SLOWEST_RESTART_S, wait_s * 2)
