"""Work on a thread of its own, for as long as a block lasts."""

from __future__ import annotations

import threading
from types import TracebackType
from typing import Self


class Beside:
    """Works from a thread of its own between entering and leaving; who derives from it says what.

    Attributes:
        ended: Set when the block is left; the work then ends by itself.
    """

    def __init__(self, name: str) -> None:
        """Make the thread ready under a name."""
        self.ended = threading.Event()
        self._thread = threading.Thread(target=self.work, name=name, daemon=True)

    def work(self) -> None:
        """Work until ``ended`` is set."""
        raise NotImplementedError

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
        """End, once the step under way is over."""
        self.ended.set()
        self._thread.join()
