"""The check command: what it prints, where, and its exit code."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from written_shop import WHOLE

from mouldwright.cli.check import check


@pytest.fixture
def sound(tmp_path: Path) -> str:
    (tmp_path / "shop.toml").write_text(WHOLE, encoding="utf-8")
    return str(tmp_path / "shop.toml")


@pytest.fixture
def wrong(tmp_path: Path) -> str:
    text = WHOLE.replace("quantity = 12", "quantity = 0").replace('"17.40"', "17.40")
    (tmp_path / "wrong.toml").write_text(text, encoding="utf-8")
    return str(tmp_path / "wrong.toml")


def test_a_sound_scenario_is_summed_up(sound: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert check(sound) == 0
    printed = capsys.readouterr()
    assert "The reed bank" in printed.out
    assert printed.err == ""


def test_every_fault_is_on_standard_error_with_code_2(
    wrong: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert check(wrong) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert 'orders["R-7"].quantity = 0' in printed.err
    assert "people.ada.wage_per_hour = 17.40" in printed.err
    assert "2 faults" in printed.err


def test_json_lists_faults_with_their_places(
    wrong: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert check(wrong, as_json=True) == 2
    printed = capsys.readouterr()
    answer = json.loads(printed.out)
    assert answer["ok"] is False
    assert [fault["path"] for fault in answer["faults"]] == [
        "people.ada.wage_per_hour",
        'orders["R-7"].quantity',
    ]
    assert all(fault["line"] > 0 and fault["remedy"] for fault in answer["faults"])
    assert "2 faults" in printed.err


def test_json_counts_what_a_sound_shop_holds(
    sound: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert check(sound, as_json=True) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["ok"] is True
    # V1 and 2 for pressing, three for casting
    assert answer["shop"]["moulds"] == 5
    # one press, three clamps, two printers, one rack
    assert answer["shop"]["stations"] == 7


def test_warnings_leave_the_scenario_usable(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = WHOLE.replace('cost_per_kg = "23.50"\n', "")
    (tmp_path / "shop.toml").write_text(text, encoding="utf-8")
    assert check(str(tmp_path)) == 0
    printed = capsys.readouterr().out
    assert "1 warning:" in printed
    assert "materials.filament" in printed
