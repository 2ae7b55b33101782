"""Every error the domain raises.

::

    MouldwrightError
    ├── InvalidInput          what was written cannot be right; carries every fault found
    │   └── NotFound          a key that names nothing in the shop
    ├── CannotBeMade          the part cannot be made by that process at all
    ├── HardLimit             no plan can exist; carries each limit and what would help
    └── Conflict              what is asked does not fit how things stand

A caller shows ``str(error)`` to the reader; the facts are kept as fields.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from difflib import get_close_matches


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing that is wrong (or unwise) in what was written.

    Attributes:
        path: Dotted key path, for example ``processes.cast.operations[2].attended_min``.
        value: The value found, as text; empty where a key is missing.
        problem: What is wrong with it, in one sentence.
        remedy: What would be right.
        file: File it was read from, empty where there is none.
        line: Line in that file, 0 where unknown.
        is_warning: True where the work can go on and the reader should know.
        steps: Keys of tables and places in lists (from 0) that lead to it in the document it
            was read from; empty where there is none.
    """

    path: str
    value: str
    problem: str
    remedy: str
    file: str = ""
    line: int = 0
    is_warning: bool = False
    steps: tuple[str | int, ...] = field(default=(), compare=False)

    def __str__(self) -> str:
        """Return the fault on one line: where, what, and what would be right."""
        where = f"{self.file}:{self.line}: " if self.file and self.line else ""
        where = where or (f"{self.file}: " if self.file else "")
        found = f" = {self.value}" if self.value else ""
        key = f"{self.path}{found}: " if self.path or found else ""
        return f"{where}{key}{self.problem} {self.remedy}".rstrip()


class MouldwrightError(Exception):
    """Something went wrong that the reader can act on."""


class InvalidInput(MouldwrightError):
    """What was written cannot be right.

    Attributes:
        faults: Every fault found, in the order of the file.
    """

    def __init__(self, faults: Iterable[Fault]) -> None:
        """Keep the faults and say them all."""
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class NotFound(InvalidInput):
    """A key names nothing in the shop."""

    def __init__(self, *, kind: str, key: str, known: Iterable[str]) -> None:
        """Name the missing key and the nearest ones that exist."""
        self.kind, self.key, self.known = kind, key, tuple(known)
        super().__init__(
            [
                Fault(
                    path=kind,
                    value=key,
                    problem=f"there is no {kind} of that name.",
                    remedy=nearest(key, self.known),
                )
            ]
        )


class CannotBeMade(MouldwrightError):
    """The part cannot be made by that process.

    Attributes:
        reasons: Each reason with the change that would help.
    """

    def __init__(self, reasons: Iterable[str]) -> None:
        """Keep the reasons and say them all."""
        self.reasons = tuple(reasons)
        super().__init__("\n".join(self.reasons))


class HardLimit(MouldwrightError):
    """No plan can exist, whatever the search.

    Attributes:
        reasons: Each limit that cannot be met, with the nearest change that would help.
    """

    def __init__(self, reasons: Iterable[str]) -> None:
        """Keep the reasons and say them all."""
        self.reasons = tuple(reasons)
        super().__init__("\n".join(self.reasons))


class Conflict(MouldwrightError):
    """What is asked does not fit how things stand; nothing was changed.

    Attributes:
        problem: What does not fit, in one sentence.
        remedy: What would.
        stands: How it stands, in one word.
    """

    def __init__(self, problem: str, *, remedy: str, stands: str) -> None:
        """Keep the facts and say them."""
        self.problem, self.remedy, self.stands = problem, remedy, stands
        super().__init__(f"{problem} {remedy}")


def nearest(key: str, known: Iterable[str]) -> str:
    """Return a remedy sentence that names the nearest known key, or all of them."""
    names = sorted(known)
    close = get_close_matches(key, names, n=1)
    if close:
        return f"Did you mean {close[0]}?"
    if not names:
        return "None is defined yet."
    return f"Known: {', '.join(names)}."
