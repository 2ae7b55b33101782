"""What was read, and which state of it that was."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Kept(Generic[T]):
    """Something the service keeps, as it was when it was read.

    Hand it back with a change, and the change is made only if nobody was there first.

    Attributes:
        value: What was read.
        etag: The state it was in, as the service names it; None where it names none.
    """

    value: T
    etag: str | None
