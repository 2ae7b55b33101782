"""The log command: listed, and gone on with in the file, all else in it to the letter."""

from __future__ import annotations

import json
import os
import re
from typing import Any

import pytest
from typer.testing import CliRunner
from written_shop import WHOLE

from mouldwright.cli.log import noted
from mouldwright.cli.main import app
from mouldwright.domain.errors import Conflict, InvalidInput
from mouldwright.scenario.read import read_scenario

LOAD = {
    "what": "started", "operation": "load", "order": "R-7", "pulls": "1",
    "mould": "vane-pressed V1", "people": ["ada"],
}  # fmt: skip


@pytest.fixture
def file(tmp_path):
    found = tmp_path / "shop.toml"
    found.write_text(WHOLE, encoding="utf-8")
    return found


def listed(file, *options: str) -> list[dict[str, Any]]:
    said = CliRunner().invoke(app, ["log", str(file), "--json", *options])
    assert said.exit_code == 0, said.output
    return json.loads(said.stdout)["entries"]


def note(file, **given):
    noted(str(file), given, now=None, as_json=False)


def test_it_lists_the_newest_first_and_finds_by_day_and_by_what(file) -> None:
    assert [e["number"] for e in listed(file)] == [5, 4, 3, 2, 1]
    assert [e["number"] for e in listed(file, "--day", "2027-02-25")] == [4]
    assert [e["number"] for e in listed(file, "--order", "R-7")] == [1]
    assert [e["number"] for e in listed(file, "--person", "jon")] == [4]
    assert [e["holds"] for e in listed(file, "--what", "started")] == [False]
    words = CliRunner().invoke(app, ["log", str(file)]).stdout
    assert "Slow resin" in words
    assert "taken back" in words


def test_an_entry_is_written_below_the_last_and_all_else_stays_to_the_letter(file, capsys) -> None:
    note(file, **LOAD)
    text = file.read_text(encoding="utf-8")
    assert text.startswith(WHOLE)
    added = text.removeprefix(WHOLE)
    assert added.startswith("\n[[log]]\nnumber = 6\n")
    assert "Entry 6 is kept in" in capsys.readouterr().out
    entry = read_scenario(file).shop.log[-1]
    assert entry.task is not None
    # Part and process are those of the order.
    assert (entry.task.part, entry.task.process) == ("vane", "pressed")
    # The scenario's own start is its now.
    assert entry.at.isoformat() == "2027-03-01T08:00:00+01:00"


def test_ends_of_lines_and_rights_stay_as_they_are(file) -> None:
    file.write_bytes(WHOLE.replace("\n", "\r\n").encode())
    os.chmod(file, 0o640)
    note(file, **LOAD)
    raw = file.read_bytes()
    assert raw.count(b"\n") == raw.count(b"\r\n")
    assert file.stat().st_mode & 0o777 == 0o640
    assert [each.name for each in file.parent.iterdir()] == ["shop.toml"]


def test_a_folder_goes_on_in_the_file_with_the_last_entry_or_begins_one(tmp_path) -> None:
    body = WHOLE.partition("\n[[log]]")[0]
    (tmp_path / "shop.toml").write_text(body, encoding="utf-8")
    note(tmp_path, what="mould lost", mould="vane-cast 2")
    assert (tmp_path / "log.toml").read_text(encoding="utf-8").startswith("[[log]]\nnumber = 1\n")
    assert (tmp_path / "shop.toml").read_text(encoding="utf-8") == body
    (tmp_path / "log.toml").rename(tmp_path / "bench.toml")
    note(tmp_path, what="mould lost", mould="vane-cast 3")
    assert not (tmp_path / "log.toml").exists()
    assert [e.number for e in read_scenario(tmp_path).shop.log] == [1, 2]


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"what": "startd"}, "Did you mean started?"),
        ({"what": "started"}, "--operation"),
        ({**LOAD, "order": "R-77"}, "Did you mean R-7?"),
        ({**LOAD, "pulls": "900"}, "Write numbers from 1 to"),
        ({**LOAD, "pulls": "x"}, "Write 3, or 3,4, or 3-5."),
        ({**LOAD, "people": ["adda"]}, "Did you mean ada?"),
        ({"what": "stock counted", "material": "slow-resin", "amount": "much"}, "--amount"),
        ({"what": "taken back", "takes_back": 44}, "The last is 5."),
        ({"what": "mould lost", "mould": "vane-cast 2", "at": "soon"}, "--at"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(file, given, said) -> None:
    with pytest.raises(InvalidInput, match=re.escape(said)):
        note(file, **given)
    assert file.read_text(encoding="utf-8") == WHOLE


def test_a_second_start_is_refused_and_one_of_the_same_name_is_kept_once(file, capsys) -> None:
    note(file, **LOAD, said_once="mine")
    before = file.read_text(encoding="utf-8")
    note(file, **LOAD, said_once="mine")
    assert "Entry 6 is kept already" in capsys.readouterr().out
    with pytest.raises(Conflict, match="already"):
        note(file, **LOAD)
    assert file.read_text(encoding="utf-8") == before
    note(file, what="taken back", takes_back=6)
    note(file, **LOAD)
    assert [e["number"] for e in listed(file) if e["holds"] and e["what"] == "started"] == [8]


def test_a_demo_is_only_read() -> None:
    with pytest.raises(InvalidInput, match="read only"):
        noted("foil-bench", LOAD, now=None, as_json=False)
    assert CliRunner().invoke(app, ["log", "foil-bench"]).exit_code == 0


@pytest.mark.parametrize(
    "given",
    [
        ["--parts", "1", "--parts", "2", "--parts", "3"],
        ["--parts", "1 2 3"],
        ["--parts", "1-3"],
        ["--parts", "1 - 2", "--parts", "2,3"],
    ],
)
def test_every_part_that_is_named_is_kept_however_it_is_written(file, given) -> None:
    said = CliRunner().invoke(
        app, ["log", str(file), "--note", "scrapped", "--order", "R-7", "--json", *given]
    )
    assert said.exit_code == 0, said.output
    assert read_scenario(file).shop.log[-1].members[0].parts == (1, 2, 3)


@pytest.mark.parametrize("text", ["3-1", "1-", "-2", "1-2-3", "1-999999999"])
def test_a_range_that_is_none_is_refused_and_nothing_is_written(file, text) -> None:
    with pytest.raises(InvalidInput, match="Write 3, or 3,4, or 3-5"):
        note(file, what="scrapped", order="R-7", parts=text)
    assert file.read_text(encoding="utf-8") == WHOLE
