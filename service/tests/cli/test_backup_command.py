"""Backup and restore as they are typed: what is printed, where, and the exit code."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from promise_bench import promise_bench

from mouldwright.cli.main import run


@dataclass
class Typed:
    returncode: int
    stdout: str
    stderr: str


@pytest.fixture
def typed(capsys, monkeypatch) -> Callable[..., Typed]:
    """Runs the command line as its script does, and returns what came of it."""

    def run_with(*words: str) -> Typed:
        monkeypatch.setattr(sys, "argv", ["mouldwright", *words])
        with pytest.raises(SystemExit) as left:
            run()
        printed = capsys.readouterr()
        return Typed(int(left.value.code or 0), printed.out, printed.err)

    return run_with


@pytest.fixture
def bench(tmp_path: Path):
    made = promise_bench(tmp_path)
    made.booked()
    yield made
    made.engine.dispose()


def test_a_backup_is_taken_looked_at_and_put_back_elsewhere(typed, bench, tmp_path, monkeypatch):
    file, other = str(tmp_path / "foils.backup"), f"sqlite:///{tmp_path / 'other.db'}"
    # By the environment, as the service finds it too.
    monkeypatch.setenv("MOULDWRIGHT_DATABASE_URL", bench.url)
    taken = typed("backup", file)
    assert (taken.returncode, taken.stderr) == (0, "")
    assert "Everything kept is in" in taken.stdout
    looked = typed("restore", file, "--look", "--json", "--database", other)
    assert json.loads(looked.stdout)["rows"]["booking"] == 1
    assert not (tmp_path / "other.db").exists()
    back = typed("restore", file, "--json", "--database", other)
    answer = json.loads(back.stdout)
    assert (back.returncode, answer["rows_replaced"], answer["tokens_that_hold"]) == (0, 0, 0)
    assert answer["sha256"] == json.loads(looked.stdout)["sha256"]
    again = typed("restore", file, "--database", other)
    assert (again.returncode, again.stdout) == (1, "")
    assert "nothing was changed" in again.stderr
    assert "--replace" in again.stderr
    replaced = typed("restore", file, "--replace", "--withdraw-tokens", "--database", other)
    assert replaced.returncode == 0
    assert "No token holds" in replaced.stdout


def test_what_is_wrong_is_said_in_a_line_without_a_trace(typed, tmp_path):
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear customer")
    none = f"sqlite:///{tmp_path / 'none.db'}"
    for words in (
        ("restore", str(letter), "--database", none),
        ("restore", str(tmp_path / "gone"), "--database", none),
        ("backup", str(tmp_path / "a.backup"), "--database", none),
        ("backup", str(tmp_path / "a.backup"), "--database", "pigeons"),
    ):
        wrong = typed(*words)
        assert (wrong.returncode, wrong.stdout) == (2, "")
        assert len(wrong.stderr.splitlines()) == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == ["letter.txt"]
