"""Every printed figure of a quote worked out again, from the print alone.

Shops of all kinds of terms are quoted; what is read is the text of the screen and of the paper.
How a price, a tax or a payment comes about is part of what must be printed: nothing is known here
but the four rules of arithmetic, and that what is left of a split goes to the largest remainders.
"""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pypdfium2
import pytest
from house import ROOT
from printed_reckoning import by_largest_remainder, decimals_of, line_by_line, to_unit, work
from typer.testing import CliRunner

from mouldwright.cli import quote as cli_quote
from mouldwright.cli.main import app
from mouldwright.usecases.enquiry import finish_by_rate

DEMO = ROOT / "scenarios" / "foil-bench"
FREIGHT = 'outbound = { per_order = "12.00", per_part = "0.40", returns_share = 0.02 }'
CLUB = 'discounts = [{ who = "club", of_goods = 0.05 }], least_order = "60.00", valid_days = 30'
HASTE = "rush = [{ days_sooner = 1, surcharge = 0.15 }, { days_sooner = 3, surcharge = 0.25 }]"
THIRDS = ", ".join(
    f'{{ of_gross = {share}, when = "{when}" }}'
    for share, when in (("0.3334", "on ordering"), ("0.3333", "halfway"), ("0.3333", "on delivery"))
)
# All invented. Each changes the demo's policy: how it prices, taxes and is paid.
POLICIES = {
    "margin": f'rule = "margin", rate = 0.38, tax_rate = 0.23, deposit_rate = 0.40, {CLUB}',
    "fee by line": 'rule = "margin", rate = 0.375, tax_rate = 0.08875, payment_fee_rate = 0.015, '
    f'tax_on = "lines", shared_set_up = "given", instalments = [{THIRDS}], {HASTE}, {CLUB}',
    "mark-up": f'rule = "mark-up", rate = 0.6, payment_fee_rate = 0.02, deposit_rate = 1, {CLUB}',
    "tax in it": 'rule = "mark-up", rate = 0.6, tax_rate = 0.19, tax_included = true, '
    f'tax_on = "lines", payment_fee_rate = 0.02, deposit_rate = 0.3, {CLUB}',
    "tax in all": 'rule = "margin", rate = 0.4, tax_rate = 0.2, tax_included = true, '
    f"deposit_rate = 0.25, {CLUB}",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A quote that is asked for in some shop."""

    policy: str
    currency: str = "EUR"
    more: tuple[str, ...] = ()
    part: str = "stabiliser"
    process: str = "pressed"
    quantity: int = 24
    changes: tuple[tuple[str, str], ...] = ()


LEARNT = ("attended_min = 9\n", "attended_min = 9\nlearning_rate = 0.9\n")
SECONDS = ("good_rate = 0.94", "good_rate = 0.94\nsecond_rate = 0.03")
SOLD_SECOND = ("span_mm = 260\n", 'span_mm = 260\nsecond_price = "21.50"\n')
SPLIT = ("--delivery", "8 by 2027-03-02 rush", "--delivery", "16")
TWO = ("--delivery", "20", "--delivery", "4")
AGREED = ("--class", "club", "--discount-amount", "4.00", *SPLIT)
CASES = [
    *(Asked(policy=each) for each in POLICIES),
    *(Asked(policy=each, quantity=1) for each in ("fee by line", "tax in all")),
    Asked(policy="margin", quantity=250),
    Asked(policy="margin", process="cast"),
    Asked(policy="margin", part="sensor-fin", process="cast-fin", quantity=250),
    Asked(policy="fee by line", more=AGREED),
    Asked(
        policy="fee by line", more=("--discount", "12.5 %", "--delivery", "20", "--delivery", "4")
    ),
    Asked(policy="tax in it", more=("--class", "club", "--discount-amount", "1.99")),
    Asked(policy="tax in it", part="camera-boom", process="printed", more=("--spares",)),
    Asked(policy="margin", changes=(LEARNT, SECONDS, SOLD_SECOND)),
    *(
        Asked(policy=policy, currency=currency, more=("--class", "club"))
        for policy in ("fee by line", "tax in it")
        for currency in ("JPY", "KWD")
    ),
]


def shop_of(asked: Asked, folder: Path) -> Path:
    """Write the demo shop anew with another policy and currency; a yen is a cent."""
    shop = folder / "shop"
    shutil.copytree(DEMO, shop)
    for file in shop.glob("*.toml"):
        text = file.read_text(encoding="utf-8")
        for old, new in asked.changes:
            text = text.replace(old, new)
        policy = f"price = {{ {POLICIES[asked.policy]} }}"
        text = re.sub(r"^price = \{.*$", policy, text, flags=re.MULTILINE)
        text = text.replace("time_zone = ", f"{FREIGHT}\ntime_zone = ", 1)
        if asked.currency == "JPY":
            text = re.sub(r'"(\d+)\.(\d\d)"', lambda m: f'"{int(m[1] + m[2])}"', text)
        text = text.replace('currency = "EUR"', f'currency = "{asked.currency}"')
        file.write_text(text, encoding="utf-8")
    return shop


def two_days_sooner(*asked):
    """Say that haste gains two days; by the rate alone it gains none."""
    ready = finish_by_rate(*asked)
    return replace(ready, finish=ready.finish - 2 * 1440)


def printed(asked: Asked, folder: Path) -> tuple[str, str]:
    """Return what the screen and the paper say."""
    paper = folder / "quote.pdf"
    words = [
        *("quote", str(shop_of(asked, folder)), "--part", asked.part, "--process", asked.process),
        *("--quantity", str(asked.quantity), "--pdf", str(paper), *asked.more),
        "--by-rate",
    ]
    said = CliRunner().invoke(app, words, env={"COLUMNS": "400"})
    assert said.exit_code == 0, said.output
    pages = [page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(paper)]
    return said.output, re.sub(r"[^\S\n]+", " ", "\n".join(pages).replace("\r", ""))


def rows(text: str, heading: str) -> list[list[str]]:
    """Return the rows of the table under a heading, cells parted by two blanks or more."""
    table = text.split(heading, 1)[1].split("──\n", 1)[1].split("\n\n", 1)[0]
    found = (re.split(r"\s{2,}", line.strip()) for line in table.splitlines())
    return [row for row in found if any(re.fullmatch(r"-?[\d.]+", cell) for cell in row[1:])]


def name_of(asked: Asked) -> str:
    said = " ".join((asked.policy, asked.process, str(asked.quantity), asked.currency, *asked.more))
    return f"{said}{' learnt' if asked.changes else ''}"


@pytest.mark.timeout(60)
@pytest.mark.parametrize("asked", CASES, ids=name_of)
def test_every_figure_is_worked_out_again_from_the_print_alone(
    asked: Asked, tmp_path, monkeypatch
) -> None:
    monkeypatch.setattr(cli_quote, "hurried_by", lambda **_: two_days_sooner)
    screen, paper = printed(asked, tmp_path)
    # A twentieth of what can be paid: of a cent, or of a yen, which has no decimals.
    near = Fraction("0.05") if asked.currency == "JPY" else Fraction("0.0005")
    cost_adds_up(screen, asked.quantity, near)
    amounts = workings_hold(screen)
    shown = re.findall(r"\s([\d.-]+)$", screen.split("Where it comes from")[0], re.MULTILINE)
    offered = [row[-1] for row in rows(screen, f"each {asked.currency}")]
    assert set(offered) <= {*amounts, *shown}
    net_follows_from_the_lines(screen, offered)
    if asked.currency == "EUR":
        paper_adds_up(paper)


def cost_adds_up(screen: str, quantity: int, near: Fraction) -> None:
    """Every line is what is taken times its rate; together they are the cost of the order."""
    whole, pieces, each = re.search(
        r"Cost of one good part: ([\d.]+) / (\d+) = ([\d.]+)\.", screen
    ).groups()
    assert int(pieces) == quantity
    found = re.findall(
        r"^[a-z]+ +\S.*? {2,}([\d.]+)   ?\S+ +([\d.]+) +([\d.]+)$",
        screen.split("Where it comes from")[1].split("Cost of one good")[0],
        re.MULTILINE,
    )
    assert len(found) > 8
    for taken, rate, amount in found:
        assert abs(Fraction(taken) * Fraction(rate) - Fraction(amount)) <= near
    assert abs(sum(Fraction(row[2]) for row in found) - Fraction(whole)) <= 4 * near
    assert abs(Fraction(whole) / quantity - Fraction(each)) <= near
    groups = [row[1] for row in rows(screen, "Every group of cost")]
    assert abs(sum(Fraction(each) for each in groups[:-1]) - Fraction(whole)) <= 4 * near


def workings_hold(screen: str) -> list[str]:
    """Every sum from the cost to the last payment comes to the amount beside it."""
    told = screen.split("From the cost to what is paid")[1].split("Every group")[0]
    (rounding,) = re.findall(r"^Each is rounded.*$", told, re.MULTILINE)
    digits = decimals_of(rounding)
    sums = rows(screen, "From the cost to what is paid")
    paid = [row for row in sums if "payment" in row[0] and "-" not in row[1]]
    split = "largest remainders" in rounding
    each = re.search(r"= ([\d.]+)\.", screen.split("Cost of one good part")[1])[1]
    assert sums[0][1].startswith(f"{each} ")
    for what, how, amount in sums:
        if split and "payment" in what:
            continue
        if how.endswith(", each line rounded by itself"):
            worked = line_by_line(how.removesuffix(", each line rounded by itself"), digits)
        else:
            worked = to_unit(work(how), digits)
        assert worked == Decimal(amount), (what, how, amount)
        assert -worked.as_tuple().exponent == digits
    if split:
        for of in ("payment", "tax in the payment"):
            mine = [row for row in paid if row[0].startswith(of)]
            whole, shares = mine[0][1].split(" x ")[0], [row[1].split(" x ")[1] for row in mine]
            parts = by_largest_remainder(Decimal(whole), [Decimal(s) for s in shares], digits)
            assert parts == [Decimal(row[2]) for row in mine]
    return [row[2] for row in sums]


def net_follows_from_the_lines(screen: str, offered: list[str]) -> None:
    """What is to pay is net and tax, and the lines above add up to what prices are stated in."""
    lines, sums = offered[:-3], [Decimal(each) for each in offered[-3:]]
    stated = sum(Decimal(each) for each in lines)
    assert stated == sums[0]
    if "tax included" in screen.split("At other")[0]:
        assert sums[0] - sums[1] == sums[2]
    else:
        assert sums[0] + sums[1] == sums[2]


def euros(text: str) -> Decimal:
    return Decimal(text.replace("€", "").replace(",", ""))


def paper_adds_up(paper: str) -> None:
    """What the customer reads is enough for every line, the tax and the payments."""
    paper = re.sub(r"\n(?=-?€[\d.,]+$)", " ", paper, flags=re.MULTILINE)
    money = r"-?€[\d,]+\.\d\d"
    goods = re.findall(rf"(\d+)(?: packs of \d+)? × .*? at ({money}).*? ({money})$", paper, re.M)
    assert goods
    for count, each, amount in goods:
        assert int(count) * euros(each) == euros(amount)
    whole = sum(euros(amount) for _, _, amount in goods)
    discount = re.search(rf"Discount.*?, ([\d.]+) % of the goods ({money})$", paper, re.M)
    if discount:
        worked = to_unit(Fraction(whole) * Fraction(discount[1]) / 100, 2)
        assert -worked == euros(discount[2])
    rush = re.search(rf"Rush, ([\d.]+) % of what is hurried, delivery 1 ({money})$", paper, re.M)
    if rush:
        worked = to_unit(Fraction(euros(goods[0][2])) * Fraction(rush[1]) / 100, 2)
        assert worked == euros(rush[2])
    amount = paper.split("\nAmount\n", 1)[1]
    table = [(m[1], euros(m[2])) for m in re.finditer(rf"^(.*?) ({money})$", amount, re.M)]
    at = [text for text, _ in table]
    included = at.index("To pay") < at.index("Net")
    first = at.index("To pay" if included else "Net")
    lines = [value for _, value in table[:first]]
    assert sum(lines) == table[first][1]
    said, tax = table[first + 1]
    rate = Fraction(re.search(r"([\d.]+) %", said)[1]) / 100
    share = rate / (1 + rate) if included else rate
    taxed = lines if "line by line" in said else [sum(lines)]
    assert sum(to_unit(Fraction(each) * share, 2) for each in taxed) == tax
    other = table[first + 2][1]
    assert other == (table[first][1] - tax if included else table[first][1] + tax)
    gross = dict(table)["To pay"]
    payments = [(text, value) for text, value in table[first + 3 :] if is_payment(text)]
    if payments:
        assert sum(value for _, value in payments) == gross
        worked = Fraction(gross) * Fraction(re.search(r"([\d.]+) %", payments[0][0])[1]) / 100
        assert abs(worked - Fraction(payments[0][1])) < Fraction("0.01")


def is_payment(text: str) -> bool:
    return text.startswith(("Deposit on ordering", "Halfway", "On delivery"))


def test_the_arithmetic_used_here_is_that_of_school() -> None:
    assert work("38.062003 / (1 - 0.38)") == Fraction("38.062003") / Fraction("0.62")
    assert work("-79.27 + 2 x (3 - 1)") == Fraction("-75.27")
    # Three thirds of 100.00 are 33.34, 33.33 and 33.33.
    thirds = by_largest_remainder(
        Decimal("100.00"), [Decimal("0.3334"), *[Decimal("0.3333")] * 2], 2
    )
    assert thirds == [Decimal("33.34"), Decimal("33.33"), Decimal("33.33")]
