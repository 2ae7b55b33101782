"""The tomorrow, handover and stage commands."""

from __future__ import annotations

import json

import pytest

from mouldwright.cli.bench_day import handover, stage, tomorrow
from mouldwright.domain.errors import InvalidInput

QUICK = {"seconds": 0.0, "seed": 1}


def test_tomorrow_is_printed_in_order_and_said_as_json(capsys):
    tomorrow("foil-bench", day=None, now=None, as_json=False, **QUICK)
    said = capsys.readouterr().out
    places = [said.find(f"\n{heading}\n") for heading in ("Demould", "Mix", "Load", "Besides")]
    assert places[0] > 0
    assert places == sorted(places)
    tomorrow("foil-bench", day="2027-03-02", now=None, as_json=True, **QUICK)
    assert json.loads(capsys.readouterr().out)["day"] == "2027-03-02"


def test_handing_over_looks_at_a_plan_made_from_the_start(capsys):
    handover("foil-bench", now="2027-03-01T17:10", as_json=True, **QUICK)
    found = json.loads(capsys.readouterr().out)
    assert found["curing"]
    handover("foil-bench", now="2027-03-01T17:10", as_json=False, **QUICK)
    assert "Who comes next" in capsys.readouterr().out


def test_the_stage_of_an_order_is_one_line(capsys):
    stage("foil-bench", "1001", now="2027-03-04T10:00", as_json=False, **QUICK)
    assert capsys.readouterr().out.startswith("Order 1001: ")
    with pytest.raises(InvalidInput, match="there is no order"):
        stage("foil-bench", "9999", now=None, as_json=False, **QUICK)
    with pytest.raises(InvalidInput, match="that is no day"):
        tomorrow("foil-bench", day="someday", now=None, as_json=False, **QUICK)
