"""What is made from the code is as the code makes it now, and is all listed in the contents."""

from __future__ import annotations

import re

import pytest
import refresh
from house import ROOT
from typer.main import get_command

from mouldwright.api.app import ROUTERS
from mouldwright.cli.main import app

DOCS = ROOT / "docs"


@pytest.mark.parametrize("path", refresh.MADE, ids=lambda path: path.name)
def test_what_is_made_from_the_code_is_as_the_code_makes_it(path):
    made = refresh.MADE[path]()
    assert path.read_text(encoding="utf-8") == made, "run .venv/bin/python service/tests/refresh.py"


def test_every_page_whose_commands_are_run_is_refreshed_by_the_one_command():
    assert {page.name for page in refresh.PRINTED} >= {"README.md", "first-hour.md"}


def test_every_verb_and_each_of_its_options_stands_in_the_reference():
    page = (DOCS / "reference" / "commands.md").read_text(encoding="utf-8")
    for name, verb in get_command(app).commands.items():
        told = page.split(f"\n## {name}\n", 1)[1].split("\n## ", 1)[0]
        for param in verb.params:
            for option in (o for o in param.opts if o.startswith("--")):
                assert f"`{option}`" in told, (name, option)


def test_every_address_stands_in_the_reference_once():
    page = (DOCS / "reference" / "addresses.md").read_text(encoding="utf-8")
    told = re.findall(r"^\| `([A-Z]+)` `(\S+)` \|", page, re.M)
    there = [
        (method, route.path_format)
        for router in ROUTERS
        for route in router.routes
        for method in route.methods
        if getattr(route, "include_in_schema", False)
    ]
    assert len(told) == len(set(told))
    assert sorted(told) == sorted(there)


def test_only_what_is_named_is_written_anew_and_what_is_up_to_date_is_left(monkeypatch, tmp_path):
    old = tmp_path / "old.md"
    old.write_text("old")
    monkeypatch.setattr(refresh, "ROOT", tmp_path)
    monkeypatch.setattr(refresh, "MADE", {old: lambda: "new", tmp_path / "b.md": lambda: "b"})
    monkeypatch.setattr(refresh, "PRINTED", {})
    assert refresh.refresh("old") == [old]
    assert refresh.refresh("old") == []
    assert old.read_text() == "new"
    assert not (tmp_path / "b.md").exists()
