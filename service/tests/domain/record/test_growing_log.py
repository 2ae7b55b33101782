"""A log that remembers: grown bit by bit it tells what it would tell if read anew."""

from __future__ import annotations

import pickle
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldwright.domain.record import done
from mouldwright.domain.record.done import keys_of, tasks_done
from mouldwright.domain.record.kept_log import KeptLog, in_force, up_to
from mouldwright.domain.record.log import Happening, LogEntry, LoggedMember, LoggedTask

MORNING = datetime(2027, 3, 1, 8, tzinfo=UTC)
HANDS = (Happening.STARTED, Happening.FINISHED, Happening.STOPPED)


@pytest.fixture(autouse=True)
def short_memory(monkeypatch):
    """Go back so few entries that a drawn log is longer."""
    monkeypatch.setattr(done, "_LATELY", 3)


def told(number: int, what: Happening, minute: int, pulls: tuple[int, ...]) -> LogEntry:
    members = (LoggedMember(order="1001", pulls=pulls),) if pulls else ()
    task = LoggedTask(operation="load", process="p", part="f", mould="m 1", members=members)
    at = MORNING + timedelta(minutes=minute)
    return LogEntry(number=number, what=what, at=at, noted_at=at, task=task)


def back(number: int, which: int) -> LogEntry:
    return LogEntry(
        number=number,
        what=Happening.TAKEN_BACK,
        at=MORNING,
        noted_at=MORNING,
        takes_back=which,
    )


@st.composite
def entries(draw: st.DrawFn) -> list[LogEntry]:
    """Draw a log: mostly as it happens, at times noted late, at times taken back."""
    found: list[LogEntry] = []
    for number in range(1, draw(st.integers(1, 40)) + 1):
        if found and draw(st.integers(0, 5)) == 0:
            found.append(back(number, draw(st.integers(1, number - 1))))
            continue
        late = draw(st.sampled_from([0, 0, 0, 1, 4, 30]))
        pulls = draw(st.sampled_from([(), (1,), (2,), (1, 2), (2, 3)]))
        found.append(told(number, draw(st.sampled_from(HANDS)), number - late, pulls))
    return found


@given(log=entries(), cuts=st.lists(st.integers(1, 9), max_size=30))
@settings(max_examples=300, deadline=None)
def test_a_log_that_grew_tells_what_one_read_anew_tells(log, cuts):
    grown, at = KeptLog(), 0
    for step in [*cuts, len(log)]:
        grown, at = grown.followed_by(log[at : at + step]), at + step
        assert in_force(grown) == in_force(tuple(log[:at]))
        assert tasks_done(grown) == tasks_done(tuple(log[:at]))


@given(log=entries())
@settings(max_examples=100, deadline=None)
def test_an_earlier_log_goes_on_telling_what_it_told(log):
    shorter = KeptLog(log[:-1])
    before = tasks_done(shorter)
    tasks_done(shorter.followed_by(log[-1:]))
    assert tasks_done(shorter) == before == tasks_done(tuple(log[:-1]))


@given(log=entries())
@settings(max_examples=100, deadline=None)
def test_tasks_come_by_when_they_are_first_heard_of(log):
    found = tasks_done(KeptLog(log))
    assert list(found) == sorted(found, key=lambda each: (each.first_known, each.entries))


def test_a_note_that_comes_last_does_not_go_through_those_before_again(monkeypatch):
    log = [told(n, Happening.STARTED, n, (n,)) for n in range(1, 401)]
    grown = KeptLog(log[:-1])
    tasks_done(grown)
    looked_at = []
    monkeypatch.setattr(done, "keys_of", lambda task: looked_at.append(task) or keys_of(task))
    tasks_done(grown.followed_by(log[-1:]))
    assert looked_at == [log[-1].task]


def test_up_to_an_instant_it_tells_what_had_happened_by_then():
    log = KeptLog([told(1, Happening.STARTED, 0, (1,)), told(2, Happening.FINISHED, 9, (1,))])
    assert up_to(log, MORNING) == log[:1]
    assert up_to(log, MORNING + timedelta(minutes=9)) is log
    assert up_to(log, None) is log


def test_what_is_remembered_stays_behind_where_a_log_is_sent():
    log = KeptLog([told(1, Happening.STARTED, 0, (1,))])
    tasks_done(log)
    sent = pickle.loads(pickle.dumps(log))
    assert sent == log
    assert type(sent) is KeptLog
    assert in_force(sent).remembered is None
