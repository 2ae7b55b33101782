"""An order tried on the command line: when it is ready, and every other way to take it."""

from __future__ import annotations

import json

from mouldwright.cli.try_order import try_order


def test_options_are_printed_as_json_with_money_as_text(capsys):
    try_order(
        "foil-bench", "sensor-fin", "cast-fin", 8, by="2027-03-01T12:00", now=None, seconds=0.05,
        options=True, as_json=True,
    )  # fmt: skip
    answer = json.loads(capsys.readouterr().out)
    assert answer["late_min"] > 0
    assert {option["kind"] for option in answer["options"]} >= {"mould", "process"}
    for option in answer["options"]:
        assert option["net"] is None or option["net"] == f"{float(option['net']):.2f}"


def test_without_options_the_order_is_planned_alone(capsys):
    try_order(
        "foil-bench", "sensor-fin", "cast-fin", 8, by=None, now=None, seconds=0.05,
        options=False, as_json=False,
    )  # fmt: skip
    said = capsys.readouterr().out
    assert "If 8 x sensor-fin were accepted" in said
    assert "A quote asks EUR" in said
    assert "Other ways" not in said


def test_options_are_printed_in_words(capsys):
    try_order(
        "foil-bench", "sensor-fin", "cast-fin", 8, by="2027-03-01T12:00", now=None, seconds=0.05,
        options=True, as_json=False,
    )  # fmt: skip
    said = capsys.readouterr().out
    assert "Other ways to take it, the best first" in said
    assert "one more mould" in said
    assert "costs more" in said
