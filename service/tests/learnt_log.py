"""A log that teaches something, for tests: one step of the demo timed over and over."""

from __future__ import annotations

from bench_log import done, logged, work

from mouldwright.domain.record.log import LogEntry


def timed_demoulds(minutes, *, people=("tomas",), first=1) -> list[LogEntry]:
    """Return entries of pulls of order 1001 taken out, one a day, each in so many minutes."""
    found = []
    for place, each in enumerate(minutes):
        pull = first + place
        task = work("demould", pulls=[pull], order="1001", part="stabiliser")
        began = 24.0 * (1 + pull)
        found += done(began + each / 60, task, began=began, people=people)
    return found


def slow_demoulds(standard_min: float) -> tuple[LogEntry, ...]:
    """Return a log of twelve pulls that took twice the standard each."""
    return logged(*timed_demoulds([2 * standard_min] * 12))
