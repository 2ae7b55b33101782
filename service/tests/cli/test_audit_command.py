"""Who changed what, from the machine of the database."""

from __future__ import annotations

import json

import pytest
from service_bench import SHOP, once, service_bench
from typer.testing import CliRunner

from mouldwright.cli.main import app
from mouldwright.usecases.errors import Unknown


@pytest.fixture
def asked(tmp_path):
    """Asks the command about a bench whose owner let a tablet in."""
    bench = service_bench(tmp_path)
    body = {"role": "bench", "label": "tablet at the press"}
    bench.client().post(f"/v1/shops/{SHOP}/tokens", json=body, headers=once())
    bench.opened.close()

    def ask(*more: str):
        return CliRunner().invoke(app, ["audit", "--database", bench.url, *more])

    return ask


def test_it_says_who_let_whom_in(asked):
    # Cells are folded to the width of a terminal.
    said = asked("--shop", SHOP, "--thing", "token", "--limit", "1").output
    for word in ("a test,", "owner", "added", "tablet"):
        assert word in said
    assert "There is more" in said


def test_it_says_the_same_as_json_and_as_a_table(asked, tmp_path):
    file = tmp_path / "changes.csv"
    answer = asked("--shop", SHOP, "--json", "--out", str(file))
    newest = json.loads(answer.stdout)["entries"][0]
    assert (newest["verb"], newest["thing"], newest["by"]) == ("added", "token", "a test")
    assert "tablet at the press" in file.read_text(encoding="utf-8-sig")


def test_what_belongs_to_no_shop_and_what_is_not_there(asked):
    assert "Nothing was changed yet." in asked().output
    assert isinstance(asked("--shop", "none").exception, Unknown)
