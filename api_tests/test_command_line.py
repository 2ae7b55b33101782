"""The command line as its user meets it: a process, its output, its exit code."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import pytest

DEMO = "foil-bench"
SCENARIOS = Path(__file__).parent.parent / "scenarios"


def mouldwright(*arguments, code=0, folder=None):
    """Run the command line; return what it printed on standard output (or error, if it failed)."""
    done = subprocess.run(
        [sys.executable, "-c", "from mouldwright.cli.main import run; run()", *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
        cwd=folder,
        timeout=300,
    )
    assert done.returncode == code, done.stdout + done.stderr
    return done.stderr if code else done.stdout


def answer(*arguments):
    return json.loads(mouldwright(*arguments, "--json"))


@pytest.fixture(scope="module")
def comparison():
    return answer("compare", DEMO, "--part", "stabiliser", "--quantity", 24)


@pytest.fixture(scope="module")
def quotation():
    asked = ("--part", "stabiliser", "--process", "cast", "--quantity", 24)
    return answer("quote", DEMO, *asked)


@pytest.fixture(scope="module")
def planned():
    return answer("plan", DEMO, "--seconds", 0)


def test_a_comparison_has_the_promised_keys_and_kinds(comparison):
    assert {"part", "quantity", "requirement", "choices", "crossovers", "recommended"} <= set(
        comparison
    )
    for choice in comparison["choices"]:
        assert isinstance(choice["starts"], int)
        assert isinstance(choice["unit_cost"], str)
        assert Decimal(choice["price_each"]).as_tuple().exponent == -2
        assert choice["finish"].startswith("2027-")
        assert choice["lead_time_hours"] > 0
    assert comparison["crossovers"][0]["from_quantity"] == 1


def test_pressed_bends_least_printed_most_and_the_print_is_lightest(comparison):
    bends = {c["process"]: c["deflection_mm"] for c in comparison["choices"]}
    weighs = {c["process"]: c["mass_g"] for c in comparison["choices"]}
    assert bends["pressed"] < bends["cast"] < bends["printed"]
    assert weighs["printed"] == min(weighs.values())


def test_the_recommended_process_passes_and_is_the_cheapest_that_does(comparison):
    passing = {
        c["process"]: Decimal(c["unit_cost"])
        for c in comparison["choices"]
        if c["meets_requirement"]
    }
    assert comparison["recommended"]["process"] == min(passing, key=passing.__getitem__)
    assert comparison["recommended"]["why"]


def test_the_lines_of_a_quote_add_up_to_the_net_and_everything_follows_from_it(quotation):
    q = quotation
    lines = sum(Decimal(line["amount"]) for line in q["lines"])
    assert lines == Decimal(q["net"])
    assert Decimal(q["price_each"]) * q["quantity"] == Decimal(q["lines"][0]["amount"])
    assert Decimal(q["net"]) + Decimal(q["tax"]) == Decimal(q["gross"])
    cent = Decimal("0.01")
    # The foil bench charges 23 % tax and asks 40 % of the gross before it starts.
    assert abs(Decimal(q["net"]) * Decimal("0.23") - Decimal(q["tax"])) <= cent / 2
    assert abs(Decimal(q["gross"]) * Decimal("0.40") - Decimal(q["deposit"])) <= cent / 2


def test_every_cost_line_can_be_worked_again_by_hand(quotation):
    total = Decimal(0)
    for line in quotation["cost_lines"]:
        again = Decimal(line["quantity"]) * Decimal(line["rate"])
        # Quantities have four decimals: half of the last one times the rate is what is lost.
        slack = Decimal("0.00005") * Decimal(line["rate"]) + Decimal("0.0002")
        assert abs(again - Decimal(line["amount"])) <= slack, line
        total += Decimal(line["amount"])
    assert abs(total - Decimal(quotation["cost_total"])) < Decimal("0.01")
    each = Decimal(quotation["cost_total"]) / quotation["quantity"]
    assert abs(each - Decimal(quotation["unit_cost"])) <= Decimal("0.005")
    # The price is a margin of 38 %: cost / (1 - 0.38).
    assert abs(each / Decimal("0.62") - Decimal(quotation["price_each"])) <= Decimal("0.006")


def test_a_quote_of_a_part_that_carries_load_is_cautioned(quotation):
    said = " ".join(quotation["cautions"])
    assert "carries load" in said
    assert "Isocyanate" in said
    assert "data sheets" in said


def test_a_plan_has_the_promised_shape(planned):
    assert planned["checked"] is True
    assert set(planned["objective"]) == {"weighted_late_min", "finish_min", "attended_min"}
    for task in planned["tasks"]:
        assert task["spans"][0][0] == task["start"]
        assert task["spans"][-1][1] == task["end"]
        assert isinstance(task["stations"], list)
    assert {o["number"] for o in planned["orders"]} == {
        "1001",
        "1002",
        "1003",
        "1004",
        "1005",
        "1006",
    }
    value = planned["objective"]["weighted_late_min"] or planned["objective"]["finish_min"]
    assert planned["bound"] <= value
    assert planned["gap"] == pytest.approx((value - planned["bound"]) / value)
    assert planned["bound_name"]


def test_the_same_plan_comes_twice(planned):
    assert answer("plan", DEMO, "--seconds", 0) == planned


def test_rate_and_deflection_have_the_promised_keys():
    rate = answer("rate", DEMO, "--part", "stabiliser", "--process", "pressed")
    assert {"per_hour_at_bench", "per_day_sustained", "binds", "moulds_that_help"} <= set(rate)
    # Five moulds under a 24 h cure give at most one pull each a day (common practice, no source).
    assert rate["per_day_sustained"] <= 5
    bent = answer("deflection", DEMO, "--part", "stabiliser", "--process", "cast")
    assert {
        "deflection_mm",
        "allowed_mm",
        "utilisation",
        "mass_g",
        "bending_stiffness_n_mm2",
        "first_frequency_hz",
        "area_mm2",
        "second_moment_mm4",
        "modulus_gpa",
        "rule",
    } <= set(bent)
    # A NACA 0012 of 64 mm with the open tail: 0.08221 c² (NASA TM-4741's ordinates, integrated).
    assert bent["area_mm2"] == pytest.approx(0.08221 * 64**2, rel=1e-6)


def test_a_set_is_quoted_without_a_process_and_a_part_is_not():
    asked = ("--part", "wing-pair", "--quantity", 4)
    found = answer("quote", SCENARIOS / "five-hands", *asked)
    assert found["process"] is None
    assert found["quantity"] == 4
    assert any("bought in" in line["text"] for line in found["cost_lines"])
    said = mouldwright("quote", DEMO, "--part", "stabiliser", "--quantity", 4, code=2)
    assert "--process" in said
    assert "pressed, cast, printed" in said


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("compare", DEMO, "--part", "stabilizer", "--quantity", 4), "Did you mean stabiliser?"),
        (("compare", DEMO, "--part", "stabiliser", "--quantity", 0), "from 1 to"),
        (("quote", DEMO, "--part", "stabiliser", "--process", "cats", "--quantity", 4), "cast"),
        (("rate", DEMO, "--part", "stabiliser", "--process", "cast", "--moulds", 0), "--moulds"),
        (("plan", DEMO, "--show", "week"), "day, mould, order"),
        (("plan", DEMO, "--now", "yesterday"), "2027-03-01T08:30"),
        (("check", "no-such-file.toml"), "no-such-file.toml"),
    ],
)
def test_wrong_input_ends_with_2_and_says_what_would_be_right(arguments, words):
    said = mouldwright(*arguments, code=2)
    assert words in said
    assert "Traceback" not in said


def test_a_shop_whose_step_fits_no_opening_is_refused_by_name(tmp_path):
    text = (SCENARIOS / "first-part" / "shop.toml").read_text()
    assert "attended_min = 2 " in text
    (tmp_path / "shop.toml").write_text(text.replace("attended_min = 2 ", "attended_min = 2000 "))
    said = mouldwright("check", tmp_path / "shop.toml", code=2)
    assert "2000" in said


def test_the_demo_can_be_copied_out_once_and_reads_back(tmp_path):
    assert "mouldwright check" in mouldwright("demo", "--write", tmp_path / "mine")
    mouldwright("check", tmp_path / "mine")
    assert "nothing is overwritten" in mouldwright("demo", "--write", tmp_path / "mine", code=2)


def test_the_odds_of_a_plan_stand_with_its_orders_and_rise_with_the_date():
    found = answer("plan", DEMO, "--seconds", 0, "--odds", "--runs", 100)["odds"]
    assert found["runs"] == 100
    assert [order["number"] for order in found["orders"]] == [str(n) for n in range(1001, 1007)]
    for order in found["orders"]:
        assert order["p50"] <= order["p80"] <= order["p95"]
        assert order["promised_chance"] >= 0.8
    shown = mouldwright("plan", DEMO, "--seconds", 0, "--odds", "--runs", 100, "--show", "order")
    assert "the plan gone through 100 times" in shown
    seldom = [o["number"] for o in found["orders"] if o["p50"][:10] > o["planned"][:10]]
    assert re.findall(r"Order (\d+) is planned for", shown) == seldom
    refused = mouldwright("plan", DEMO, "--odds", "--runs", 0, code=2)
    assert "Give a whole number from 1" in refused


def test_the_odds_of_a_quote_say_what_it_may_cost_and_what_that_hangs_on():
    asked = ("--part", "stabiliser", "--process", "pressed", "--quantity", 24, "--by-rate")
    found = answer("quote", DEMO, *asked, "--odds", "--draws", 2000)["cost_odds"]
    assert Decimal(found["p50"]) < Decimal(found["p80"]) < Decimal(found["p95"])
    # The resin may cost up to a fifth more, the fibre a quarter.
    named = {driver["name"] for driver in found["drivers"]}
    assert "the price of Epoxy resin" in named
    assert "the time of load" in named
    assert answer("quote", DEMO, *asked)["cost_odds"] is None
    beside = mouldwright("compare", DEMO, *asked[:2], "--quantity", 24, "--by-rate", "--odds")
    assert "covers its cost" in beside
