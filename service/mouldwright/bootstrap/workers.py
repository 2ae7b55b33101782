"""Putting a worker together, and becoming one."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from datetime import timedelta
from typing import NoReturn

from mouldwright.bootstrap.present import chance, clock_of
from mouldwright.domain.record.audit_entry import Actor
from mouldwright.runs.caps import Caps
from mouldwright.runs.process import WORKER_MODULE
from mouldwright.runs.worker import Worker
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.settings import Settings
from mouldwright.store.engine import make_engine, opening
from mouldwright.store.migrate import migrate
from mouldwright.store.run_queue import StoreRunQueue
from mouldwright.store.unit_of_work import StoreUnits
from mouldwright.usecases.ports import Clock
from mouldwright.usecases.runs import Answer, Tending


def answering() -> Answer:
    """Return what answers questions at length, and writes the answers as they are read."""
    from mouldwright.usecases.answering import Answering
    from mouldwright.wire.answers.gains import MouldCountAnswer, OneMoreAnswer
    from mouldwright.wire.answers.tried_order import TriedOrderAnswer

    return Answering(
        one_more=lambda found, money: OneMoreAnswer.of(found, money).model_dump_json(),
        moulds=lambda found, money: MouldCountAnswer.of(found, money).model_dump_json(),
        tried=lambda found: TriedOrderAnswer.of(found).model_dump_json(),
    )


def work(settings: Settings) -> NoReturn:
    """Become a worker process, until told to stop; the database is brought up to date first.

    Raises:
        MouldwrightError: if the database does not answer.
    """
    url = settings.database_url.get_secret_value()
    with opening(url):
        migrate(url)
    os.environ["MOULDWRIGHT_DATABASE_URL"] = url
    os.execv(sys.executable, [sys.executable, "-m", WORKER_MODULE])


def make_worker(
    settings: Settings,
    *,
    name: str,
    lease: timedelta,
    clock: Clock | None = None,
    begin_anew: Callable[[], object] | None = None,
) -> Worker:
    """Return a worker on the database of the settings; its tables are there already.

    Args:
        settings: Where the database is.
        name: One of a kind for each process that ever was.
        lease: How long a run is held without a sign of life.
        clock: Another than the settings ask for.
        begin_anew: See ``Worker``.
    """
    # The planner is slow to import, and only a worker needs it.
    from mouldwright.planning.odds.simulate import odds_of
    from mouldwright.planning.run import make_plan

    engine = make_engine(
        settings.database_url.get_secret_value(), pool_size=4, busy_seconds=settings.busy_seconds
    )
    queue = StoreRunQueue(engine)
    tell = clock or clock_of(settings)
    tending = Tending(
        StoreUnits(engine, actor=Actor(label="the planner beside the service"), clock=tell),
        queue,
        written=KeptScenarios(),
        make_plan=make_plan,
        clock=tell,
        chance=chance,
        answer=answering(),
        odds=odds_of,
    )
    caps = Caps(memory_mb=settings.run_memory_mb, minutes=settings.run_minutes)
    return Worker(
        queue, tending, name=name, clock=tell, lease=lease, caps=caps, begin_anew=begin_anew
    )
