"""The page about the client: its examples run, and print what it says they print."""

from __future__ import annotations

import io
import re
from concurrent.futures import ThreadPoolExecutor
from contextlib import redirect_stdout
from pathlib import Path

import pytest

from serving import Server

PAGE = Path(__file__).parent.parent / "docs" / "client.md"
_LINK = "http://127.0.0.1:8000/sign-in?code=..."


def examples(text: str) -> str:
    return "\n".join(re.findall(r"^```python\n(.*?)^```$", text, re.S | re.M))


def promised(code: str) -> list[str]:
    """Return what the comment beside each print says."""
    return re.findall(r"^ *print\(.*\)  # (.+)$", code, re.M)


@pytest.fixture
def demo_server(new_database, tmp_path):
    started = Server(tmp_path, new_database("sqlite", tmp_path))
    started.start("--demo")
    yield started
    started.stop()


def test_every_example_runs_and_prints_what_stands_beside_it(demo_server):
    code = examples(PAGE.read_text(encoding="utf-8"))
    assert code.count(_LINK) == 1
    names: dict[str, object] = {}
    printed = io.StringIO()
    run = compile(code.replace(_LINK, demo_server.link()), str(PAGE), "exec")
    # In a thread of its own: the browser of other tests leaves a loop going in this one.
    with redirect_stdout(printed), ThreadPoolExecutor(1) as beside:
        beside.submit(exec, run, names).result()
    names["client"].close()
    assert code.count("print(") == len(promised(code)), "a print without its comment"
    assert printed.getvalue().splitlines() == promised(code)


def test_an_example_that_prints_something_else_is_found():
    code = 'print(1 + 1)  # 3\nif True:\n    print("a")  # a\n'
    assert promised(code) == ["3", "a"]
    assert examples(f"x\n```python\n{code}```\n") == code
