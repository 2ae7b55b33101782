"""What the use cases need of the place where the log of a shop is kept."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, Protocol

from mouldwright.domain.record.kept_log import KeptLog
from mouldwright.domain.record.log import Happening, LogEntry

About = Literal["order", "mould", "person", "material"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LogQuery:
    """Which entries are wanted.

    Attributes:
        limit: Most of them.
        before: Only entries with a lower number than this.
        since: Only what happened from this instant on.
        until: Only what happened before this instant.
        what: Only such happenings.
        about: Only entries about all of these: what kind of thing, and its name.
    """

    limit: int
    before: int | None = None
    since: datetime | None = None
    until: datetime | None = None
    what: Happening | None = None
    about: Sequence[tuple[About, str]] = ()


class Log(Protocol):
    """The log of the one shop a unit was opened for; entries are only ever added."""

    def all(self) -> KeptLog:
        """Return every entry, the first first."""
        ...

    def last(self) -> int:
        """Return the number of the newest entry, 0 where there is none."""
        ...

    def at(self, number: int) -> LogEntry:
        """Return one entry. Raises Unknown."""
        ...

    def said(self, name: str) -> LogEntry | None:
        """Return the entry that its sender called so, None where there is none."""
        ...

    def listed(self, query: LogQuery) -> tuple[LogEntry, ...]:
        """Return entries, the newest first."""
        ...

    def add(self, entry: LogEntry, *, moves_plan: bool) -> LogEntry:
        """Keep an entry under the next number of the sequence; return it so.

        Args:
            entry: What happened; its own number is passed over.
            moves_plan: Whether no plan made before fits any more.
        """
        ...

    def bring(self, entries: Iterable[LogEntry]) -> None:
        """Keep entries that follow on those there are, under the numbers they have.

        Raises:
            ValueError: if they do not follow on.
        """
        ...


def abouts(entry: LogEntry) -> tuple[tuple[About, str], ...]:
    """Return what an entry is about, each once, to find it by."""
    task = entry.task
    members = (*entry.members, *(task.members if task is not None else ()))
    materials = (entry.material, *(used.material for used in entry.used))
    found: list[tuple[About, str | None]] = [("order", member.order) for member in members]
    found += [("mould", entry.mould), ("mould", task.mould if task is not None else None)]
    found += [("person", person) for person in entry.people]
    found += [("material", material) for material in materials]
    return tuple(dict.fromkeys((kind, name) for kind, name in found if name is not None))
