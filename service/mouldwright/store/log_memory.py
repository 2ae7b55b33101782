"""Logs as they were last read, by shop, so that only what was noted since is read again.

Entries are only ever added, and numbered without a gap. What is remembered is held against the last
entry that both have, so that a shop made anew under an old key is read anew.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from mouldwright.domain.record.kept_log import KeptLog
from mouldwright.domain.record.log import LogEntry

# So many logs are kept in memory at once; that of any other shop is read anew.
_MOST_SHOPS = 64

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
    _lock: threading.Lock = field(default_factory=threading.Lock)

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
                self._keep(shop, _Known(grown, more[-1]))
                return grown
        documents = read(1)
        log = KeptLog(map(entry_of, documents))
        if documents:
            self._keep(shop, _Known(log, documents[-1]))
        return log

    def _keep(self, shop: str, known: _Known) -> None:
        """Remember a log; of too many the one that grew longest ago is forgotten."""
        with self._lock:
            self._known.pop(shop, None)
            self._known[shop] = known
            if len(self._known) > _MOST_SHOPS:
                del self._known[next(iter(self._known))]
