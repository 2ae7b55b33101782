"""What is agreed on a quote, over HTTP: asked for, kept, priced and refused with its field."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest
from quoting import QUOTES, made, match
from service_bench import SHOP, START, once, problem_of

from mouldwright.cli.main import app
from mouldwright.cli.quote import quote as quote_command

TERMS = {
    "customer_class": "club",
    "discount_amount": "2.50",
    "deliveries": [
        {"quantity": 4, "due": "2027-03-10T17:15:00Z", "rush": True},
        {"quantity": 8},
    ],
}


@pytest.fixture
def planner(served):
    return served.client("planner")


def test_terms_are_kept_and_stay_in_a_revision_that_says_nothing_of_them(planner):
    answer = made(planner, terms=TERMS, address=["2 Quay Lane"])
    kept = answer.json()
    assert kept["address"] == ["2 Quay Lane"]
    assert kept["terms"]["deliveries"][0] == TERMS["deliveries"][0]
    quote = kept["quote"]
    assert sum(Decimal(line["amount"]) for line in quote["lines"]) == Decimal(quote["net"])
    assert [each["quantity"] for each in quote["deliveries"]] == [4, 8]

    again = planner.post(
        f"{QUOTES}/1/revisions", json={"quantity": 15}, headers=match(answer) | once()
    ).json()
    assert [each["quantity"] for each in again["terms"]["deliveries"]] == [4, 11]
    assert again["address"] == ["2 Quay Lane"]


def test_a_price_is_what_the_command_prints_for_the_same_terms(planner, capsys):
    ask = {"part": "stabiliser", "process": "pressed", "quantity": 12, "by": "2027-03-12"}
    terms = {"discount_rate": 0.05, "rush": True}
    priced = planner.post(f"/v1/shops/{SHOP}/price", json=ask | {"terms": terms}).json()
    quote_command(
        *("foil-bench", "stabiliser", "pressed", 12),
        now=START.isoformat(),
        by_rate=False,
        as_json=True,
        by="2027-03-12",
        agreed={"discount": "5 %", "rush": True},
    )
    assert json.loads(capsys.readouterr().out) == priced
    assert [line["kind"] for line in priced["lines"]] == ["parts", "discount", "rush"]


@pytest.mark.parametrize(
    ("terms", "pointer"),
    [
        ({"customer_class": "clib"}, "#/terms/customer_class"),
        ({"discount_rate": 1}, "#/terms/discount_rate"),
        ({"discount_amount": "0.005"}, "#/terms/discount_amount"),
        ({"deliveries": [{"quantity": 5}]}, "#/terms/deliveries"),
        ({"rush": True}, "#/due"),
    ],
)
def test_terms_that_cannot_be_kept_are_refused_with_their_field(planner, terms, pointer):
    ask = {"part": "stabiliser", "process": "pressed", "quantity": 12, "terms": terms}
    answer = planner.post(QUOTES, json=ask, headers=once())
    problem = problem_of(answer, 422, "invalid")
    assert [error["pointer"] for error in problem["errors"]] == [pointer]
    assert planner.get(QUOTES).json()["quotes"] == []


def test_the_command_line_takes_every_term():
    from typer.testing import CliRunner

    said = CliRunner().invoke(
        app,
        [
            *("quote", "foil-bench", "--part", "stabiliser", "--process", "pressed"),
            *("--quantity", "12", "--class", "club", "--discount-amount", "1.00"),
            *("--delivery", "4 by 2027-03-02 rush", "--delivery", "8"),
        ],
    )
    assert said.exit_code == 0, said.output
    words = " ".join(said.output.split())
    for line in ("Discount for club, 5 % of the goods", "delivery 2", "Rush,", "Delivery 1: 4,"):
        assert line in words
