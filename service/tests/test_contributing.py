"""What the page for those who change the code names is there, and the hooks are the gate's own."""

from __future__ import annotations

import re
import subprocess

import pytest
from house import PACKAGE, ROOT

PAGE = (ROOT / "docs" / "contributing.md").read_text(encoding="utf-8")
GATE = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
HOOKS = (ROOT / ".pre-commit-config.yaml").read_text(encoding="utf-8")
NAMED = sorted(
    {
        name
        for name in re.findall(r"`([\w./-]+)`", PAGE)
        if "/" in name and not name.startswith(("/", "."))
    }
)


def is_there(name: str) -> bool:
    """Whether a path is one, from the project's folder or within the package."""
    return (ROOT / name).exists() or (PACKAGE / name).exists()


def test_the_page_names_enough_to_be_held_to():
    assert len(NAMED) > 25


@pytest.mark.parametrize("name", NAMED)
def test_a_file_or_folder_that_the_page_names_is_there(name):
    assert is_there(name)


def test_a_name_that_has_gone_would_be_found():
    assert not is_there("domain/part/nowhere.py")


@pytest.mark.parametrize(
    "what", ["A process structure", "A load case", "A bound", "A page", "A document"]
)
def test_the_page_says_how_to_add(what):
    part = PAGE.split(f"\n### {what}\n", 1)[1].split("\n#", 1)[0]
    assert re.search(r"^1\. ", part, re.M)


def test_the_hooks_before_a_commit_are_the_checks_of_the_gate_in_its_order():
    (listed,) = re.findall(r"^for name in (.+); do\n  step \"\$name\" \.ci/check", GATE, re.M)
    assert re.findall(r"entry: \.ci/check (\w+)", HOOKS) == listed.split()


def test_the_hooks_fetch_nothing():
    assert re.findall(r"repo: (\S+)", HOOKS) == ["local"]
    assert set(re.findall(r"language: (\w+)", HOOKS)) == {"system"}
    assert "http" not in HOOKS


def test_a_check_that_nobody_knows_is_a_failure_and_not_a_pass():
    done = subprocess.run(
        [str(ROOT / ".ci" / "check"), "nothing"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert "no check is called nothing" in done.stderr


def test_the_gate_runs_the_wheel_by_itself():
    assert re.search(r"^step \"wheel\" \.ci/wheel$", GATE, re.M)
    for file in ("check", "wheel"):
        assert (ROOT / ".ci" / file).stat().st_mode & 0o111


def test_the_package_says_that_its_types_may_be_used():
    assert (PACKAGE / "py.typed").read_bytes() == b""
