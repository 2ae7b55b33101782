"""What a run may take, and what becomes of one that takes more."""

from __future__ import annotations

import json
import logging
import subprocess
import sys
import textwrap
import threading
import time
from datetime import timedelta

import pytest
from promise_bench import KEY, NOW
from test_worker import NEVER, Planner, asked, newest, run_now

from mouldwright.logs import JsonLines
from mouldwright.runs.caps import Caps, Overseer, memory_mb
from mouldwright.runs.process import WorkerProcess
from mouldwright.runs.worker import Worker
from mouldwright.usecases.errors import Unknown
from mouldwright.usecases.runs import Tending

LEASE = timedelta(seconds=30)
TOO_SMALL = Caps(memory_mb=1)
HASTY = Caps(memory_mb=1, patience_s=0.1)


@pytest.fixture
def planner(bench):
    return Planner(bench)


def worker(bench, planner, caps: Caps, begin_anew=None) -> Worker:
    tending = Tending(
        bench.units, bench.queue, written=bench.written, make_plan=planner, clock=lambda: NOW,
        chance=iter(f"run-{n}" for n in range(1, 99)).__next__,
    )  # fmt: skip
    return Worker(
        bench.queue, tending, name="w", clock=lambda: NOW, lease=LEASE, caps=caps,
        begin_anew=begin_anew,
    )  # fmt: skip


def until_cancelled(cancelled, seconds: float = 300.0) -> None:
    until = time.monotonic() + seconds
    while not cancelled():
        assert time.monotonic() < until, "was never told to stop"
        time.sleep(0.01)


@pytest.mark.parametrize(
    ("caps", "said"),
    [(TOO_SMALL, "more than the 1 MB"), (Caps(minutes=0.001), "longer than the 0.001 minutes")],
)
def test_a_run_over_its_caps_is_set_aside_in_words_and_its_best_plan_can_still_be_read(
    bench, planner, caps, said
):
    planner.during = until_cancelled
    run = asked(bench)
    worker(bench, planner, caps).work_one(NEVER)
    aside = run_now(bench, run)
    assert (aside.state, aside.attempts) == ("set aside", 1)
    assert said in aside.problems[0]
    with pytest.raises(Unknown):
        newest(bench)
    with bench.units.read(KEY) as unit:
        assert unit.runs.best(run.id) == planner.plan


def test_the_worker_goes_on_after_a_run_over_its_caps(bench, planner):
    planner.during = until_cancelled
    asked(bench)
    worker(bench, planner, TOO_SMALL).work_one(NEVER)
    planner.during = lambda _: None
    run = asked(bench)
    worker(bench, planner, Caps()).work_one(NEVER)
    assert run_now(bench, run).state == "done"


def test_a_run_that_is_refused_memory_is_set_aside_at_once_and_not_tried_again(bench, planner):
    planner.error = MemoryError()
    run = asked(bench)
    hand = worker(bench, planner, Caps(memory_mb=700))
    hand.work_one(NEVER)
    aside = run_now(bench, run)
    assert (aside.state, aside.attempts) == ("set aside", 1)
    assert "more than the 700 MB" in aside.problems[0]
    assert hand.work_one(NEVER) is None


def test_of_a_run_that_does_not_stop_the_worker_is_told_to_let_go():
    told: list[str] = []
    with Overseer(HASTY, give_up=told.append, memory_mb=lambda: 2.0):
        until_cancelled(lambda: told)
    assert "1 MB" in told[0]


def test_a_worker_begins_anew_where_a_run_over_its_caps_does_not_stop(bench, planner):
    let_go = threading.Event()
    run = asked(bench)

    def heeds_nothing(*_args, **_more):
        let_go.wait(300)
        return planner.plan

    worker(bench, heeds_nothing, HASTY, begin_anew=let_go.set).work_one(NEVER)
    assert let_go.is_set()
    assert run_now(bench, run).state == "set aside"
    assert "1 MB" in run_now(bench, run).problems[0]


def test_what_a_process_holds_grows_by_what_it_takes():
    before = memory_mb()
    taken = bytearray(b"x" * 80_000_000)
    assert 60 < memory_mb() - before < 200
    del taken


def test_a_process_is_refused_memory_far_over_the_cap_and_lives_on():
    said = subprocess.run(
        [
            sys.executable,
            "-c",
            textwrap.dedent(
                """
                from mouldwright.runs.caps import keep_within
                keep_within(64)
                try:
                    bytearray(400_000_000)
                except MemoryError:
                    print("refused", len(bytearray(40_000_000)))
                """
            ),
        ],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert said == "refused 40000000\n"


def test_a_worker_process_sets_a_run_over_its_memory_aside_and_takes_up_the_next(bench):
    # The program alone takes more than this, so that every run is over it.
    env = {"MOULDWRIGHT_DATABASE_URL": bench.url, "MOULDWRIGHT_RUN_MEMORY_MB": "64"}
    process = WorkerProcess(env)
    process.start()
    try:
        pid = process.pid
        for _ in range(2):
            run = asked(bench, seconds=30.0)
            until_cancelled(lambda run=run: run_now(bench, run).ended, seconds=40.0)
            assert run_now(bench, run).state == "set aside"
            assert "more than the 64 MB" in run_now(bench, run).problems[0]
        assert process.pid == pid
    finally:
        process.stop()


def test_each_run_is_written_down_with_its_id_and_without_a_name(bench, planner, caplog):
    caplog.set_level(logging.INFO, "mouldwright")
    run = asked(bench)
    worker(bench, planner, Caps()).work_one(NEVER)
    planner.error = RuntimeError("Tern survey club has no memory")
    again = asked(bench)
    worker(bench, planner, Caps()).work_one(NEVER)
    lines = [json.loads(JsonLines().format(record)) for record in caplog.records]
    told = [(line["said"], line["run"], line.get("how")) for line in lines]
    assert told == [
        ("run taken up", run.id, None),
        ("run let go", run.id, "done"),
        ("run taken up", again.id, None),
        ("run failed", again.id, None),
        ("run let go", again.id, "failed"),
    ]
    assert {line["shop"] for line in lines} == {KEY}
    assert lines[1]["seconds"] >= 0
    assert lines[1]["memory_mb"] > 20
    assert "Tern" not in json.dumps(lines)
