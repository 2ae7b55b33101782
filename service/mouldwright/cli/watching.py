"""What is shown while many plans are made, and how that is stopped."""

from __future__ import annotations

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from rich.console import Console
from rich.status import Status


@dataclass(slots=True)
class Watch:
    """What is shown while many plans are made; Ctrl-C stops with those that are."""

    status: Status | None = None
    stopped: bool = field(default=False)

    def told(self, done: int, total: int, key: str) -> None:
        """Show how many of how many are made, and which was last."""
        if self.status is not None:
            self.status.update(f"{done} of {total} plans: {key} (Ctrl-C stops with these)")


@contextmanager
def watched() -> Iterator[Watch]:
    """Show how many plans are made, on a terminal; Ctrl-C stops with those."""
    if not sys.stderr.isatty():
        yield Watch()
        return
    with Status("planning", console=Console(stderr=True)) as status:
        watch = Watch(status=status)
        before = signal.signal(signal.SIGINT, lambda *_: setattr(watch, "stopped", True))
        try:
            yield watch
        finally:
            signal.signal(signal.SIGINT, before)
