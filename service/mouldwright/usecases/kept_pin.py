"""What is pinned on the board: tasks that every plan keeps to the minute."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from mouldwright.planning.plan import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """Tasks pinned together: the one that was named first, then those that go with it.

    Attributes:
        tasks: At least one, each as it must stand.
        by: Who pinned it: the label of a token.
    """

    id: str
    tasks: tuple[Task, ...]
    pinned_at: datetime
    by: str
