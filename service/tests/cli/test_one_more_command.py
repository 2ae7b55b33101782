"""What one more would buy and how many moulds an order wants, on the command line."""

from __future__ import annotations

import json

from mouldwright.cli.one_more import moulds, one_more


def test_gains_are_printed_as_json_with_money_as_text(capsys):
    one_more("foil-bench", now=None, seconds=0.1, seed=1, as_json=True)
    answer = json.loads(capsys.readouterr().out)
    assert answer["tried"] == answer["changes"] == len(answer["gains"])
    for gain in answer["gains"]:
        assert gain["late_gain_min"] >= 0
        assert gain["cost"] is None or gain["cost"] == f"{float(gain['cost']):.2f}"


def test_a_curve_of_moulds_is_printed_in_words(capsys):
    moulds("foil-bench", "1001", now=None, most=2, seconds=0.1, seed=1, as_json=False)
    said = capsys.readouterr().out
    assert "Moulds stabiliser-pressed for order 1001" in said
    assert "no more than 2 were to be tried" in said
