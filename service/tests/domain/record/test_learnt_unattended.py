"""Times of what runs by itself: counted where the end was seen, proposed of machine runs alone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_log import done, logged, work

from mouldwright.domain.record.learnt_changes import learnt_at_bench
from mouldwright.scenario.demo import open_demo

DEMO = open_demo("foil-bench").shop
PRINT = DEMO.processes["printed-small"].operation("print")
CURE = DEMO.processes["pressed"].operation("cure")
# Mondays to Thursdays of three weeks, as hours after the Monday the tests begin with: the bench
# is open from 08:30 to 12:30 and from 13:15 to 17:15.
DAYS = tuple(24.0 * (7 * week + day) for week in range(3) for day in range(4))


def runs(operation, process, part, share, days, *, at=9.0, members=1):
    """Return entries of single runs, each so many times its standard, begun at that hour."""
    minutes = float(operation.fixed_min + operation.each_min * members)
    found = []
    for n, day in enumerate(days, start=1):
        of = {"parts": [n]} if operation.per == "batch" else {"pulls": [n]}
        task = work(operation.name, order="1001", process=process, part=part, **of)
        found += done(day + at + share * minutes / 60, task, began=day + at)
    return found


def learnt_of(entries, process, name):
    shop = replace(DEMO, log=logged(*entries))
    found = learnt_at_bench(shop)
    (time,) = [t for t in found.times if (t.process, t.operation.name) == (process, name)]
    return time, [c for c in found.changes if c.process == process]


def small_prints(share, days=DAYS, **more):
    return runs(PRINT, "printed-small", "winglet", share, days, **more)


def test_prints_that_take_longer_are_proposed_by_their_own_minutes():
    time, changes = learnt_of(small_prints(1.5), "printed-small", "print")
    assert (time.usual.tasks, time.unseen, time.by_person) == (12, 0, {})
    # Twelve at 1.5 against four at the standard: 1.5^(12/16).
    assert time.usual.share == pytest.approx(1.5**0.75, rel=1e-3)
    (change,) = changes
    assert (change.kind, list(change.was)) == ("time", ["unattended_min", "unattended_each_min"])
    for name, was in change.was.items():
        assert float(change.proposed[name]) == pytest.approx(float(was) * 1.5**0.75, abs=0.51)


def test_an_end_that_nobody_could_see_says_nothing_of_the_time():
    # Of 73 min: begun at 16:30 they are due at 17:43, after hours, and noted next morning; begun
    # at 11:30, due at 12:43, they are noted at 13:19.5, after lunch.
    overnight = small_prints(16.25 * 60 / 73, DAYS[:3], at=16.5)
    lunch = small_prints(1.5, DAYS[4:6], at=11.5)
    time, changes = learnt_of([*overnight, *lunch], "printed-small", "print")
    assert (time.usual.tasks, time.unseen, len(time.set_aside)) == (0, 5, 0)
    assert time.usual.noted is None
    assert time.usual.share == 1
    assert changes == []


def test_one_that_was_over_before_it_was_due_was_seen_whenever_that_was():
    # Begun at 16:30 and noted at 17:06, of 73 min: nothing ends before it ends.
    time, _ = learnt_of(small_prints(0.5, DAYS[:3], at=16.5), "printed-small", "print")
    assert (time.usual.tasks, time.unseen) == (3, 0)


def test_a_cure_is_shown_and_never_proposed_however_short_it_was_cut():
    # Begun at 09:00 and cut at half: noted at 21:00, twelve times over.
    time, changes = learnt_of(runs(CURE, "pressed", "fin", 0.5, DAYS), "pressed", "cure")
    assert time.usual.noted == pytest.approx(0.5)
    assert time.usual.most < 1
    assert not time.is_for_the_log
    assert changes == []


def test_what_runs_by_itself_is_learnt_by_no_hands():
    time, _ = learnt_of(small_prints(1.5), "printed-small", "print")
    assert time.curve.rate is None
    assert "no hands" in time.curve.refused
