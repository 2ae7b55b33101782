"""Ticks on a day sheet: a line begun or done by one press, and whether it is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.record.done import DoneTask, keys_of, tasks_done
from mouldwright.domain.record.log import Happening, LogEntry
from mouldwright.planning.plan import Plan, Task
from mouldwright.usecases.log_shift import logged_task

MOST_PLACES = 200
State = Literal["to do", "begun", "done"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticked:
    """How a line of the sheet stands.

    Attributes:
        began: When the first of its tasks was begun; None where nobody noted it.
        ended: When the last was finished; None while it is not.
        undo: Numbers of the entries that undoing takes back: of its end, else of its start.
    """

    state: State
    began: datetime | None = None
    ended: datetime | None = None
    undo: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A press on a line.

    Attributes:
        places: Of its tasks in the plan, in the order they are done.
        what: Whether it was begun or done.
        at: When it was pressed.
        said_once: What the phone calls the press; empty where it sends it once.
    """

    places: tuple[int, ...]
    what: Literal["started", "finished"]
    at: datetime
    by: str
    said_once: str = ""


# Upkeep that was done this much off its planned time is another.
_UPKEEP_NEAR = timedelta(hours=12)


class Ticks:
    """What was done, found by the planned task it was.

    Upkeep of a mould comes again and again: what was done of it counts for the task planned
    next to that time.
    """

    def __init__(self, log: Iterable[LogEntry]) -> None:
        """Put the log's tasks in order."""
        self._done = tasks_done(log)
        self._at: dict[tuple[object, ...], list[int]] = {}
        for place, each in enumerate(self._done):
            for key in keys_of(each.task):
                self._at.setdefault(key, []).append(place)

    def of(self, task: Task) -> DoneTask | None:
        """Return a planned task as it was done; None where nobody noted it, or it was stopped."""
        places = {at for key in keys_of(logged_task(task)) for at in self._at.get(key, ())}
        found = [self._done[place] for place in sorted(places)]
        same = [each for each in found if each.state != "stopped"]
        if not task.members:
            planned = datetime.fromtimestamp(task.start * 60, UTC)
            same = [each for each in same if abs(each.first_known - planned) <= _UPKEEP_NEAR]
        return same[-1] if same else None

    def line(self, tasks: Sequence[Task]) -> Ticked:
        """Return how a line of tasks stands."""
        found = [each for task in tasks if (each := self.of(task)) is not None]
        if not found:
            return Ticked(state="to do")
        ended = [each for each in found if each.ended is not None]
        all_done = len(ended) == len(tasks)
        return Ticked(
            state="done" if all_done else "begun",
            began=min((each.began for each in found if each.began is not None), default=None),
            ended=max(each.last_known for each in ended) if all_done else None,
            undo=tuple(each.entries[-1] for each in reversed(ended or found)),
        )


def entries_of(plan: Plan, log: Sequence[LogEntry], tick: Tick) -> tuple[LogEntry, ...]:
    """Return what a press tells, an entry for each task of the line.

    A line that is begun begins its first task. One that is done ends each: the last now, those
    before it by their planned lengths, so that nobody did two of them at once, and none before
    it was begun.

    Raises:
        InvalidInput: if the plan has no such tasks.
    """
    tasks = [plan.tasks[place] for place in _places(plan, tick.places)]
    ticks = Ticks(log)
    if tick.what == "started":
        return (_entry(Happening.STARTED, tasks[0], tick.at, tick, 0),)
    left = [
        task for task in tasks if (found := ticks.of(task)) is None or found.state == "running"
    ] or tasks
    running = next((found for task in left if (found := ticks.of(task)) is not None), None)
    began = running.began if running is not None else None
    ends = _ends(left, tick.at, began)
    return tuple(
        _entry(Happening.FINISHED, task, end, tick, place)
        for place, (task, end) in enumerate(zip(left, ends, strict=True))
    )


def _ends(tasks: Sequence[Task], last: datetime, began: datetime | None) -> tuple[datetime, ...]:
    """Return when each of a run of tasks ended, the last one now."""
    lengths = [max(1, sum(b - a for a, b in task.spans)) for task in tasks]
    whole = timedelta(minutes=sum(lengths))
    took = whole if began is None else min(whole, max(last - began, timedelta(0)))
    found, passed = [], 0
    for length in lengths:
        passed += length
        found.append(last - took + took * passed / sum(lengths))
    return tuple(found)


def _places(plan: Plan, places: Sequence[int]) -> Sequence[int]:
    if places and len(places) <= MOST_PLACES and all(0 <= p < len(plan.tasks) for p in places):
        return places
    raise InvalidInput(
        [
            Fault(
                path="places",
                value=", ".join(map(str, places[:5])),
                problem="the plan has no such tasks.",
                remedy="Open the day sheet again and press there.",
            )
        ]
    )


def _entry(what: Happening, task: Task, at: datetime, tick: Tick, place: int) -> LogEntry:
    return LogEntry(
        number=0,
        what=what,
        at=at,
        noted_at=at,
        noted_by=tick.by,
        people=task.people,
        task=logged_task(task),
        said_once=f"{tick.said_once} {place}" if tick.said_once else "",
    )
