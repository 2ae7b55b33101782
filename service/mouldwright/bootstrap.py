"""Putting it all together: the one module that knows every layer."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import partial
from typing import TYPE_CHECKING

from mouldwright.domain.shop import Shop
from mouldwright.runs.worker import Worker
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.settings import Settings
from mouldwright.store.engine import make_engine, must_answer
from mouldwright.store.run_queue import StoreRunQueue
from mouldwright.store.unit_of_work import StoreUnits
from mouldwright.usecases.lead_times import LeadTimes
from mouldwright.usecases.ports import Clock
from mouldwright.usecases.runs import Tending
from mouldwright.usecases.services import Limits, Services

if TYPE_CHECKING:
    from fastapi import FastAPI


def clock() -> datetime:
    """Return the present by the machine's clock."""
    return datetime.now(UTC)


def clock_of(settings: Settings) -> Clock:
    """Return the clock that the settings ask for: the machine's, or one set forward or back."""
    ahead = timedelta(seconds=settings.clock_ahead_seconds)
    return (lambda: clock() + ahead) if ahead else clock


def chance() -> str:
    """Return 256 random bits as text that is safe in a url."""
    return secrets.token_urlsafe(32)


def finish_on_top(shop: Shop, part: str, process: str | None, quantity: int, now: int) -> int:
    """Return the minute one more order would be ready on top of all that is booked."""
    # The planner is slow to import; most of what is asked of a server does not need it.
    from mouldwright.usecases.planned import finish_on_top as planned

    return planned(shop, part, process, quantity, now)


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """The services on a database that is open.

    Attributes:
        close: Lets go of the database.
    """

    services: Services
    close: Callable[[], None]


def open_services(settings: Settings) -> Opened:
    """Return the services on the database of the settings; its tables are there already."""
    engine = make_engine(
        settings.database_url.get_secret_value(),
        pool_size=settings.threads,
        busy_seconds=settings.busy_seconds,
    )
    services = Services(
        units=StoreUnits(engine),
        written=KeptScenarios(),
        clock=clock_of(settings),
        chance=chance,
        limits=Limits(
            body_bytes=settings.largest_body_bytes,
            quantity=settings.largest_quantity,
            token_days=settings.token_days,
            sign_in_minutes=settings.sign_in_minutes,
            threads=settings.threads,
        ),
        alive=partial(must_answer, engine),
        called=settings.called,
        finish=LeadTimes(finish_on_top),
    )
    return Opened(services=services, close=engine.dispose)


def make_app(services: Services) -> FastAPI:
    """Return the service over HTTP, and its pages."""
    from mouldwright.api.app import create_app

    return create_app(services)


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
    tell = clock_of(settings)
    tending = Tending(
        StoreUnits(engine),
        queue,
        written=KeptScenarios(),
        make_plan=make_plan,
        clock=tell,
        chance=chance,
    )
    return Worker(queue, tending, name=name, clock=tell, lease=lease)
