"""The ledger, trace and spent commands: on a scenario with a log, in words and as JSON."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal

import pytest
from bench_log import done, entry, logged, members, work
from learnt_log import slow_demoulds
from typer.testing import CliRunner

from mouldwright.cli.main import app
from mouldwright.domain.record.log import Happening
from mouldwright.scenario.demo import open_demo
from mouldwright.scenario.write import write_scenario

MOULD = "stabiliser-pressed 3"
NOW = ["--now", "2027-03-03T08:30"]


@pytest.fixture(scope="module")
def scenario(tmp_path_factory) -> str:
    of = {"order": "1001", "part": "stabiliser"}
    log = logged(
        *done(9, work("mix", pulls=[1], **of)),
        *done(9.5, work("load", mould=MOULD, pulls=[1], **of), people=("ines",), began=9.25),
        *done(34, work("demould", mould=MOULD, pulls=[1], **of), people=("tomas",)),
        entry(Happening.SCRAPPED, 35, members=members("1001", parts=[1]), cause="void"),
    )
    path = tmp_path_factory.mktemp("bench") / "shop.toml"
    path.write_text(write_scenario(replace(open_demo("foil-bench").shop, log=log)))
    return str(path)


def said(*asked: str) -> str:
    found = CliRunner().invoke(app, list(asked), catch_exceptions=False)
    assert found.exit_code == 0, found.output
    return found.output


def test_the_ledger_says_how_all_stands_and_one_mould_or_material_by_itself(scenario):
    quick = [*NOW, "--seconds", "0"]
    told = json.loads(said("ledger", scenario, *quick, "--json"))
    moulds = {each["name"]: each for each in told["moulds"]}
    assert (moulds[MOULD]["pulls"], moulds[MOULD]["counted_pulls"]) == (13, 1)
    assert moulds[MOULD]["defects"] == [{"what": "scrapped", "cause": "void", "parts": 1}]
    assert {each["material"] for each in told["materials"]} >= {"epoxy-resin", "chopped-carbon"}
    assert "Moulds" in said("ledger", scenario, *quick)
    one = said("ledger", scenario, *quick, "--mould", MOULD)
    assert "12 when counted, 1 by the log since" in one
    assert "1 scrapped: void." in one
    assert "460 when counted" in said("ledger", scenario, *quick, "--material", "epoxy-resin")


def test_a_part_is_traced_there_and_back(scenario):
    told = json.loads(said("trace", scenario, *NOW, "--serial", "1001-1", "--json"))
    assert (told["mould"], told["pulled_by"], told["stands"]) == (MOULD, ["tomas"], "scrapped")
    words = said("trace", scenario, *NOW, "--serial", "1001-1")
    assert f"Pull 1 on {MOULD}, taken out by tomas." in words
    assert "Scrapped: void." in words
    back = json.loads(
        said("trace", scenario, *NOW, "--material", "epoxy-resin", "--lot", "1", "--json")
    )
    assert [part["serial"] for part in back["parts"]] == ["1001-1"]
    assert "no such part" in said("trace", scenario, *NOW, "--mould", "main-foil-pressed 1")


def test_spent_says_where_the_money_went(scenario):
    told = json.loads(said("spent", scenario, *NOW, "--order", "1001", "--json"))
    load = next(line for line in told["lines"] if line["text"] == "load")
    # A quarter of an hour by Ines, where the standard says 12 min.
    assert (load["quantity"], load["reckoned"], load["evidence"]) == ("0.25", "0.2", "1 timed")
    assert "reckoned" in said("spent", scenario, *NOW, "--order", "1001")


def test_spent_says_what_seconds_bring(tmp_path):
    # Two parts of pulls taken out on two moulds, both seconds, at 12.50 each.
    of = {"order": "1001", "part": "stabiliser"}
    entries = [
        done(20 + pull, work("demould", mould=f"stabiliser-pressed {pull}", pulls=[pull], **of))
        for pull in (1, 2)
    ]
    second = entry(Happening.SECOND, 40, members=members("1001", parts=[1, 2]))
    shop = replace(open_demo("foil-bench").shop, log=logged(*entries[0], *entries[1], second))
    path = tmp_path / "shop.toml"
    asked = ("spent", str(path), *NOW, "--order", "1001")
    for price, income, words in (
        (None, None, "Seconds, in no line: 2; not every part states a price for them."),
        (Decimal("12.50"), "25.00", "Seconds, in no line: 2, which bring 25.00."),
    ):
        part = replace(shop.parts["stabiliser"], second_price=price)
        priced = replace(shop, parts={**shop.parts, "stabiliser": part})
        path.write_text(write_scenario(priced))
        told = json.loads(said(*asked, "--json"))
        assert (told["seconds"], told["seconds_income"]) == (2, income)
        assert words in " ".join(said(*asked).split())


def test_learn_says_what_the_log_teaches_and_changes_nothing(tmp_path):
    path = tmp_path / "shop.toml"
    shop = replace(open_demo("foil-bench").shop, log=slow_demoulds(6))
    path.write_text(write_scenario(shop))
    told = json.loads(said("learn", str(path), "--json"))
    assert [change["key"] for change in told["changes"]] == ["time:pressed:demould"]
    assert "Nothing is changed by itself" in said("learn", str(path))
    assert path.read_text() == write_scenario(shop)


def test_learn_says_so_where_nothing_was_timed(tmp_path):
    path = tmp_path / "shop.toml"
    path.write_text(write_scenario(open_demo("foil-bench").shop))
    assert "no task that was timed" in said("learn", str(path))
