"""The table command: a table of a scenario to a file, to standard output, or as JSON."""

from __future__ import annotations

import json

import openpyxl
import pytest

from mouldwright.cli.tables import table
from mouldwright.domain.errors import InvalidInput


def asked(name, **more):
    wanted = {
        "out": None, "day": None, "person": None, "part": None,
        "quantity": 1, "order": None, "mould": None,
        "now": None,
        "seconds": 0.0, "seed": 1, "by_rate": True, "as_json": False,
    }  # fmt: skip
    table("foil-bench", name, **(wanted | more))


def test_it_writes_a_workbook_and_says_the_same_as_json(tmp_path, capsys):
    file = tmp_path / "stock.xlsx"
    asked("stock", out=str(file), as_json=True)
    told = json.loads(capsys.readouterr().out)["rows"]
    rows = list(openpyxl.load_workbook(file).worksheets[0].iter_rows(values_only=True))
    assert [row[0] for row in rows[1:]] == [row["material"] for row in told]


def test_a_pipe_gets_no_mark_that_only_spreadsheets_read(capfdbinary):
    asked("parts")
    assert capfdbinary.readouterr().out.startswith(b"part,title,")


@pytest.mark.parametrize(
    ("name", "more", "path"),
    [
        ("nothing", {}, "NAME"),
        ("stock", {"out": "stock.ods"}, "--out"),
        ("day-sheet", {"day": "today"}, "--day"),
        ("comparison", {}, "part"),
    ],
)
def test_what_there_is_not_is_refused(name, more, path):
    with pytest.raises(InvalidInput) as refused:
        asked(name, **more)
    assert refused.value.faults[0].path == path
