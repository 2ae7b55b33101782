"""Workers that run by themselves, as many as are started, beside a server that has none."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from serving import Server, signed_in, wait_until


def worker(server: Server) -> subprocess.Popen[bytes]:
    """Start ``mouldwright work`` on the database of a server."""
    command = [sys.executable, "-c", "from mouldwright.cli.main import run; run()", "work"]
    clock = {"MOULDWRIGHT_CLOCK_AHEAD_SECONDS": str(server.ahead.total_seconds())}
    return subprocess.Popen([*command, "--database", server.url], env=os.environ | clock)


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_two_workers_take_up_the_runs_of_a_server_that_has_none(kind, new_database, tmp_path, demo):
    server = Server(tmp_path, new_database(kind, tmp_path), workers=0)
    server.start()
    started = []
    try:
        assert server.workers == []
        with signed_in(server) as keeper:
            shops = [keeper.add_shop(key, demo) for key in ("one", "two")]
            runs = [shop.runs.start(seconds=0.5).value.id for shop in shops]
            started = [worker(server), worker(server)]
            ends = [shop.runs.wait(run) for shop, run in zip(shops, runs, strict=True)]
            assert [(end.state, end.attempts) for end in ends] == [("done", 1)] * 2
        for process in started:
            process.send_signal(signal.SIGTERM)
        assert [process.wait(300) for process in started] == [0, 0]
    finally:
        for process in started:
            process.kill()
            process.wait()
        server.stop()


def test_a_worker_that_reaches_no_database_says_so_and_ends(tmp_path):
    away = f"sqlite:///{tmp_path / 'file'}/below/it.db"
    Path(tmp_path / "file").touch()
    command = [sys.executable, "-c", "from mouldwright.cli.main import run; run()", "work"]
    done = subprocess.run(
        [*command, "--database", away], capture_output=True, text=True, check=False, timeout=300
    )
    assert done.returncode == 1
    assert "cannot be opened" in done.stderr
    assert "Traceback" not in done.stderr


def test_the_processes_of_a_server_are_as_many_as_were_asked_for(tmp_path):
    server = Server(tmp_path, f"sqlite:///{tmp_path / 'many.db'}", workers=3)
    server.start()
    try:
        wait_until(lambda: len(server.workers) == 3, 300.0)
    finally:
        server.stop()
