"""A disk that fills up under a served bench, and one that is only to be read.

The server has a small disk of its own (a tmpfs in its own view of the machine); the test fills it
from outside. What is said to be kept is kept, what is not is said to be not, and all goes on once
there is room again.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing, contextmanager, suppress
from pathlib import Path

import httpx
import pytest

from mouldwright.client import Client, Refused, Retry
from serving import Server

ONCE = Retry(attempts=1)
MAKES = ("--part", "stabiliser", "--process", "cast", "--quantity", "4")
PROGRAM = [sys.executable, "-c", "from mouldwright.cli.main import run; run()"]


def on_a_disk_of(folder: Path, megabytes: int, *, how: str = "rw") -> list[str]:
    """Return what stands before a command so that a folder is a small disk to it alone."""
    mount = f'mount -t tmpfs -o size={megabytes}m,{how} tmpfs "$0" && exec "$@"'
    return ["unshare", "--map-root-user", "--mount", "sh", "-c", mount, str(folder)]


@pytest.fixture
def served(tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    server = Server(
        tmp_path, f"sqlite:///{disk / 'bench.db'}", before=on_a_disk_of(disk, 4), workers=0
    )
    server.start()
    yield server, Path(f"/proc/{server.pid}/root{disk}")
    server.stop()


@contextmanager
def filled(disk: Path):
    """Leave no room on a disk for a while."""
    filler = disk / "filler"
    with suppress(OSError), filler.open("ab", buffering=0) as file:
        while True:
            file.write(b"x" * 4096)
    yield
    filler.unlink()


def test_a_full_disk_is_told_as_such_and_nothing_is_half_kept(served, demo):
    server, disk = served
    with Client.by_link(server.link(), retry=ONCE) as keeper:
        shop = keeper.add_shop("foils", demo)
        kept = [shop.quotes.make("stabiliser", 4, process="printed").value.number]
        with filled(disk):
            for key in ("one", "one", "two"):
                with pytest.raises(Refused) as caught:
                    shop.quotes.make("stabiliser", 5, process="printed", key=key)
                assert (caught.value.status, caught.value.kind) == (507, "store-full")
                assert "make room" in caught.value.detail
            # Everything that is kept can be read, and asked of.
            assert shop.quotes.read(1).value.number == 1
            assert shop.quotes.pdf(1, 1).startswith(b"%PDF-")
            assert shop.ask.price("stabiliser", 4, process="printed", finish="by_rate")
            assert keeper.health().status == "ok"
            assert _page(server, keeper, "/shops/foils/quotes").status_code == 200
        made = shop.quotes.make("stabiliser", 5, process="printed", key="one")
        kept.append(made.value.number)
        # The number that could not be kept was not used up.
        assert kept == [1, 2]
        assert [entry.number for entry in shop.quotes.list()] == [2, 1]
    for file in disk.glob("bench.db*"):
        shutil.copy(file, server.folder)
    with closing(sqlite3.connect(server.folder / "bench.db")) as database:
        assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_a_disk_that_fills_up_at_any_moment_loses_nothing_that_was_acknowledged(served, demo):
    server, disk = served
    with Client.by_link(server.link(), retry=ONCE) as keeper:
        shop = keeper.add_shop("foils", demo)
        acknowledged, refused = [], []
        filler = disk / "filler"
        for turn in range(40):
            with filler.open("ab", buffering=0) as file, suppress(OSError):
                while os.statvfs(disk).f_bavail * 4096 > 8_000 * (turn % 5):
                    file.write(b"x" * 4096)
            try:
                shop.tokens.issue("viewer", f"screen {turn}")
                acknowledged.append(f"screen {turn}")
            except Refused as no:
                refused.append(no.kind)
            filler.unlink()
        assert set(refused) == {"store-full"}
        assert acknowledged
        assert [token.label for token in shop.tokens.list()] == acknowledged


def _page(server: Server, keeper: Client, path: str) -> httpx.Response:
    session = {"mouldwright_session": keeper.token}
    with httpx.Client(trust_env=False, cookies=session) as browser:
        return browser.get(server.address + path)


def run_on_a_full_disk(disk: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run a command whose folder has room for nothing; list the folder afterwards."""
    before = on_a_disk_of(disk, 1)
    fill = 'head -c 2000000 /dev/zero > "$0/filler" 2>/dev/null'
    script = f'{fill}; "$@"; code=$?; ls -A "$0"; exit $code'
    return subprocess.run(
        [*before, "sh", "-c", script, str(disk), *PROGRAM, *arguments],
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )


@pytest.mark.parametrize(
    "command",
    [
        ("quote", "{bench}", *MAKES, "--pdf"),
        ("backup", "--database", "{database}"),
        ("paper", "{bench}", "day-sheet", "--out"),
    ],
)
def test_a_file_that_finds_no_room_is_not_left_half_written(command, tmp_path, demo):
    disk, bench = tmp_path / "disk", tmp_path / "bench"
    disk.mkdir()
    _run("demo", "--write", str(bench))
    database = f"sqlite:///{tmp_path / 'bench.db'}"
    _run("sign-in", "--database", database)
    words = [word.format(bench=bench, database=database) for word in command]
    done = run_on_a_full_disk(disk, *words, str(disk / "made"))
    assert done.returncode in (1, 2), done.stdout + done.stderr
    assert "no space left" in done.stderr.lower()
    assert "Traceback" not in done.stderr
    assert done.stdout.split() == ["filler"]


def test_a_disk_that_is_only_to_be_read_is_told_as_such_when_the_server_is_started(tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    url = f"sqlite:///{disk / 'bench.db'}"
    server = Server(tmp_path, url, before=on_a_disk_of(disk, 1, how="ro"))
    server.launch()
    assert server.ended() == 1
    assert "cannot be opened: Read-only file system" in server.said
    assert "Traceback" not in server.said


def _run(*arguments: str) -> None:
    done = subprocess.run([*PROGRAM, *arguments], capture_output=True, check=False, timeout=300)
    assert done.returncode == 0, done.stderr
