"""Putting it all together: the one module that knows every layer."""

from __future__ import annotations

import secrets
from datetime import UTC, datetime, timedelta

from mouldwright.runs.worker import Worker
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.settings import Settings
from mouldwright.store.engine import make_engine
from mouldwright.store.run_queue import StoreRunQueue
from mouldwright.store.unit_of_work import StoreUnits
from mouldwright.usecases.runs import Tending


def clock() -> datetime:
    """Return the present by the machine's clock."""
    return datetime.now(UTC)


def chance() -> str:
    """Return 256 random bits as text that is safe in a url."""
    return secrets.token_urlsafe(32)


def make_worker(settings: Settings, *, name: str, lease: timedelta) -> Worker:
    """Return a worker on the database of the settings; its tables are there already.

    Args:
        settings: Where the database is.
        name: One of a kind for each process that ever was.
        lease: How long a run is held without a sign of life.
    """
    # The planner is slow to import, and only a worker needs it.
    from mouldwright.planning.run import make_plan

    engine = make_engine(
        settings.database_url.get_secret_value(), pool_size=4, busy_seconds=settings.busy_seconds
    )
    queue = StoreRunQueue(engine)
    tending = Tending(
        StoreUnits(engine),
        queue,
        written=KeptScenarios(),
        make_plan=make_plan,
        clock=clock,
        chance=chance,
    )
    return Worker(queue, tending, name=name, clock=clock, lease=lease)
