"""The mark command: a drawing put into a scenario's file, read from it, taken out of it."""

from __future__ import annotations

import json

import pytest

from mouldwright.cli.mark import mark
from mouldwright.domain.errors import InvalidInput
from mouldwright.scenario.read import read_scenario

FOIL = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20"><path d="M0 10h40"/></svg>'
SHOP = """format = 1
[shop] # ours
# What we are called.
name = "My bench"
currency = "EUR"
time_zone = "Europe/Lisbon"
[shop.hours]
mon = ["08:30-17:30"]
"""


def asked(scenario, **more):
    mark(str(scenario), **({"put": None, "take_away": False, "out": None, "as_json": True} | more))


@pytest.fixture
def file(tmp_path):
    made = tmp_path / "shop.toml"
    made.write_text(SHOP)
    return made


@pytest.fixture
def drawing(tmp_path):
    made = tmp_path / "mark.svg"
    made.write_text(FOIL + "\n")
    return str(made)


def test_a_mark_is_put_read_and_taken_away_and_all_else_stays_to_the_letter(
    file, drawing, tmp_path, capsys
):
    asked(file, put=drawing)
    assert read_scenario(file).shop.mark == FOIL
    assert json.loads(capsys.readouterr().out) == {"svg": FOIL, "file": str(file)}
    added = [line for line in file.read_text().splitlines() if line not in SHOP.splitlines()]
    assert len(added) == 1
    asked(file)
    assert json.loads(capsys.readouterr().out) == {"svg": FOIL, "file": None}
    asked(file, out=str(tmp_path / "out.svg"))
    assert (tmp_path / "out.svg").read_text() == FOIL
    # One takes the place of another.
    (tmp_path / "other.svg").write_text(FOIL.replace("h40", "h30"))
    asked(file, put=str(tmp_path / "other.svg"))
    assert read_scenario(file).shop.mark == FOIL.replace("h40", "h30")
    asked(file, take_away=True)
    assert file.read_text() == SHOP


def test_it_finds_the_file_of_a_folder_that_has_the_shop(file, drawing):
    (file.parent / "a.toml").write_text("# nothing yet\n")
    asked(file.parent, put=drawing)
    assert read_scenario(file.parent).shop.mark == FOIL


@pytest.mark.parametrize(
    ("drawn", "more", "path"),
    [
        ("<svg><script/></svg>", {}, "--put"),
        (FOIL.replace("<path", "<script/><path"), {}, "--put"),
        (FOIL, {"put": "no-such.svg"}, "--put"),
        (FOIL, {"take_away": True}, "--take-away"),
        (FOIL, {"put": None, "out": "out.svg"}, "--out"),
    ],
)
def test_what_cannot_be_is_refused_and_the_file_stays(file, drawing, drawn, more, path):
    with open(drawing, "w", encoding="utf-8") as opened:
        opened.write(drawn)
    with pytest.raises(InvalidInput) as refused:
        asked(file, **({"put": drawing} | more))
    assert refused.value.faults[0].path == path
    assert file.read_text() == SHOP


def test_a_demo_shop_is_read_only(drawing):
    with pytest.raises(InvalidInput) as refused:
        asked("foil-bench", put=drawing)
    assert refused.value.faults[0].path == "SCENARIO"


def test_a_shop_written_in_a_way_that_takes_no_line_is_left_as_it_is(file, drawing):
    text = SHOP.replace("[shop] # ours", 'mark_of = """\n[shop]\n"""\n[shop]')
    file.write_text(text)
    with pytest.raises(InvalidInput):
        asked(file, put=drawing)
    assert file.read_text() == text
