"""What the use cases need from outside."""

from __future__ import annotations

from datetime import datetime
from typing import Protocol


class Clock(Protocol):
    """Tells the time."""

    def __call__(self) -> datetime:
        """Return the zone-aware present."""
        ...
