"""A service of its own on loopback, its clock moved by hand, its worker asked to work."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import uvicorn

from mouldwright.bootstrap import make_app, open_services
from mouldwright.bootstrap.workers import make_worker
from mouldwright.client import Client
from mouldwright.client.shop import Shop
from mouldwright.runs.worker import LEASE, Worker
from mouldwright.settings import Settings
from mouldwright.store.migrate import migrate
from mouldwright.usecases.access import promise_sign_in
from mouldwright.usecases.kept import Role

_MEMORY_MB = 65_536
KEY = "month"


class HandClock:
    """A clock that stands still until it is moved."""

    def __init__(self, now: datetime) -> None:
        """Begin at a zone-aware instant."""
        self.now = now

    def __call__(self) -> datetime:
        """Return the present."""
        return self.now


@dataclass(frozen=True)
class House:
    """A served shop.

    Attributes:
        shop: Asked over HTTP.
        clock: What the service and its worker take for the present.
        worker: Takes up what is asked of it, one run at a time.
    """

    shop: Shop
    clock: HandClock
    worker: Worker

    def work(self) -> None:
        """Let the worker do all that waits."""
        never = threading.Event()
        while self.worker.work_one(never) is not None:
            pass


@contextmanager
def open_house(toml: str, now: datetime) -> Iterator[House]:
    """Serve a shop on a database of its own until the block is left.

    Args:
        toml: The shop as a scenario.
        now: The service's first present, zone-aware.
    """
    with TemporaryDirectory(prefix="mouldwright-month-") as folder:
        url = f"sqlite:///{Path(folder) / 'month.db'}"
        migrate(url)
        # The worker shares this process, which may hold far more than a worker of its own would.
        settings = Settings(database_url=url, run_memory_mb=_MEMORY_MB)  # type: ignore[arg-type]  # read as a secret
        opened = open_services(settings)
        clock = HandClock(now)
        services = replace(opened.services, clock=clock)
        server = uvicorn.Server(
            uvicorn.Config(make_app(services), host="127.0.0.1", port=0, log_config=None)
        )
        serving = threading.Thread(target=server.run, daemon=True)
        serving.start()
        try:
            while not server.started:
                time.sleep(0.01)
            port = server.servers[0].sockets[0].getsockname()[1]
            code = promise_sign_in(
                services.units,
                shop=None,
                role=Role.KEEPER,
                minutes=15,
                now=now,
                chance=services.chance,
            )
            with Client(f"http://127.0.0.1:{port}") as client:
                client.sign_in(code)
                client.add_shop(KEY, toml)
                worker = make_worker(settings, name="month", lease=LEASE, clock=clock)
                yield House(client.shop(KEY), clock, worker)
        finally:
            server.should_exit = True
            serving.join()
            opened.close()
