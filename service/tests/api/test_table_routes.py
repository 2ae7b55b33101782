"""Tables over HTTP: listed with what their columns say, handed out as files."""

from __future__ import annotations

import csv
import io

import openpyxl
import pytest
from quoting import made
from service_bench import SHOP, once, problem_of
from working import worked

TABLES = f"/v1/shops/{SHOP}/tables"


def rows_of(answer):
    assert answer.status_code == 200, answer.text
    return list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"), newline="")))


def test_every_table_that_is_listed_is_handed_out_in_both_forms(served):
    viewer = served.client("viewer")
    tables = viewer.get(TABLES).json()["tables"]
    assert len(tables) >= 12
    for table in tables:
        query = {"part": "stabiliser", "quantity": 4} if table["name"] == "comparison" else {}
        names = [column["name"] for column in table["columns"]]
        text = viewer.get(f"{TABLES}/{table['name']}.csv", params=query)
        assert text.content.decode("utf-8-sig").splitlines()[0].split(",") == names
        assert table["name"] in text.headers["content-disposition"]
        book = viewer.get(f"{TABLES}/{table['name']}.xlsx", params=query)
        read = openpyxl.load_workbook(io.BytesIO(book.content))
        assert [cell.value for cell in next(iter(read.worksheets[0].rows))] == names


def test_the_plan_that_holds_and_what_was_quoted_stand_in_them(served):
    planner = served.client("planner")
    made(planner)
    assert [row["quote"] for row in rows_of(planner.get(f"{TABLES}/quotes.csv"))] == ["1"]
    assert rows_of(planner.get(f"{TABLES}/plan.csv")) == []
    assert (
        planner.post(f"/v1/shops/{SHOP}/runs", json={"seconds": 0.1}, headers=once()).status_code
        == 202
    )
    assert worked(served).state == "done"
    plan = planner.get(f"/v1/shops/{SHOP}/plan").json()["plan"]
    assert len(rows_of(planner.get(f"{TABLES}/plan.csv"))) == len(plan["tasks"])
    ready = {row["order"]: row["ready"] for row in rows_of(planner.get(f"{TABLES}/orders.csv"))}
    assert ready == {
        each["number"]: each["finish"][:16] + each["finish"][19:] for each in plan["orders"]
    }


@pytest.mark.parametrize(
    ("path", "status", "kind"),
    [
        ("nothing.csv", 404, "unknown"),
        ("stock.ods", 422, "invalid"),
        ("comparison.csv", 422, "invalid"),
        ("day-sheet.csv?person=nobody", 422, "invalid"),
        ("day-sheet.csv?day=tomorrow", 422, "invalid"),
    ],
)
def test_what_there_is_not_is_refused(served, path, status, kind):
    problem_of(served.client("viewer").get(f"{TABLES}/{path}"), status, kind)
