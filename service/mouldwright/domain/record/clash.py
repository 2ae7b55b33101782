"""What an entry cannot be true beside: the entries of the log that hold already."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from zoneinfo import ZoneInfo

from mouldwright.domain.errors import Conflict
from mouldwright.domain.record.done import DoneTask, is_same, tasks_done
from mouldwright.domain.record.kept_log import in_force
from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember
from mouldwright.domain.shown import listed

_GONE = (Happening.MOULD_LOST, Happening.MOULD_RETIRED)
_HANDS = (Happening.STARTED, Happening.FINISHED, Happening.STOPPED)


def clash(log: Iterable[LogEntry], entry: LogEntry, zone: str) -> Conflict | None:
    """Return why an entry cannot be true beside those in force; None where it can.

    A task is begun once and finished once, unless it was stopped in between. One that was only
    ticked off as finished may have its start noted later, by a time before that. A part is
    scrapped once. What was done on a mould was done before it was lost or retired.

    Args:
        log: Every entry that is kept.
        entry: The one that would be added.
        zone: The shop's, for times in words.
    """
    held = in_force(log)
    if entry.what in _HANDS and entry.task is not None:
        return _of_task(held, entry, zone) or _on_mould(held, entry, entry.task.mould, zone)
    if entry.what in _GONE:
        return _twice_gone(held, entry, zone)
    if entry.what in (Happening.SCRAPPED, Happening.SECOND):
        return _scrapped(held, entry, zone)
    return None


def _of_task(held: tuple[LogEntry, ...], entry: LogEntry, zone: str) -> Conflict | None:
    assert entry.task is not None  # the caller saw to it
    of_mould_alone = not entry.task.members
    # Compared first, since every task of the log is looked at.
    work = (entry.task.operation, entry.task.process)
    same = [
        done
        for done in tasks_done(held)
        if (done.task.operation, done.task.process) == work
        and is_same(done.task, entry.task)
        and done.state != "stopped"
        # Upkeep of a mould comes again and again; only what goes on is the same.
        and (done.state == "running" or not of_mould_alone)
    ]
    if not same:
        return None
    done = same[-1]
    told = f"entry {listed([str(number) for number in done.entries])}"
    if entry.what is Happening.STARTED:
        if done.began is None and done.ended is not None and entry.at <= done.ended:
            return None
        word, when = ("started", done.began) if done.began else ("finished", done.ended)
        return Conflict(
            f"It was {word} on {_at(when, zone)} already ({told}).",
            remedy="Take that entry back first, or note what stopped it.",
            stands=word,
        )
    if done.state == "done":
        return Conflict(
            f"It was finished on {_at(done.ended, zone)} already ({told}).",
            remedy="Take that entry back first; what came out wrong is scrapped or reworked.",
            stands="finished",
        )
    return _before_start(done, entry, zone)


def _before_start(done: DoneTask, entry: LogEntry, zone: str) -> Conflict | None:
    if done.began is None or entry.at >= done.began:
        return None
    return Conflict(
        f"It was started on {_at(done.began, zone)} (entry {done.entries[0]}), after that.",
        remedy="Write a later time, or take the start back first.",
        stands="started later",
    )


def _on_mould(
    held: tuple[LogEntry, ...], entry: LogEntry, mould: str | None, zone: str
) -> Conflict | None:
    gone = next((e for e in held if e.what in _GONE and e.mould == mould and mould), None)
    # What was under way as it went is finished or stopped after that.
    if gone is None or gone.at > entry.at or entry.what is not Happening.STARTED:
        return None
    return Conflict(
        f"{mould} was {gone.what.value.split()[1]} on {_at(gone.at, zone)} (entry {gone.number}).",
        remedy="Name the mould it was really done on, or take that entry back first.",
        stands="gone",
    )


def _twice_gone(held: tuple[LogEntry, ...], entry: LogEntry, zone: str) -> Conflict | None:
    gone = next((e for e in held if e.what in _GONE and e.mould == entry.mould), None)
    if gone is None:
        return None
    word = gone.what.value.split()[1]
    return Conflict(
        f"{entry.mould} was {word} on {_at(gone.at, zone)} already (entry {gone.number}).",
        remedy="Take that entry back first.",
        stands=word,
    )


def _scrapped(held: tuple[LogEntry, ...], entry: LogEntry, zone: str) -> Conflict | None:
    wanted = _named(entry)
    for other in held:
        if other.what is not Happening.SCRAPPED:
            continue
        both = sorted(wanted & _named(other))
        if both:
            order, kind, number = both[0]
            return Conflict(
                f"{kind.capitalize()} {number} of order {order} was scrapped on "
                f"{_at(other.at, zone)} already (entry {other.number}).",
                remedy="Leave it out, or take that entry back first.",
                stands="scrapped",
            )
    return None


def _named(entry: LogEntry) -> set[tuple[str, str, int]]:
    members = entry.members or (entry.task.members if entry.task is not None else ())
    return {named for member in members for named in _of(member)}


def _of(member: LoggedMember) -> Iterable[tuple[str, str, int]]:
    kind, numbers = ("part", member.parts) if member.parts else ("pull", member.pulls)
    return ((member.order, kind, number) for number in numbers)


def _at(when: datetime | None, zone: str) -> str:
    assert when is not None  # whoever asks has looked
    return f"{when.astimezone(ZoneInfo(zone)):%Y-%m-%d at %H:%M}"
