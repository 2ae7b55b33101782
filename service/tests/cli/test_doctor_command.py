"""What is wrong with an installation, as it is asked and told on the command line."""

from __future__ import annotations

import json
import sqlite3
import sys
from contextlib import closing

import pytest

from mouldwright.bootstrap import open_services, with_demo
from mouldwright.cli.main import run
from mouldwright.scenario.demo import open_demo
from mouldwright.settings import Settings
from mouldwright.store.migrate import migrate
from mouldwright.usecases.shelf import list_shops


@pytest.fixture
def doctor(capsys, monkeypatch):
    """Asks as it is typed; returns the exit code and what was printed."""

    def ask(*words: str):
        monkeypatch.setattr(sys, "argv", ["mouldwright", "doctor", *words])
        with pytest.raises(SystemExit) as left:
            run()
        return int(left.value.code or 0), capsys.readouterr()

    return ask


@pytest.fixture
def demo_url(tmp_path) -> str:
    url = f"sqlite:///{tmp_path / 'bench.db'}"
    migrate(url)
    with_demo(Settings(database_url=url))
    return url


def found(printed) -> dict[str, str]:
    return {each["what"]: each["state"] for each in json.loads(printed.out)["findings"]}


def test_a_sound_installation_is_well(doctor, demo_url):
    code, printed = doctor("--demo", "--json", "--database", demo_url)
    assert (code, json.loads(printed.out)["is_well"]) == (0, True)
    # 2,048 MB and 60 minutes are what the page on the service says where nothing is set.
    (caps,) = [f for f in json.loads(printed.out)["findings"] if f["what"] == "caps of a run"]
    assert "2,048 MB of memory (RUN_MEMORY_MB) and 60 minutes (RUN_MINUTES)" in caps["says"]
    assert (
        found(printed).items()
        >= {
            "database": "well",
            "tables": "well",
            "shops": "well",
            "worker": "well",
            "clock": "well",
            "time zones": "well",
            "planner": "well",
            "documents": "well",
        }.items()
    )


def test_the_demo_has_its_first_morning_and_a_month_of_log_and_one_clock(demo_url):
    settings = with_demo(Settings(database_url=demo_url))
    opened = open_services(settings)
    try:
        kept = [each.key for each in list_shops(opened.services.units, only=None)]
        with opened.services.units.read("noted-month") as unit:
            noted = len(unit.log.all())
        now = opened.services.clock()
    finally:
        opened.close()
    assert kept == ["foil-bench", "noted-month"]
    assert noted > 500
    assert now >= open_demo("foil-bench").shop.start == open_demo("noted-month").shop.start


def test_a_shop_that_no_longer_reads_is_wrong_and_the_code_says_so(doctor, demo_url):
    with closing(sqlite3.connect(demo_url.removeprefix("sqlite:///"))) as connection:
        connection.execute("""UPDATE shop_version SET document = '{"shop": 3}'""")
        connection.commit()
    code, printed = doctor("--demo", "--json", "--database", demo_url)
    assert (code, found(printed)["shops"]) == (1, "wrong")
    code, printed = doctor("--demo", "--database", demo_url)
    assert code == 1
    assert "1 wrong" in printed.out


def test_before_anything_is_kept_there_is_nothing_wrong_and_nothing_is_made(doctor, tmp_path):
    code, printed = doctor("--database", f"sqlite:///{tmp_path / 'coming.db'}")
    assert code == 0
    assert "is not there yet" in " ".join(printed.out.split())
    assert list(tmp_path.iterdir()) == []


def test_a_setting_that_cannot_be_right_is_wrong_input(doctor, demo_url, monkeypatch):
    monkeypatch.setenv("MOULDWRIGHT_PORT", "many")
    code, printed = doctor("--database", demo_url)
    assert (code, printed.out) == (2, "")
    assert "MOULDWRIGHT_PORT" in printed.err


def test_an_address_it_does_not_answer_to_is_wrong(doctor, demo_url, monkeypatch):
    monkeypatch.setenv("MOULDWRIGHT_PUBLIC_ADDRESS", "https://bench.example")
    code, printed = doctor("--demo", "--json", "--database", demo_url)
    assert (code, found(printed)["public address"]) == (1, "wrong")
