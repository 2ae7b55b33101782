"""What an entry cannot be true beside."""

from __future__ import annotations

import pytest
from bench_log import entry, logged, members, work

from mouldwright.domain.record.clash import clash
from mouldwright.domain.record.log import Happening, LogEntry

PRESS = work("press", mould="fin-pressed 1", pulls=[3])
WAX = work("wax", mould="fin-pressed 1")


def started(hours: float, task=PRESS) -> LogEntry:
    return entry(Happening.STARTED, hours, task=task)


def finished(hours: float, task=PRESS) -> LogEntry:
    return entry(Happening.FINISHED, hours, task=task)


def stopped(hours: float, task=PRESS) -> LogEntry:
    return entry(Happening.STOPPED, hours, task=task)


def scrapped(hours: float, pulls=(3,)) -> LogEntry:
    return entry(Happening.SCRAPPED, hours, members=members("1", pulls))


def lost(hours: float, mould: str = "fin-pressed 1") -> LogEntry:
    return entry(Happening.MOULD_LOST, hours, mould=mould)


def taken_back(number: int) -> LogEntry:
    return entry(Happening.TAKEN_BACK, 9, takes_back=number)


FITS = {
    "a first start": ((), started(1)),
    "an end after the start": ((started(1),), finished(2)),
    "an end nobody noted the start of": ((), finished(2)),
    "the start of what was only ticked off, from before": ((finished(2),), started(1)),
    "a start anew of what was stopped": ((started(1), stopped(2)), started(3)),
    "a start anew of what was taken back": ((started(1), taken_back(1)), started(3)),
    "another pull": ((started(1),), started(1, work("press", pulls=[4], mould="fin-pressed 2"))),
    "the same pull of another order": (
        (started(1),), started(2, work("press", pulls=[3], order="2"))),
    "upkeep done again": ((started(1, WAX), finished(2, WAX)), started(3, WAX)),
    "another scrapped pull": ((scrapped(1),), scrapped(2, [4])),
    "the end of what was under way as its mould broke": ((started(1), lost(2)), finished(3)),
    "work on a mould before it was lost": ((lost(2),), started(1)),
    "another mould lost": ((lost(1),), lost(2, "fin-pressed 2")),
}  # fmt: skip
CLASHES = {
    "a second start": ((started(1),), started(2), "It was started on 2027-03-01 at 01:00"),
    "a start after the end": ((started(1), finished(2)), started(3), "It was started on"),
    "a start after a tick": ((finished(2),), started(3), "It was finished on 2027-03-01 at 02:00"),
    "a second end": ((started(1), finished(2)), finished(3), "It was finished on"),
    "an end before its start": ((started(2),), finished(1), "It was started on"),
    "one pull of two begun already": (
        (started(1),), started(2, work("press", pulls=[3, 4])), "It was started on"),
    "upkeep under way": ((started(1, WAX),), started(2, WAX), "It was started on"),
    "scrap a second time": ((scrapped(1),), scrapped(2), "Pull 3 of order 1 was scrapped on"),
    "work on a lost mould": ((lost(1),), started(2), "fin-pressed 1 was lost on"),
    "a mould lost twice": ((lost(1),), lost(2), "fin-pressed 1 was lost on"),
}  # fmt: skip


@pytest.mark.parametrize(("log", "new"), FITS.values(), ids=FITS)
def test_this_fits(log, new):
    assert clash(logged(*log), new, "UTC") is None


@pytest.mark.parametrize(("log", "new", "said"), CLASHES.values(), ids=CLASHES)
def test_this_clashes(log, new, said):
    found = clash(logged(*log), new, "UTC")
    assert found is not None
    assert found.problem.startswith(said)
    assert "entry" in found.problem
    assert found.remedy
