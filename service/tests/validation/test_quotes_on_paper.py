"""A quote's answer worked out again by arithmetic of its own.

The only inputs are its lines and the shop's few stated shares (margin
38 %, tax 23 %, deposit 40 %, all invented); the working is that of any book of accounts: quantity
times rate, added up, divided by the pieces, divided by what the margin leaves, rounded half up.
"""

from __future__ import annotations

import json
from decimal import ROUND_HALF_UP, Decimal

import pytest
from typer.testing import CliRunner

from mouldwright.cli.main import app

CENT = Decimal("0.01")
MARGIN, TAX, DEPOSIT, LEAST = (Decimal(text) for text in ("0.38", "0.23", "0.40", "60.00"))
CASES = [
    (part, process, quantity)
    for part, process in (
        ("stabiliser", "pressed"),
        ("stabiliser", "cast"),
        ("sensor-fin", "cast-fin"),
        ("camera-boom", "printed"),
    )
    for quantity in (24, 250)
]


def printed(part: str, process: str, quantity: int, *more: str, by_rate: bool = True) -> str:
    asked = [
        *("quote", "foil-bench", "--part", part, "--process", process),
        *("--quantity", str(quantity), *(["--by-rate"] if by_rate else []), *more),
    ]
    said = CliRunner().invoke(app, asked, env={"COLUMNS": "200"})
    assert said.exit_code == 0, said.output
    return said.output


def to_cent(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


@pytest.mark.parametrize(("part", "process", "quantity"), CASES)
def test_every_figure_follows_from_the_lines_printed(part, process, quantity) -> None:
    quote = json.loads(printed(part, process, quantity, "--json"))

    for line in quote["cost_lines"]:
        worked = Decimal(line["quantity"]) * Decimal(line["rate"])
        assert abs(worked - Decimal(line["amount"])) < CENT / 2, line
    total = sum(Decimal(line["amount"]) for line in quote["cost_lines"])
    assert to_cent(total) == to_cent(Decimal(quote["cost_total"]))

    each = total / quantity
    assert to_cent(each) == Decimal(quote["unit_cost"])
    price = to_cent(each / (1 - MARGIN))
    assert price == Decimal(quote["price_each"])

    (goods,) = (line for line in quote["lines"] if line["kind"] == "parts")
    assert Decimal(goods["amount"]) == price * quantity
    net = max(price * quantity, LEAST)
    tax = to_cent(net * TAX)
    deposit = to_cent((net + tax) * DEPOSIT)
    assert [Decimal(quote[key]) for key in ("net", "tax", "gross", "deposit")] == [
        *(net, tax, net + tax, deposit)
    ]
    first, rest = quote["payments"]
    assert (Decimal(first["gross"]), Decimal(rest["gross"])) == (deposit, net + tax - deposit)
    assert Decimal(first["tax"]) + Decimal(rest["tax"]) == tax

    groups = [Decimal(group["amount"]) for group in quote["checklist"][:-1]]
    assert to_cent(sum(groups)) == to_cent(total)


def test_what_is_agreed_is_worked_out_again_as_well() -> None:
    # A club's 5 % off the goods, 4.00 off besides, 8 of the 24 hurried past what is booked.
    more = ("--class", "club", "--discount-amount", "4.00", "--delivery", "8 by 2027-03-02 rush")
    more = (*more, "--delivery", "16", "--json")
    quote = json.loads(printed("stabiliser", "pressed", 24, *more, by_rate=False))
    price = Decimal(quote["price_each"])
    hurried = Decimal(str(quote["deliveries"][0]["surcharge"]))
    assert hurried > 0
    worked = [
        price * 8,
        price * 16,
        -to_cent(price * 24 * Decimal("0.05")),
        Decimal("-4.00"),
        to_cent(price * 8 * hurried),
    ]
    assert [Decimal(line["amount"]) for line in quote["lines"]] == worked
    assert Decimal(quote["net"]) == sum(worked)
    assert Decimal(quote["tax"]) == to_cent(sum(worked) * TAX)
