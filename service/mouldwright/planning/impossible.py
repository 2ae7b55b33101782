"""One reason why no plan can exist, and what is known of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

ImpossibleKind = Literal[
    "people", "hands", "station hours", "shared hours", "station", "room", "age", "wait",
    "mix", "batch", "load", "pot life", "heat", "mould", "life", "alone",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Impossible:
    """Work that can never be done.

    Attributes:
        kind: What stands against it.
        process: Key of the process, or of the set whose own operation it is.
        part: Key of the part.
        operation: Name of the operation; empty where it is about the moulds.
        said: What is impossible, in words, without what would help.
        otherwise: What would help in general, where no one change is proven to.
        besides: What may help besides the changes that are proven; empty for nothing.
        needed: How much would do: minutes, people, parts, micrograms or moulds, as the kind says.
        station: Key of the station it is about; empty for none.
        steps: Names of the operations that must be done in one go.
    """

    kind: ImpossibleKind
    process: str
    part: str
    operation: str
    said: str
    otherwise: str
    besides: str = ""
    needed: int = 0
    station: str = ""
    steps: tuple[str, ...] = ()

    @property
    def place(self) -> tuple[str, str, str, str, str]:
        """Return what makes it the same impossibility in a changed shop."""
        return self.kind, self.process, self.part, self.operation, self.station

    def told(self, changes: Sequence[str]) -> str:
        """Return the reason with the changes that would do; without any, what may help."""
        if not changes:
            return f"{self.said}; {self.otherwise} would help."
        also = f"; {self.besides} may too" if self.besides else ""
        return f"{self.said}; {_either(changes)} would do{also}."


def _either(changes: Sequence[str]) -> str:
    *first, last = changes
    return f"{', '.join(first)} or {last}" if first else last
