"""The today command: the same answer as the service's, by a plan made from the file."""

from __future__ import annotations

import json

import pytest

from mouldwright.cli.today import today

MORNING = "2027-03-02 08:30"


def asked(capsys: pytest.CaptureFixture[str], *, as_json: bool) -> str:
    today("foil-bench", now=MORNING, seconds=0.0, seed=1, as_json=as_json)
    return capsys.readouterr().out


def test_it_says_who_does_what_and_what_is_left_for_the_night(capsys) -> None:
    said = asked(capsys, as_json=False)
    assert "Tuesday 2 March 2027, 08:30" in said
    for heading in ("What waits for someone", "Who does what", "As the last one goes", "Due next"):
        assert heading in said
    assert "Inês" in said


def test_as_json_it_has_the_keys_of_the_service(capsys) -> None:
    told = json.loads(asked(capsys, as_json=True))
    assert (told["day"], told["has_plan"], told["plan_version"]) == ("2027-03-02", True, None)
    # Six orders stand in the demo's file; none of them is ready as the plan begins.
    assert len(told["due"]) == 6
    assert {order["state"] for order in told["due"]} <= {"in time", "close", "late"}
    assert told["closes"].startswith("2027-03-02T")
