"""A log in few words, for tests: what happened, at minutes after a given one."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember, LoggedTask
from mouldwright.domain.shop import Shop
from mouldwright.planning.plan import Task


class BenchLog:
    """Writes entries down one after another.

    Attributes:
        entries: In the order they were written.
    """

    def __init__(self, now: int = 0) -> None:
        """Begin with none; minutes are counted from ``now``, minutes since the epoch."""
        self.now = now
        self.entries: list[LogEntry] = []

    def kept_in(self, shop: Shop) -> Shop:
        """Return a shop with this log."""
        return replace(shop, log=tuple(self.entries))

    def note(self, what: Happening, at: int, **told: object) -> int:
        """Write an entry at ``at`` minutes after the beginning, and return its number."""
        number = len(self.entries) + 1
        when = datetime.fromtimestamp((self.now + at) * 60, UTC)
        self.entries.append(LogEntry(number=number, what=what, at=when, noted_at=when, **told))
        return number

    def started(self, task: Task, at: int, *, mould: str | None = None) -> int:
        """Note that a planned task was begun."""
        return self.note(Happening.STARTED, at, task=logged(task, mould), people=task.people)

    def finished(self, task: Task, at: int, *, mould: str | None = None) -> int:
        """Note that a planned task was over."""
        return self.note(Happening.FINISHED, at, task=logged(task, mould), people=task.people)

    def stopped(self, task: Task, at: int, cause: str = "") -> int:
        """Note that a planned task ended before it was through."""
        return self.note(Happening.STOPPED, at, task=logged(task), cause=cause)

    def as_planned(self, *tasks: Task) -> None:
        """Note that tasks were begun and over as they were planned."""
        for task in tasks:
            self.started(task, task.start - self.now)
            self.finished(task, task.end - self.now)

    def of_pulls(
        self, what: Happening, at: int, *pulls: int, order: str = "1", cause: str = ""
    ) -> int:
        """Note what came of pulls."""
        members = (LoggedMember(order=order, pulls=pulls),)
        return self.note(what, at, members=members, cause=cause)


def logged(task: Task, mould: str | None = None) -> LoggedTask:
    """Return a planned task as a log names it."""
    return LoggedTask(
        operation=task.operation,
        process=task.process,
        part=task.part,
        mould=mould or task.mould,
        stations=task.stations,
        members=tuple(
            LoggedMember(order=m.order, pulls=m.pulls, parts=m.parts) for m in task.members
        ),
    )
