"""What a run may take at most, and the eye kept on it."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from mouldwright.runs.beside import Beside

_LOOK_EVERY_S = 0.2
_BYTES_IN_MB = 1024 * 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class Caps:
    """What a run may take at most.

    Attributes:
        memory_mb: Of the whole worker process, the program itself included, MiB.
        minutes: From when it is taken up, whatever it is at.
        patience_s: How long a run that is over may take to stop.
    """

    memory_mb: int = 2_048
    minutes: float = 60.0
    patience_s: float = 10.0

    @property
    def too_large(self) -> str:
        """Return what is said of a run that needs more memory."""
        return (
            f"It needed more than the {self.memory_mb} MB of memory that a run may use. "
            "Plan fewer open orders at once, or let whoever runs the service raise "
            "RUN_MEMORY_MB."
        )

    @property
    def too_long(self) -> str:
        """Return what is said of a run that takes longer."""
        return (
            f"It took longer than the {self.minutes:g} minutes that a run may take. Ask for less "
            "at once, or let whoever runs the service raise RUN_MINUTES."
        )


def memory_mb() -> float:
    """Return what this process holds in memory, MiB; 0 where the system does not tell."""
    try:
        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    except OSError:
        return 0.0
    return pages * os.sysconf("SC_PAGE_SIZE") / _BYTES_IN_MB


def keep_within(memory_mb: int) -> None:
    """Let this process be refused memory that lies far over the cap.

    An eye that looks a few times a second misses one large grasp; the system does not. The cap
    and what the process has by now lie within the limit, so that the eye sees most first.
    """
    try:
        import resource

        status = Path("/proc/self/status").read_text(encoding="ascii")
    except (ImportError, OSError):
        return
    has_kb = next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmData"))
    limit = has_kb * 1024 + 2 * memory_mb * _BYTES_IN_MB
    _, hard = resource.getrlimit(resource.RLIMIT_DATA)
    if hard == resource.RLIM_INFINITY or limit < hard:
        resource.setrlimit(resource.RLIMIT_DATA, (limit, hard))


class Overseer(Beside):
    """Watches one run from a thread of its own, and says when it is over a cap.

    Attributes:
        over: What it took too much of, in words; empty while it is within its caps.
    """

    def __init__(
        self,
        caps: Caps,
        *,
        give_up: Callable[[str], None],
        memory_mb: Callable[[], float] = memory_mb,
    ) -> None:
        """Keep what it watches for.

        Args:
            caps: What the run may take.
            give_up: Called with the words where a run does not stop in time once it is over.
            memory_mb: What the process holds.
        """
        super().__init__("overseer")
        self._caps, self._give_up, self._memory_mb = caps, give_up, memory_mb
        self.over = ""

    def work(self) -> None:
        """Look again and again until the run is over a cap."""
        until = time.monotonic() + 60 * self._caps.minutes
        while not self.ended.wait(_LOOK_EVERY_S):
            if self._memory_mb() > self._caps.memory_mb:
                self.over = self._caps.too_large
            elif time.monotonic() > until:
                self.over = self._caps.too_long
            if self.over:
                if not self.ended.wait(self._caps.patience_s):
                    self._give_up(self.over)
                return
