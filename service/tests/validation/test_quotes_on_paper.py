"""A quote worked out again on paper: from what is printed alone, by arithmetic of its own.

The only inputs are the lines a reader has before them and the shop's few stated shares (margin
38 %, tax 23 %, deposit 40 %, all invented); the working is that of any book of accounts: quantity
times rate, added up, divided by the pieces, divided by what the margin leaves, rounded half up.
"""

from __future__ import annotations

import json
import re
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


@pytest.mark.parametrize(("part", "process", "quantity"), CASES)
def test_the_price_follows_from_the_cost_printed_before_it(part, process, quantity) -> None:
    text = " ".join(printed(part, process, quantity).split())
    cost, price = re.search(
        r"one good part: [\d.]+ / \d+ = ([\d.]+)\. Price each, margin 0\.38: ([\d.]+)\.", text
    ).groups()
    assert to_cent(Decimal(cost) / (1 - MARGIN)) == Decimal(price)
    quote = json.loads(printed(part, process, quantity, "--json"))
    assert quote["unit_cost_fine"] == cost


@pytest.mark.parametrize("quantity", [24, 250])
def test_what_a_reader_sees_in_the_terminal_adds_up_to_the_cent(quantity) -> None:
    text = printed("stabiliser", "pressed", quantity)
    kinds = "labour|conditioning|material|consumables|tooling|station|packaging|overhead|outbound"
    rows = re.findall(
        rf"^(?:{kinds})\b.*?([\d.]+)\s+\S+\s+([\d.]+)\s+([\d.]+)\s*$", text, re.MULTILINE
    )
    # Eight steps of hands, conditioning, four of material, three stations, and one each of what
    # is used up, moulds, packaging, overhead and freight.
    assert len(rows) == 8 + 1 + 4 + 3 + 5
    total = Decimal(0)
    for taken, rate, amount in rows:
        assert abs(Decimal(taken) * Decimal(rate) - Decimal(amount)) < CENT / 2
        total += Decimal(amount)
    found = re.search(
        r"one good part: ([\d.]+) / (\d+) = ([\d.]+)\. Price each, margin 0\.38: ([\d.]+)\.",
        " ".join(text.split()),
    )
    assert found is not None
    assert to_cent(total) == to_cent(Decimal(found[1]))
    assert to_cent(total / quantity) == to_cent(Decimal(found[3]))
    assert abs(Decimal(found[1]) / quantity - Decimal(found[3])) < CENT / 100
    # The line that is printed works out by itself.
    assert to_cent(Decimal(found[3]) / (1 - MARGIN)) == Decimal(found[4])
    net, tax, to_pay = (
        Decimal(re.search(rf"^{name}\b.*?([\d.]+)\s*$", text, re.MULTILINE)[1])
        for name in ("Net", "Tax", "To pay")
    )
    assert net == Decimal(found[4]) * quantity
    assert (tax, to_pay) == (to_cent(net * TAX), net + to_cent(net * TAX))


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
