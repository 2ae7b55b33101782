"""Keeping hold of a run while it is worked on."""

from __future__ import annotations

from datetime import timedelta

from mouldwright.runs.beside import Beside
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.ports import Clock
from mouldwright.usecases.promise_ports import RunQueue


class Heartbeat(Beside):
    """Renews the lease of a run from a thread of its own, and hears whether it should stop.

    Attributes:
        stop_asked: Whether someone asked the run to stop.
        lost: Whether another worker has the run.
    """

    def __init__(
        self, queue: RunQueue, run: Run, *, clock: Clock, lease: timedelta, every_s: float
    ) -> None:
        """Keep what it renews."""
        super().__init__(f"beat {run.id}")
        self._queue, self._run, self._clock, self._lease = queue, run, clock, lease
        self._every_s = every_s
        self.stop_asked = run.cancel_asked
        self.lost = False

    def work(self) -> None:
        """Renew it again and again."""
        while not self.ended.wait(self._every_s):
            try:
                told = self._queue.beat(self._run, self._clock(), self._lease)
            except Exception:  # a database that is busy now may answer the next time
                continue
            if told is None:
                self.lost = True
                return
            self.stop_asked = told
