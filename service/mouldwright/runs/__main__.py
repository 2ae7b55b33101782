"""The worker process: ``python -m mouldwright.runs``, with the settings of the service."""

from __future__ import annotations

import argparse
import os
import secrets
import signal
import sys
import threading
from datetime import timedelta

from mouldwright import tracing
from mouldwright.bootstrap.workers import make_worker
from mouldwright.domain import special
from mouldwright.logs import write_logs
from mouldwright.runs.caps import keep_within
from mouldwright.runs.process import WORKER_MODULE
from mouldwright.settings import Settings


def main(arguments: list[str] | None = None) -> None:
    """Take up runs until told to stop, by a signal or by the end of standard input."""
    parser = argparse.ArgumentParser(prog="python -m mouldwright.runs", description=__doc__)
    parser.add_argument(
        "--until-input-ends",
        action="store_true",
        help="stop when standard input is closed, as it is when the server is gone",
    )
    parser.add_argument(
        "--quiet", action="store_true", help="write down what goes wrong, and not each run"
    )
    asked = parser.parse_args(arguments)
    write_logs(requests=not asked.quiet)
    stopping = threading.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, lambda *_: stopping.set())
    if asked.until_input_ends:
        threading.Thread(target=_wait_for_end, args=(stopping,), daemon=True).start()
    # Fresh for each process: an id used again would look like the worker that was lost.
    name = f"{os.getpid()}-{secrets.token_hex(8)}"
    settings = Settings()
    tracing.begin(settings.tracing)
    lease = timedelta(seconds=settings.lease_seconds)
    worker = make_worker(settings, name=name, lease=lease, begin_anew=begin_anew)
    # Whatever a run loads by itself counts as the program's, not as the run's.
    special.load()
    keep_within(settings.run_memory_mb)
    worker.work(stopping)


def begin_anew() -> None:
    """Become a fresh worker in the same process, started as this one was."""
    os.execv(sys.executable, [sys.executable, "-m", WORKER_MODULE, *sys.argv[1:]])


def _wait_for_end(stopping: threading.Event) -> None:
    # Read past Python's own buffer: a thread that waits inside it when the process ends, as
    # this one does where a signal ended it, takes the whole interpreter down.
    while os.read(sys.stdin.fileno(), 4096):
        pass
    stopping.set()


if __name__ == "__main__":
    main()
