from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

from kept_things import everything
from promise_bench import KEY

from mouldwright.usecases.kept_run import Page

# A process takes a second or two to start; raise it to look harder.
KILLS = int(os.environ.get("MOULDWRIGHT_STORE_KILLS", "3"))
WRITER = Path(__file__).with_name("writes_until_killed.py")


def said_until_killed(url: str, after_s: float) -> list[str]:
    """Start a process that writes, kill it some time after its first order; return what it said."""
    writer = subprocess.Popen(
        [sys.executable, str(WRITER), url], stdout=subprocess.PIPE, text=True, bufsize=1
    )
    assert writer.stdout is not None
    first = writer.stdout.readline()
    time.sleep(after_s)
    os.kill(writer.pid, signal.SIGKILL)
    rest, _ = writer.communicate()
    assert writer.returncode == -signal.SIGKILL
    # A line cut off by the kill was not heard whole.
    return [line for line in (first + rest).splitlines(keepends=True) if line.endswith("\n")]


def test_no_order_that_was_acknowledged_is_lost_when_those_who_write_are_killed(
    either_bench, record_property
):
    chosen = random.Random(7)
    heard: list[str] = []
    for _ in range(KILLS):
        said = said_until_killed(either_bench.url, chosen.uniform(0.0, 0.5))
        assert said, "killed before anything was written"
        heard += [line.strip() for line in said]
    record_property("acknowledged", len(heard))
    assert len(heard) == len(set(heard))
    with either_bench.units.read(KEY) as unit:
        booked = {booking.order.number for booking in unit.bookings.listed(Page(limit=100_000))}
        assert set(heard) <= booked
        # Every acceptance asked for a plan; the first of them waits for a worker still.
        assert [run.state for run in unit.runs.listed()] == ["waiting"]
    rows = everything(either_bench.url)
    numbers = sorted(row[1] for row in rows["quote"])
    assert numbers == list(range(1, len(numbers) + 1))
    accepted = {f"Q{row[1]}" for row in rows["quote_revision"] if row[3] == "accepted"}
    # Order, state of the quote and the reply to who asked are there together or not at all.
    assert accepted == booked == {row[1].replace("accept ", "Q") for row in rows["kept_reply"]}
    counters = {row[1]: row[2] for row in rows["counter"]}
    assert counters == {"quote": len(numbers), "book": len(booked)}
    # And the next one is given the next number.
    assert either_bench.quoted().number == len(numbers) + 1
