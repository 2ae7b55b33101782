"""A worker: takes up one run after another until it is told to stop."""

from __future__ import annotations

import logging
import threading
from datetime import timedelta

from mouldwright.runs.heartbeat import Heartbeat
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.ports import Clock
from mouldwright.usecases.promise_ports import RunQueue
from mouldwright.usecases.runs import Tending

LEASE = timedelta(seconds=30)

_log = logging.getLogger(__name__)


class Worker:
    """Claims, tends and gives back runs."""

    def __init__(
        self,
        queue: RunQueue,
        tending: Tending,
        *,
        name: str,
        clock: Clock,
        lease: timedelta = LEASE,
        idle_s: float = 0.5,
    ) -> None:
        """Keep what it works with.

        Args:
            queue: Where runs wait.
            tending: What is done with one.
            name: One of a kind for each process that ever was.
            clock: Zone-aware; all workers on one database should agree to within the lease.
            lease: How long a run is held without a sign of life.
            idle_s: Wait between looks at an empty queue.
        """
        self._queue, self._tending, self._name, self._clock = queue, tending, name, clock
        self._lease, self._idle_s = lease, idle_s

    def work(self, stopping: threading.Event) -> None:
        """Take up runs until told to stop; one under way is then given back."""
        while not stopping.is_set():
            try:
                found = self.work_one(stopping)
            except Exception:
                _log.exception("the queue could not be read")
                found = None
            if found is None:
                stopping.wait(self._idle_s)

    def work_one(self, stopping: threading.Event) -> Run | None:
        """Take up one run and carry it as far as it goes; None where none is due."""
        run = self._queue.claim(self._name, self._clock(), self._lease)
        if run is None:
            return None
        # Often enough that a lease outlasts some beats that fail, and a run that is asked to
        # stop hears of it within a second.
        every_s = min(1.0, self._lease.total_seconds() / 6)
        beat = Heartbeat(self._queue, run, clock=self._clock, lease=self._lease, every_s=every_s)
        try:
            with beat:
                ended = self._tending.tend(
                    run,
                    cancelled=lambda: beat.stop_asked or beat.lost or stopping.is_set(),
                    lost=lambda: beat.lost or (stopping.is_set() and not beat.stop_asked),
                )
        except Exception as error:
            _log.exception("run %s failed", run.id)
            self._queue.give_back(
                run, problem=f"{type(error).__name__}: {error}", counted=True, now=self._clock()
            )
            return run
        if not ended.ended:
            # Nothing was wrong with the run, so the attempt does not count.
            self._queue.give_back(run, counted=False, now=self._clock())
        return ended
