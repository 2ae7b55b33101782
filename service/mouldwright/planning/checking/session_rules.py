"""Rules about sessions: gearing up and cleaning down find their minutes, and are told."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.room import Session
from mouldwright.planning.checking.ledger import Ledger
from mouldwright.planning.checking.people_rules import Presence
from mouldwright.planning.plan import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stint:
    """One piece of a person's work within one opening."""

    start: int
    end: int
    session: Session | None
    task: Task


@dataclass(slots=True, kw_only=True)
class _Open:
    """A session as the tasks show it.

    Attributes:
        stints: Its work, in order.
        free_from: When the person's work before it in the same opening, or the opening, lets go.
        free_until: When the next work needs the person, or the opening closes.
    """

    session: Session
    stints: list[_Stint]
    free_from: int
    free_until: int


def judge_sessions(ledger: Ledger) -> int:
    """Add every complaint about sessions and return the minutes they take going in and out.

    A person's tasks of one session that follow each other within one opening, with no other
    task between, are one session; what ended before now does not count.
    """
    if not ledger.shop.sessions:
        return 0
    presence = Presence(ledger)
    minutes, told = 0, set()
    for person in ledger.shop.people:
        stints = _stints(ledger, person)
        if not any(stint.session for stint in stints):
            continue
        for opens, closes in presence.of((person,)):
            inside = [
                _Stint(
                    start=max(s.start, opens, ledger.plan.now),
                    end=min(s.end, closes),
                    session=s.session,
                    task=s.task,
                )
                for s in stints
                if s.start < closes and s.end > max(opens, ledger.plan.now)
            ]
            for found in _sessions(inside, max(opens, ledger.plan.now), closes):
                minutes += _judge(ledger, person, found)
                told.add(_told(ledger, person, found))
    shown = {(s.session, s.person, s.start, s.end) for s in ledger.plan.sessions}
    for session, person, start, end in sorted(told ^ shown):
        ledger.complaints.append(
            f"the session {session} of {person} from {ledger.at(start)} to {ledger.at(end)} is "
            f"{'not told' if (session, person, start, end) in told else 'told and not worked'}"
        )
    return minutes


def _stints(ledger: Ledger, person: str) -> list[_Stint]:
    found = []
    for task in ledger.plan.tasks:
        operation = ledger.operation(task)
        if person not in task.people or operation is None:
            continue
        mine = [s for s in ledger.shop.sessions.values() if _is_of(s, task, ledger)]
        for start, end in task.spans:
            if start < end:
                session = mine[0] if mine else None
                found.append(_Stint(start=start, end=end, session=session, task=task))
    return sorted(found, key=lambda stint: (stint.start, stint.end))


def _is_of(session: Session, task: Task, ledger: Ledger) -> bool:
    operation = ledger.operation(task)
    if operation is None or not operation.attended:
        return False
    if session.skill:
        return operation.skill == session.skill
    return operation.in_room == session.in_room and operation.room_state == session.room_state


def _sessions(stints: list[_Stint], opens: int, closes: int) -> list[_Open]:
    """Return the sessions within one opening, with the time around each that is its own."""
    runs: list[list[_Stint]] = []
    for stint in stints:
        if runs and runs[-1][0].session == stint.session:
            runs[-1].append(stint)
        else:
            runs.append([stint])
    found = []
    for place, run in enumerate(runs):
        session = run[0].session
        if session is None:
            continue
        before, after = opens, closes
        if place:
            earlier = runs[place - 1]
            out = earlier[0].session
            before = max(s.end for s in earlier) + (out.clean_down_min if out else 0)
        if place + 1 < len(runs):
            coming = runs[place + 1][0].session
            # What gearing up for the next takes is judged there.
            after = runs[place + 1][0].start - (coming.gear_up_min if coming else 0)
        found.append(_Open(session=session, stints=run, free_from=before, free_until=after))
    return found


def _begun(ledger: Ledger, found: _Open) -> bool:
    return found.stints[0].task.start < ledger.plan.now


def _bounds(ledger: Ledger, found: _Open) -> tuple[int, int]:
    gear = 0 if _begun(ledger, found) else found.session.gear_up_min
    last = max(stint.end for stint in found.stints)
    return found.stints[0].start - gear, last + found.session.clean_down_min


def _judge(ledger: Ledger, person: str, found: _Open) -> int:
    """Judge the minutes before and after the work of a session; return how many there are."""
    session, first = found.session, found.stints[0].task
    last = max(found.stints, key=lambda stint: stint.end).task
    start, end = _bounds(ledger, found)
    if start < found.free_from and not ledger.is_running(first):
        ledger.complain(
            first, f"leaves {person} no {session.gear_up_min} min to gear up ({session.key})"
        )
    if end > found.free_until and not ledger.is_running(last):
        ledger.complain(
            last, f"leaves {person} no {session.clean_down_min} min to clean down ({session.key})"
        )
    gear = 0 if _begun(ledger, found) else session.gear_up_min
    return gear + session.clean_down_min


def _told(ledger: Ledger, person: str, found: _Open) -> tuple[str, str, int, int]:
    start, end = _bounds(ledger, found)
    return found.session.key, person, start, end
