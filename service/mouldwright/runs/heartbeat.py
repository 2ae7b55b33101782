"""Keeping hold of a run while it is worked on."""

from __future__ import annotations

import threading
from datetime import timedelta
from types import TracebackType
from typing import Self

from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.ports import Clock
from mouldwright.usecases.promise_ports import RunQueue


class Heartbeat:
    """Renews the lease of a run from a thread of its own, and hears whether it should stop.

    Attributes:
        stop_asked: Whether someone asked the run to stop.
        lost: Whether another worker has the run.
    """

    def __init__(
        self, queue: RunQueue, run: Run, *, clock: Clock, lease: timedelta, every_s: float
    ) -> None:
        """Keep what it renews."""
        self._queue, self._run, self._clock, self._lease = queue, run, clock, lease
        self._every_s = every_s
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._beat, name=f"beat {run.id}", daemon=True)
        self.stop_asked = run.cancel_asked
        self.lost = False

    def __enter__(self) -> Self:
        """Begin."""
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """End, once the beat under way is over."""
        self._over.set()
        self._thread.join()

    def _beat(self) -> None:
        while not self._over.wait(self._every_s):
            try:
                told = self._queue.beat(self._run, self._clock(), self._lease)
            except Exception:  # a database that is busy now may answer the next time
                continue
            if told is None:
                self.lost = True
                return
            self.stop_asked = told
