"""A log that remembers what was put together from it, and goes on from there as it grows.

A log grows at its end, nearly always by what happened last. What was found out about the entries
before is not found out again, however many they are.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Any

from mouldwright.domain.record.log import Happening, LogEntry


class HeldEntries(tuple[LogEntry, ...]):
    """The entries that hold, by when they happened; see :func:`in_force`.

    Attributes:
        remembered: What was put together from them, by whoever did; None where nothing was.
        before: What was put together from fewer of them, and those; None where nothing was.
    """

    remembered: Any = None
    before: tuple[HeldEntries, Any] | None = None

    def after(self, earlier: HeldEntries | None) -> HeldEntries:
        """Return itself, knowing what was put together from entries of a shorter log."""
        if earlier is not None and earlier.remembered is not None:
            self.before = (HeldEntries(earlier), earlier.remembered)
        elif earlier is not None:
            self.before = earlier.before
        return self

    def __reduce__(self) -> tuple[Callable[..., HeldEntries], tuple[tuple[LogEntry, ...]]]:
        """Leave behind what was remembered where it is sent elsewhere."""
        return HeldEntries, (tuple(self),)


class KeptLog(tuple[LogEntry, ...]):
    """Every entry of a log, the first first; equal to the plain tuple of them."""

    _held: HeldEntries | None = None
    _latest: datetime | None = None

    def __reduce__(self) -> tuple[Callable[..., KeptLog], tuple[tuple[LogEntry, ...]]]:
        """Leave behind what was remembered where it is sent elsewhere."""
        return KeptLog, (tuple(self),)

    @property
    def held(self) -> HeldEntries:
        """Return the entries that hold, as :func:`in_force` does."""
        if self._held is None:
            self._held = _held(self)
        return self._held

    @property
    def latest(self) -> datetime | None:
        """Return when the latest of what it tells of happened; None where it is empty."""
        if self._latest is None:
            self._latest = max((entry.at for entry in self), default=None)
        return self._latest

    def followed_by(self, entries: Iterable[LogEntry]) -> KeptLog:
        """Return the log with further entries, with what is known of those before."""
        more = tuple(entries)
        grown = KeptLog((*self, *more))
        if self._latest is not None:
            grown._latest = max((self._latest, *(entry.at for entry in more)))
        if self._held is not None:
            # Taking back may put others in force again: all are looked through.
            anew = any(entry.takes_back is not None for entry in more)
            grown._held = (_held(grown) if anew else _among(self._held, more)).after(self._held)
        return grown


def in_force(entries: Iterable[LogEntry]) -> HeldEntries:
    """Return the entries that hold, by when they happened: none taken back, none that takes back.

    Entries of one instant keep the order of their numbers.
    """
    if isinstance(entries, HeldEntries):
        return entries
    return entries.held if isinstance(entries, KeptLog) else _held(entries)


def up_to(log: tuple[LogEntry, ...], at: datetime | None) -> tuple[LogEntry, ...]:
    """Return the entries of what happened by an instant; the log itself where that is all."""
    if at is None or (isinstance(log, KeptLog) and (log.latest is None or log.latest <= at)):
        return log
    return tuple(entry for entry in log if entry.at <= at)


def _held(entries: Iterable[LogEntry]) -> HeldEntries:
    every = sorted(entries, key=lambda entry: entry.number)
    gone: set[int] = set()
    for entry in reversed(every):
        # The latest comes first, so that one which is itself taken back takes nothing back.
        if entry.takes_back is not None and entry.number not in gone:
            gone.add(entry.takes_back)
    left = (e for e in every if e.number not in gone and e.what is not Happening.TAKEN_BACK)
    return HeldEntries(sorted(left, key=_when))


def _among(held: HeldEntries, more: Iterable[LogEntry]) -> HeldEntries:
    """Return entries that hold with further ones in their places."""
    found = list(held)
    for entry in more:
        found.insert(bisect_right(found, _when(entry), key=_when), entry)
    return HeldEntries(found)


def _when(entry: LogEntry) -> tuple[datetime, int]:
    return entry.at, entry.number
