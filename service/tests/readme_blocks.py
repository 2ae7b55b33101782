"""The console blocks of the front page: found, run, and written anew by ``refresh.py``.

A block opens with ```console and one line ``$ mouldwright ...``, which may end in
``| head -n N``; what follows up to the fence is what the command prints, trailing spaces apart.
It runs from the project's folder at a width of 100, and never through a shell: a page is text,
and nothing in it but a mouldwright command may be carried out.
"""

from __future__ import annotations

import os
import re
import shlex
from pathlib import Path

from forked import run_forked
from house import ROOT

PAGES = (ROOT / "README.md",)
_BLOCK = re.compile(
    r"^```console\n\$ (?P<command>mouldwright [^\n]+)\n(?P<shown>(?:(?!```)[^\n]*\n)*)```$", re.M
)
_HEAD = re.compile(r" \| head -n (\d+)$")


def blocks(page: str) -> list[tuple[str, str]]:
    """Return (command, output) of each console block, in order."""
    return [(found["command"], found["shown"]) for found in _BLOCK.finditer(page)]


def run(command: str, folder: Path = ROOT) -> str:
    """Return what a mouldwright command prints on standard output and error, tidied.

    Args:
        command: As the page has it.
        folder: Where it is run.

    Raises:
        ValueError: if it is any other command.
        RuntimeError: if it breaks down in place of answering.
    """
    head = _HEAD.search(command)
    program, *arguments = shlex.split(_HEAD.sub("", command))
    if program != "mouldwright":
        raise ValueError(f"only mouldwright commands are run, not {program}")
    _, printed = run_forked(
        arguments,
        folder,
        {
            "PATH": os.environ["PATH"],
            "HOME": os.environ.get("HOME", "/"),
            "LANG": "C.UTF-8",
            "COLUMNS": "100",
            "NO_COLOR": "1",
            "TERM": "dumb",
        },
    )
    if "Traceback (most recent call last)" in printed:
        raise RuntimeError(f"{command} broke down, which no page should show:\n{printed}")
    lines = tidy(printed).splitlines()
    return tidy("\n".join(lines[: int(head[1])] if head else lines))


def tidy(output: str) -> str:
    """Return the output without trailing spaces and without blank lines around it."""
    lines = [line.rstrip() for line in output.splitlines()]
    return "\n".join(lines).strip("\n") + "\n"


def refreshed(page: str) -> str:
    """Return the page with every block's output as the command prints it now."""
    return _BLOCK.sub(
        lambda found: f"```console\n$ {found['command']}\n{run(found['command'])}```", page
    )
