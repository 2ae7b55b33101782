"""What a worker writes down about each run: when it is taken up, and how it ended."""

from __future__ import annotations

import logging
import time

from mouldwright.runs.caps import memory_mb
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.ports import Clock

_log = logging.getLogger(__name__)


class RunLog:
    """One line as a run is taken up, one as the worker lets go of it; neither holds a name."""

    def __init__(self, run: Run, clock: Clock) -> None:
        """Note that a run is taken up, and how long it has waited."""
        self._run, self._began = run, time.monotonic()
        waited = (clock() - run.asked_at).total_seconds()
        self._tell("run taken up", waited_s=round(max(0.0, waited), 3))

    def ended(self, how: str, error: str = "") -> None:
        """Note how it ended.

        Args:
            how: Its state, or "failed", "lost", "given back".
            error: What kind of error ended it, empty where none did.
        """
        facts: dict[str, object] = {
            "how": how,
            "seconds": round(time.monotonic() - self._began, 3),
            "memory_mb": round(memory_mb()),
        }
        if error:
            facts["error"] = error
        self._tell("run let go", **facts)

    def _tell(self, said: str, **facts: object) -> None:
        run = self._run
        # What a question asks may name a part; the first word of its subject says its kind.
        kind = run.subject if run.is_plan else "question"
        known = {"run": run.id, "shop": run.shop, "kind": kind, "attempt": run.attempts}
        _log.info(said, extra={"facts": known | facts})
