"""Tax, payments in parts, what being paid costs, and what sending costs: to the cent."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import builders
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.costing.price import payments_of, price_of, sale_price, totalled
from mouldwright.domain.costing.unit_cost import unit_cost
from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.money import Currency
from mouldwright.domain.shop import Instalment, Outbound, PricePolicy

EUR = Currency("EUR")


def money(text):
    return Decimal(text)


def parts(*shares):
    return tuple(Instalment(share=money(share), when=f"part {n}") for n, share in enumerate(shares))


def test_three_thirds_of_a_hundred_add_up():
    # 100.00 in three equal shares: 33.34 + 33.33 + 33.33, the cent left over to the first.
    policy = PricePolicy(instalments=parts("0.3333333333", "0.3333333333", "0.3333333334"))
    paid = payments_of(policy, EUR, gross=money("100.00"), tax=money("0.00"))
    assert sorted(p.gross for p in paid) == [money("33.33"), money("33.33"), money("33.34")]


def test_a_quarter_a_quarter_and_a_half_carry_their_tax():
    # 876.74 gross, 163.94 tax: 219.185 and 438.37; 40.985 and 81.97.
    policy = PricePolicy(instalments=parts("0.25", "0.25", "0.5"))
    paid = payments_of(policy, EUR, gross=money("876.74"), tax=money("163.94"))
    assert [p.gross for p in paid] == [money("219.19"), money("219.18"), money("438.37")]
    assert [p.tax for p in paid] == [money("40.99"), money("40.98"), money("81.97")]


@given(
    gross=st.integers(0, 10**8),
    shares=st.lists(st.integers(1, 1000), min_size=1, max_size=5),
    digits=st.sampled_from(["JPY", "EUR", "KWD"]),
)
def test_payments_add_up_in_every_currency(gross, shares, digits):
    currency, whole = Currency(digits), sum(shares)
    amount = Decimal(gross).scaleb(-currency.digits)
    tax = currency.round(amount * Decimal("0.187"))
    instalments = tuple(Instalment(share=Decimal(share) / whole, when="then") for share in shares)
    paid = payments_of(PricePolicy(instalments=instalments), currency, gross=amount, tax=tax)
    assert sum(p.gross for p in paid) == amount
    assert sum(p.tax for p in paid) == tax
    assert all(currency.holds(p.gross) for p in paid)


def test_the_first_payment_is_the_deposit():
    policy = PricePolicy(rule="mark-up", rate=money("1"), instalments=parts("0.4", "0.6"))
    price = price_of(policy, EUR, Fraction(5), 10)
    assert price.deposit == money("40.00")


def test_without_deposit_all_is_due_on_delivery():
    price = price_of(PricePolicy(), EUR, Fraction(5), 10)
    assert [(p.when, p.gross) for p in price.payments] == [("on delivery", money("50.00"))]
    assert price.deposit == 0


def test_a_deposit_by_rate_leaves_the_rest_for_delivery():
    # 430.92 x 1.23 = 530.0316 -> 530.03; 40 % of it 212.012 -> 212.01.
    policy = PricePolicy(tax_rate=money("0.23"), deposit_rate=money("0.4"))
    price = price_of(policy, EUR, Fraction(43092, 100), 1)
    assert [p.gross for p in price.payments] == [money("212.01"), money("318.02")]
    assert sum(p.tax for p in price.payments) == price.tax


def test_tax_by_line_is_rounded_on_each():
    # 19 % of 10.03 is 1.9057 -> 1.91 twice = 3.82; on 20.06 it is 3.8114 -> 3.81.
    lines = [money("10.03"), money("10.03")]
    price = price_of(PricePolicy(), EUR, Fraction(1), 1)
    for tax_on, tax in (("total", "3.81"), ("lines", "3.82")):
        policy = PricePolicy(tax_rate=money("0.19"), tax_on=tax_on)
        assert totalled(policy, EUR, price, lines).tax == money(tax)


def test_what_being_paid_costs_is_recovered_and_the_margin_stays_a_margin():
    # Cost 50, margin 40 %, 2 % of what is paid, no tax: 50 / (1 - 0.4 - 0.02) = 86.21;
    # 86.2069 - 50 - 1.7241 is 34.4828, 40 % of the price.
    policy = PricePolicy(rate=money("0.4"), payment_fee_rate=money("0.02"))
    price = sale_price(policy, Fraction(50))
    assert round(price, 2) == Fraction(8621, 100)
    assert (price - 50 - price * Fraction(2, 100)) / price == Fraction(4, 10)


def test_what_being_paid_costs_is_marked_up_like_any_cost():
    # Cost and fee together, 50 + 0.02 p, by 1.4: p = 70 / (1 - 0.028) = 72.0165.
    policy = PricePolicy(rule="mark-up", rate=money("0.4"), payment_fee_rate=money("0.02"))
    price = sale_price(policy, Fraction(50))
    assert price == (50 + price * Fraction(2, 100)) * Fraction(14, 10)


def test_the_fee_is_taken_of_the_tax_too():
    # 100 / (1 - 0.10 x 1.25) = 114.2857: of 142.857 paid, 14.2857 are kept.
    policy = PricePolicy(tax_rate=money("0.25"), payment_fee_rate=money("0.1"))
    assert sale_price(policy, Fraction(100)) == Fraction(800, 7)


def test_a_fee_and_a_margin_that_leave_nothing_are_refused():
    policy = PricePolicy(rate=money("0.95"), payment_fee_rate=money("0.06"))
    with pytest.raises(InvalidInput) as caught:
        sale_price(policy, Fraction(1))
    assert caught.value.faults[0].path == "shop.price.payment_fee_rate"


def shop(**outbound):
    made = builders.process(builders.hands("cut", 60, per="part"))
    held = builders.shop(
        made, [builders.order("1", 4)], people=[builders.person("ines")], overhead_per_hour=money(1)
    )
    return replace(held, service_level=None, outbound=Outbound(**outbound))


def cost(**outbound):
    held = shop(**outbound)
    found = unit_cost(held, held.part("fin"), held.process("pressed"), 4, charge=None)
    return found, {line.text: line.amount for line in found.lines if line.kind == "outbound"}


def test_freight_is_by_order_and_by_good_part():
    # 4 h at 15 and 1 of overhead are 64; 12.00 and 4 x 0.50 more.
    found, lines = cost(per_order=money("12"), per_part=money("0.5"))
    assert lines == {"freight of the order": 12, "freight of a part": 2}
    assert found.total == 78


def test_returns_are_a_share_of_everything_else():
    found, lines = cost(per_order=money("12"), returns_share=money("0.05"))
    assert lines["returns and repairs, on all other cost"] == Fraction(76) * Fraction(5, 100)
    assert found.total == Fraction(76) * Fraction(105, 100)


def test_where_nothing_is_stated_the_checklist_shows_a_zero():
    assert cost()[1] == {"no freight or returns stated": 0}
