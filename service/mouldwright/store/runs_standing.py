"""How the runs of all shops stand, counted in one place for whoever asks."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, Connection, func, not_, or_, select
from sqlmodel import Session, col

from mouldwright.store.tables import RunRow
from mouldwright.usecases.diagnosis import Work
from mouldwright.usecases.kept import Waiting

# No setting has a worker hold a run for longer without a sign of life.
LONGEST_LEASE = timedelta(hours=1)


def is_lapsed(now: datetime) -> ColumnElement[bool]:
    """Return what is true of runs under way whose worker shows no sign of life any more.

    A lease that lies further ahead than any is given for was given before the clock was put
    back; a worker that lives gives it anew at its next beat.
    """
    until = col(RunRow.leased_until)
    return or_(until < now, until > now + LONGEST_LEASE)


def standing_of(database: Connection | Session, now: datetime) -> Work:
    """Return how the runs stand.

    Args:
        database: Asked for nothing but counts.
        now: What leases are held against.
    """

    def count(*which: ColumnElement[bool]) -> int:
        return database.scalar(select(func.count()).select_from(RunRow).where(*which)) or 0

    waits, runs = col(RunRow.state) == "waiting", col(RunRow.state) == "running"
    return Work(
        waiting=Waiting(
            runs=count(waits),
            since=database.scalar(select(func.min(col(RunRow.asked_at))).where(waits)),
        ),
        held=count(runs, not_(is_lapsed(now))),
        lapsed=count(runs, is_lapsed(now)),
        set_aside=count(col(RunRow.state) == "set aside"),
    )
