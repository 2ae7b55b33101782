"""Logs as they were last read, by shop, so that only what was noted since is read again.

Entries are only ever added, and numbered without a gap. What is remembered is held against the last
entry that both have, so that a shop made anew under an old key is read anew.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from mouldwright.domain.record.kept_log import KeptLog
from mouldwright.domain.record.log import LogEntry

# Entries from a number on, as they are kept, the first first.
Read = Callable[[int], Sequence[str]]


@dataclass(frozen=True, slots=True)
class _Known:
    log: KeptLog
    last: str


@dataclass(slots=True)
class LogMemory:
    """What is remembered of the logs of one database. Threads may share it."""

    _known: dict[str, _Known] = field(default_factory=dict)

    def read(self, shop: str, read: Read, entry_of: Callable[[str], LogEntry]) -> KeptLog:
        """Return the whole log of a shop as its unit of work sees it.

        Args:
            shop: Its key.
            read: Reads entries in the moment the unit sees; they must hold for good.
            entry_of: Makes an entry of its document.
        """
        known = self._known.get(shop)
        if known is not None:
            documents = read(len(known.log))
            if documents and documents[0] == known.last:
                more = documents[1:]
                if not more:
                    return known.log
                grown = known.log.followed_by(map(entry_of, more))
                self._known[shop] = _Known(grown, more[-1])
                return grown
        documents = read(1)
        log = KeptLog(map(entry_of, documents))
        if documents:
            self._known[shop] = _Known(log, documents[-1])
        return log
