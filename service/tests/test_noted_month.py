"""The bench with a month of log behind it: its ledgers beside the lines of its own file."""

from __future__ import annotations

import tomllib
from collections import Counter, defaultdict
from dataclasses import replace
from datetime import timedelta

import pytest
from house import ROOT

from mouldwright.domain.costing.actual import actual_cost
from mouldwright.domain.hours.opening import minute_of
from mouldwright.domain.record.learnt_times import learnt_times
from mouldwright.domain.record.mould_ledger import mould_ledgers
from mouldwright.domain.record.stock_ledger import stock_book
from mouldwright.domain.record.trace import Records
from mouldwright.scenario.demo import open_demo
from mouldwright.scenario.read import read_scenario
from mouldwright.usecases.stage import ready_by_log
from mouldwright.usecases.tables.of_log import log_rows
from mouldwright.usecases.tables.of_trace import traced_rows
from mouldwright.usecases.today import today_of

FILE = ROOT / "scenarios" / "noted-month" / "shop.toml"
SHOP = read_scenario(FILE.parent).shop
DONE = ("0991", "0992", "0993", "0994")


@pytest.fixture(scope="module")
def lines() -> list[dict]:
    """The log as it is written, read by nothing of ours."""
    return tomllib.loads(FILE.read_text(encoding="utf-8"))["log"]


def test_all_but_its_orders_and_its_log_is_the_foil_bench() -> None:
    bench = open_demo("foil-bench").shop
    first = [order for order in SHOP.orders if order.number in DONE]
    assert SHOP.orders == (*first, *bench.orders)
    alike = replace(SHOP, name=bench.name, orders=bench.orders, log=(), counted=bench.counted)
    assert alike == bench


def _parts(line: dict, order: str, operation: str) -> list[int]:
    task = line.get("task", {})
    if task.get("operation") != operation:
        return []
    return [n for m in task["members"] if m["order"] == order for n in m.get("parts", [])]


def test_the_file_holds_what_its_page_counts(lines: list[dict]) -> None:
    page = (FILE.parent / "README.md").read_text(encoding="utf-8")
    counts = Counter(line["what"] for line in lines)
    assert f"- {counts['scrapped']} entries of what was scrapped" in page
    assert f"{counts['stopped']} cure stopped, {counts['mould lost']} mould lost" in page
    assert f"- {counts['weighed']} parts were weighed" in page
    scrapped = {
        (m["order"], n)
        for line in lines
        for m in line.get("members", [])
        if line["what"] == "scrapped"
        for n in m.get("parts", [])
    }
    pressed = {n for line in lines for n in _parts(line, "0991", "inspect")}
    assert len(pressed) == 27
    assert "five of 27 pressed stabilisers" in page
    assert sum(order == "0991" for order, _ in scrapped) == 5


def test_every_pull_that_was_taken_out_is_in_its_moulds_ledger(lines: list[dict]) -> None:
    out = defaultdict(set)
    for line in lines:
        task = line.get("task", {})
        # A cure that failed has cost its mould a pull as well.
        is_out = line["what"] == "finished" and task.get("operation") == "demould"
        if is_out or line["what"] == "stopped":
            out[task["mould"]] |= {(m["order"], n) for m in task["members"] for n in m["pulls"]}
    counted = {ledger.name: ledger.counted_pulls for ledger in mould_ledgers(SHOP)}
    assert sum(map(len, out.values())) > 20
    assert {name: len(pulls) for name, pulls in out.items()} == {
        name: count for name, count in counted.items() if count
    }


def test_every_order_of_the_month_is_through_and_says_what_it_really_cost() -> None:
    records = Records(SHOP)
    for order in (each for each in SHOP.orders if each.number in DONE):
        cost = actual_cost(SHOP, order, records)
        assert cost.is_whole
        assert cost.total is not None
        assert cost.total > 0


def test_times_were_noted_within_what_the_bench_allows() -> None:
    # Attended work takes from 15 % less than its standard to 40 % more, to the whole minute.
    timed = [task for each in learnt_times(SHOP) for task in each.tasks]
    assert len(timed) > 100
    for task in timed:
        assert 0.85 * task.standard_min - 1 <= task.minutes <= 1.4 * task.standard_min + 1


def test_stock_and_weights_are_there() -> None:
    assert any(each.what == "weighed" for each in SHOP.log)
    assert stock_book(SHOP).uses
    assert SHOP.start is not None
    assert max(each.at for each in SHOP.log) < SHOP.start
    assert min(each.at for each in SHOP.log) > SHOP.start - timedelta(days=29)


def test_the_parts_of_one_order_and_of_one_mould_go_out_as_a_table(lines: list[dict]) -> None:
    now = SHOP.start
    every = traced_rows(SHOP, at=now, order=None, mould=None)
    of_order = traced_rows(SHOP, at=now, order="0991", mould=None)
    assert {row[1] for row in every} == set(DONE)
    pressed = {n for line in lines for n in _parts(line, "0991", "inspect")}
    assert {row[0] for row in of_order} >= {f"0991-{number}" for number in pressed}
    assert {row[1] for row in of_order} == {"0991"}
    of_mould = traced_rows(SHOP, at=now, order=None, mould="stabiliser-pressed 1")
    assert of_mould == tuple(row for row in every if row[5] == "stabiliser-pressed 1") != ()
    noted = [line for line in lines if "0991" in str(line.get("members", line.get("task")))]
    assert len(log_rows(SHOP.log, order="0991")) == len(noted)


def test_without_a_plan_its_log_says_which_orders_are_ready() -> None:
    assert ready_by_log(SHOP) == set(DONE)
    now = minute_of(SHOP.start)
    day = today_of(SHOP, None, now=now)
    # Six that are still to be made, and after them as many of the others as have room.
    assert [each.is_ready for each in day.due] == [False] * 6 + [True] * (len(day.due) - 6)
    (notice,) = [each for each in day.notices if each.kind == "no-plan"]
    assert notice.text == "6 open orders, and no plan yet."
