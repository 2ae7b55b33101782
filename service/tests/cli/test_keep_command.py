"""A plan made anew beside one that was printed before."""

from __future__ import annotations

import json
import shutil

import pytest

from mouldwright.cli.log import noted
from mouldwright.cli.plan import plan
from mouldwright.domain.errors import InvalidInput
from mouldwright.scenario.demo import demo_path


def printed(capsys, *, scenario: str = "foil-bench", **more) -> str:
    plan(scenario, now=None, seed=1, show="order", **{"seconds": 0.0, **more})
    return capsys.readouterr().out


def test_a_plan_that_still_stands_is_kept_as_it_is(capsys, tmp_path):
    before = json.loads(printed(capsys, as_json=True))
    held = tmp_path / "plan.json"
    held.write_text(json.dumps(before), encoding="utf-8")
    after = json.loads(printed(capsys, as_json=True, keep=str(held)))
    assert after["tasks"] == before["tasks"]
    said = printed(capsys, as_json=False, keep=str(held))
    assert "Every task that was planned stays where it stands." in said


def test_what_moves_is_told_task_by_task_with_why(capsys, tmp_path):
    bench, held = str(tmp_path / "bench"), tmp_path / "plan.json"
    shutil.copytree(demo_path("foil-bench"), bench)
    held.write_text(printed(capsys, scenario=bench, as_json=True), encoding="utf-8")
    lost_mould = {"what": "mould lost", "mould": "stabiliser-pressed 3", "cause": "split"}
    noted(bench, lost_mould, now=None, as_json=True)
    capsys.readouterr()
    before = json.loads(held.read_text(encoding="utf-8"))
    found = json.loads(
        printed(capsys, scenario=bench, as_json=True, keep=str(held), only_changes=True)
    )
    assert found["beside"] is None
    # What was planned on a mould that is out of use has to move or go.
    lost = [t for t in before["tasks"] if t["mould"] == "stabiliser-pressed 3" and t["members"]]
    left = [each["before"] for each in found["moved"]] + found["gone"]
    assert lost
    assert all(task["start"] in {each["start"] for each in left} for task in lost)
    assert all(each["after"]["mould"] != "stabiliser-pressed 3" for each in found["moved"])
    assert "stabiliser-pressed 3 is out of use" in found["because"]
    assert all(each["why"] for each in found["moved"])
    # Every task of the plan before stays, moves or is gone; upkeep of moulds is left out.
    whole = sum(1 for task in before["tasks"] if task["members"])
    assert found["same"] + len(found["moved"]) + len(found["gone"]) == whole
    said = printed(capsys, scenario=bench, as_json=False, keep=str(held), only_changes=True)
    assert f"{found['same']} tasks stay where they stand, {len(found['moved'])} move" in said


def test_what_moves_is_asked_beside_a_plan(capsys):
    with pytest.raises(InvalidInput, match="--changes"):
        printed(capsys, as_json=True, only_changes=True)


def test_what_is_no_plan_is_refused(capsys, tmp_path):
    other = tmp_path / "other.json"
    other.write_text("{}", encoding="utf-8")
    with pytest.raises(InvalidInput, match="--keep"):
        printed(capsys, as_json=True, keep=str(other))
    with pytest.raises(InvalidInput, match="--keep"):
        printed(capsys, as_json=True, keep=str(tmp_path / "none.json"))
