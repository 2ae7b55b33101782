"""What fixes a date, and what everything idles for, asked for on the command line."""

from __future__ import annotations

import json

import pytest

from mouldwright.cli.plan import plan
from mouldwright.domain.errors import NotFound


def ask(capsys, **more):
    plan("foil-bench", now=None, seconds=0.3, seed=1, **{"show": "day", "explain": None, **more})
    return capsys.readouterr().out


def test_a_chain_is_printed_as_json_without_a_hole(capsys):
    answer = json.loads(ask(capsys, explain="1006", as_json=True))
    assert answer["order"] == "1006"
    assert answer["links"][0]["end"] == answer["finish"]
    for later, link in zip(answer["links"], answer["links"][1:], strict=False):
        assert link["end"] == later["start"]
    # The shares are the time from the origin to the finish.
    from datetime import datetime

    begin, end = (datetime.fromisoformat(answer[k]) for k in ("origin", "finish"))
    assert sum(s["minutes"] for s in answer["shares"]) == (end - begin).total_seconds() / 60
    # The school's drawings come on the 15th: nothing of it can begin before.
    assert answer["origin"].startswith("2027-03-15T00:00")


def test_a_chain_is_printed_in_words(capsys):
    said = ask(capsys, explain="1006", as_json=False)
    assert "What fixes the date of order 1006" in said
    assert "the order may not" in said


def test_what_everything_idles_for_adds_up(capsys):
    answer = json.loads(ask(capsys, show="use", as_json=True))
    assert {each["kind"] for each in answer["resources"]} == {"person", "mould", "station"}
    for each in answer["resources"]:
        assert sum(each["minutes"].values()) == each["horizon_min"]
        assert set(each["minutes"]) <= set(answer["states"])


def test_an_order_that_is_not_there_is_named_before_anything_is_planned():
    with pytest.raises(NotFound, match="77"):
        plan("foil-bench", now=None, seconds=1e9, seed=1, show="day", explain="77", as_json=False)
