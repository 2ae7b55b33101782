"""A worker process of its own, ended in every way a process ends."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import textwrap
import time
from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from promise_bench import KEY

from mouldwright.runs.process import WorkerProcess
from mouldwright.usecases.kept_run import Run
from mouldwright.usecases.runs import ask_for_plan


def asked(bench, seconds: float, name: str = "the-run") -> Run:
    return bench.done(
        ask_for_plan,
        why="a test asks",
        now=datetime.now(UTC),
        chance=lambda: name,
        seconds=seconds,
    )


def seen(bench, run: Run) -> Run:
    with bench.units.read(KEY) as unit:
        return unit.runs.by_id(run.id)


def wait_until(true: Callable[[], object], seconds: float = 300.0) -> None:
    until = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < until, "waited in vain"
        time.sleep(0.05)


@pytest.fixture
def process(bench):
    started = WorkerProcess(
        {"MOULDWRIGHT_DATABASE_URL": bench.url, "MOULDWRIGHT_LEASE_SECONDS": "1.5"}
    )
    started.start()
    yield started
    started.stop()


def test_a_run_whose_worker_is_killed_is_finished_by_the_next_one(bench, process):
    # On a busy machine a run may be over before its worker is killed: then another is asked for.
    for plans in range(1, 9):
        run = asked(bench, seconds=3.0, name=f"run-{plans}")
        wait_until(lambda number=run: seen(bench, number).state != "waiting")
        killed = process.pid
        assert killed is not None
        os.kill(killed, signal.SIGKILL)
        wait_until(lambda number=run: seen(bench, number).ended)
        done = seen(bench, run)
        if done.attempts > 1:
            break
        wait_until(lambda gone=killed: process.pid != gone)
    assert (done.state, done.attempts) == ("done", 2)
    assert process.pid != killed
    with bench.units.read(KEY) as unit:
        assert unit.plans.newest().version == done.plan_version == plans
        assert unit.plans.newest().plan.checked


def test_a_worker_that_is_stopped_gives_its_run_back_and_ends(bench, process):
    run = asked(bench, seconds=60.0)
    wait_until(lambda: seen(bench, run).state == "running")
    process.stop(patience_s=300.0)
    assert process.pid is None
    back = seen(bench, run)
    assert (back.state, back.attempts) == ("waiting", 0)


def test_a_worker_ends_when_the_one_that_started_it_is_killed(bench, tmp_path):
    parent = subprocess.Popen(
        [
            sys.executable,
            "-c",
            textwrap.dedent(
                f"""
                import time
                from mouldwright.runs.process import WorkerProcess
                worker = WorkerProcess({{"MOULDWRIGHT_DATABASE_URL": {bench.url!r}}})
                worker.start()
                print(worker.pid, flush=True)
                time.sleep(600)
                """
            ),
        ],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert parent.stdout is not None
    worker = int(parent.stdout.readline())
    parent.kill()
    parent.wait()
    parent.stdout.close()
    wait_until(lambda: not alive(worker))


def alive(pid: int) -> bool:
    """Return whether a process lives; one that has ended and is not yet reaped does not."""
    try:
        with open(f"/proc/{pid}/stat", encoding="ascii") as stat:
            return stat.read().rsplit(")", 1)[1].split()[0] != "Z"
    except FileNotFoundError:
        return False


def test_a_worker_that_was_never_started_is_stopped_all_the_same():
    """A server told to stop while it starts stops its workers, whether they were started or not."""
    never = WorkerProcess({})
    never.stop()
    assert never.pid is None
