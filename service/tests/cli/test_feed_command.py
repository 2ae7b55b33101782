"""The feed command: a calendar of a plan made from the file, to a file or to standard output."""

from __future__ import annotations

import json

import pytest
from icalendar import Calendar as Read

from mouldwright.cli.feed import feed
from mouldwright.domain.errors import InvalidInput


def asked(**more):
    wanted = {"person": None, "mould": None, "station": None, "out": None, "as_json": False}
    feed("foil-bench", now=None, seconds=0.0, seed=1, **(wanted | more))


def test_it_writes_one_persons_calendar_to_a_file(tmp_path, capsys):
    file = tmp_path / "plan.ics"
    asked(person="ines", out=str(file), as_json=True)
    told = json.loads(capsys.readouterr().out)
    read = Read.from_ical(file.read_bytes()).walk("VEVENT")
    assert [str(e["UID"]) for e in read] == [e["uid"] for e in told["events"]]
    work = [e for e in told["events"] if "T" in e["start"]]
    assert len(work) > 50
    assert all("ines" in e["people"] for e in work)


@pytest.mark.parametrize(
    ("wanted", "path"),
    [({"person": "nobody"}, "key"), ({"person": "ines", "mould": "x 1"}, "--mould")],
)
def test_what_there_is_not_is_refused_before_anything_is_planned(wanted, path):
    with pytest.raises(InvalidInput) as refused:
        asked(**wanted)
    assert refused.value.faults[0].path == path


def test_a_file_that_cannot_be_written_is_named(tmp_path):
    with pytest.raises(InvalidInput, match="no such file"):
        asked(out=str(tmp_path / "nowhere" / "plan.ics"))
