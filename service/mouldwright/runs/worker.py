"""A worker: takes up one run after another until it is told to stop."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from datetime import timedelta

from mouldwright import tracing
from mouldwright.runs.caps import Caps, Overseer
from mouldwright.runs.heartbeat import Heartbeat
from mouldwright.runs.run_log import RunLog
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
        idle_s: float = 0.1,
        caps: Caps | None = None,
        begin_anew: Callable[[], object] | None = None,
    ) -> None:
        """Keep what it works with.

        Args:
            queue: Where runs wait.
            tending: What is done with one.
            name: One of a kind for each process that ever was.
            clock: Zone-aware; all workers on one database should agree to within the lease.
            lease: How long a run is held without a sign of life.
            idle_s: Wait between looks at an empty queue.
            caps: What a run may take.
            begin_anew: Replaces this process where a run over its caps does not stop; without
                it the worker waits until the run does.
        """
        self._queue, self._tending, self._name, self._clock = queue, tending, name, clock
        self._lease, self._idle_s = lease, idle_s
        self._caps, self._begin_anew = caps or Caps(), begin_anew

    def work(self, stopping: threading.Event) -> None:
        """Take up runs until told to stop; one under way is then given back."""
        while not stopping.is_set():
            try:
                due = self._queue.is_due(self._clock())
                found = self.work_one(stopping) if due else None
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
        kind = run.subject if run.is_plan else "question"
        with tracing.span(
            "run", under=run.traceparent, run=run.id, shop=run.shop, kind=kind, attempt=run.attempts
        ) as facts:
            ended = self._carry(run, stopping)
            facts["state"] = ended.state
        return ended

    def _carry(self, run: Run, stopping: threading.Event) -> Run:
        """Carry a run as far as it goes, and let go of it."""
        told = RunLog(run, self._clock)
        # Often enough that a lease outlasts some beats that fail, and a run that is asked to
        # stop hears of it within a second.
        every_s = min(1.0, self._lease.total_seconds() / 6)
        beat = Heartbeat(self._queue, run, clock=self._clock, lease=self._lease, every_s=every_s)
        eye = Overseer(self._caps, give_up=lambda over: self._give_up(run, over))
        try:
            with beat, eye:
                ended = self._tending.tend(
                    run,
                    cancelled=lambda: (
                        beat.stop_asked or beat.lost or bool(eye.over) or stopping.is_set()
                    ),
                    lost=lambda: (
                        beat.lost or bool(eye.over) or (stopping.is_set() and not beat.stop_asked)
                    ),
                )
        except MemoryError:
            self._set_aside(run, self._caps.too_large)
            told.ended("set aside", "MemoryError")
            return run
        except Exception as error:
            _log.exception("run failed", extra={"facts": {"run": run.id, "shop": run.shop}})
            self._queue.give_back(
                run, problem=f"{type(error).__name__}: {error}", counted=True, now=self._clock()
            )
            told.ended("failed", type(error).__name__)
            return run
        if ended.ended:
            told.ended(ended.state)
        elif eye.over:
            self._set_aside(run, eye.over)
            told.ended("set aside", "over its caps")
        elif beat.lost:
            told.ended("lost")
        else:
            # Nothing was wrong with the run, so the attempt does not count.
            self._queue.give_back(run, counted=False, now=self._clock())
            told.ended("given back")
        return ended

    def _set_aside(self, run: Run, problem: str) -> None:
        self._queue.set_aside(run, problem=problem, now=self._clock())

    def _give_up(self, run: Run, over: str) -> None:
        """Let go of a run that does not stop, and with it of what it holds."""
        if self._begin_anew is not None:
            self._set_aside(run, over)
            _log.warning("begins anew", extra={"facts": {"run": run.id, "shop": run.shop}})
            self._begin_anew()
