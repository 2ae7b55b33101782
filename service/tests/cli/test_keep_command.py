"""A plan made anew beside one that was printed before."""

from __future__ import annotations

import json

import pytest

from mouldwright.cli.plan import plan
from mouldwright.domain.errors import InvalidInput


def printed(capsys, **more) -> str:
    plan("foil-bench", now=None, seed=1, show="order", **{"seconds": 0.0, **more})
    return capsys.readouterr().out


def test_a_plan_that_still_stands_is_kept_as_it_is(capsys, tmp_path):
    before = json.loads(printed(capsys, as_json=True))
    held = tmp_path / "plan.json"
    held.write_text(json.dumps(before), encoding="utf-8")
    after = json.loads(printed(capsys, as_json=True, keep=str(held)))
    assert after["tasks"] == before["tasks"]
    said = printed(capsys, as_json=False, keep=str(held))
    assert "Every task that was planned stays where it stands." in said


def test_what_is_no_plan_is_refused(capsys, tmp_path):
    other = tmp_path / "other.json"
    other.write_text("{}", encoding="utf-8")
    with pytest.raises(InvalidInput, match="--keep"):
        printed(capsys, as_json=True, keep=str(other))
    with pytest.raises(InvalidInput, match="--keep"):
        printed(capsys, as_json=True, keep=str(tmp_path / "none.json"))
