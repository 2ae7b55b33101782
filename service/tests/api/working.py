"""A worker beside the service of a test, on the same database and clock."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import Any

from service_bench import ServiceBench

from mouldwright.bootstrap.workers import answering
from mouldwright.planning.run import make_plan
from mouldwright.runs.worker import Worker
from mouldwright.store.engine import make_engine
from mouldwright.store.run_queue import StoreRunQueue
from mouldwright.store.unit_of_work import StoreUnits
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.runs import Tending

NEVER = threading.Event()


@contextmanager
def worker_beside(
    served: ServiceBench, make: Callable[..., Any] = make_plan, *, lease_s: float = 30.0
) -> Iterator[Worker]:
    """Yield a worker with an engine of its own, as in a process of its own."""
    engine = make_engine(served.url, pool_size=4)
    queue = StoreRunQueue(engine)
    tending = Tending(
        StoreUnits(engine),
        queue,
        written=served.services.written,
        make_plan=make,
        clock=served.clock,
        chance=served.services.chance,
        answer=answering(),
    )
    lease = timedelta(seconds=lease_s)
    yield Worker(queue, tending, name="beside", clock=served.clock, lease=lease, idle_s=0.01)
    engine.dispose()


def worked(served: ServiceBench, make: Callable[..., Any] = make_plan) -> Run | None:
    """Take up one run and carry it to its end."""
    with worker_beside(served, make) as worker:
        return worker.work_one(NEVER)
