"""The pages on methods name where in the code each thing is worked out, and it is there."""

from __future__ import annotations

import ast
import re

import pytest
from house import PACKAGE, ROOT

DOCS = ROOT / "docs"
METHODS = (
    *("stiffness", "costing", "pricing", "comparing"),
    *("planning", "uncertainty", "buying", "learning"),
)


def text_of(name: str) -> str:
    return (DOCS / f"{name}.md").read_text(encoding="utf-8")


def named_in(row: str) -> list[tuple[str, list[str]]]:
    """Return (module, functions) of a row: a path, and the names after it up to the next."""
    found: list[tuple[str, list[str]]] = []
    for word in re.findall(r"`([^`]+)`", row):
        if word.endswith(".py"):
            found.append((word, []))
        elif found:
            found[-1][1].append(word)
    return found


def not_there(row: str) -> list[str]:
    """Return each module, function or class that a row names and the code does not have."""
    missing = []
    for path, functions in named_in(row):
        file = PACKAGE / path
        if not file.exists():
            missing.append(path)
            continue
        there = {
            node.name
            for node in ast.parse(file.read_text(encoding="utf-8")).body
            if isinstance(node, ast.FunctionDef | ast.ClassDef)
        }
        missing += [f"{path}: {name}" for name in functions if name not in there]
    return missing


@pytest.mark.parametrize("name", METHODS)
def test_each_thing_is_worked_out_where_the_page_says(name):
    room = re.split(r"^## .*here it is worked out$", text_of(name), flags=re.M)[1]
    table = re.search(r"^\| what \| in the code .*?(?=\n\n|\Z)", room, re.M | re.S)
    assert table
    rows = [line.split(" | ")[1] for line in table[0].splitlines()[2:]]
    assert len(rows) >= 2
    assert [missing for row in rows for missing in not_there(row)] == []


def test_what_costing_is_held_by_is_there():
    tests = re.findall(r"`((?:\w+/)*test_\w+\.py)`", text_of("costing"))
    assert len(tests) >= 8
    assert [name for name in tests if not (ROOT / "service" / "tests" / name).exists()] == []


@pytest.mark.parametrize("name", METHODS)
def test_every_figure_of_a_page_is_there_and_says_what_it_shows(name):
    for said, path in re.findall(r"!\[([^\]]*)\]\(([^)]+)\)", text_of(name)):
        assert len(said) > 20
        assert (DOCS / path).exists()


def test_a_module_or_a_function_that_has_gone_would_be_found():
    assert not_there("`domain/nothing.py`: `x`") == ["domain/nothing.py"]
    assert not_there("`domain/costing/scrap.py`: `starts_for`, `gone`") == [
        "domain/costing/scrap.py: gone"
    ]
