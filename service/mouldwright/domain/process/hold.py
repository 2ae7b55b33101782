"""What a process keeps busy over several operations."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A mould or station kept from the start of one operation to the end of a later one.

    Attributes:
        resource: "mould", or the key of a station.
        first: Operation at whose start it is taken.
        last: Operation at whose end it is given back.
    """

    resource: str
    first: str
    last: str
