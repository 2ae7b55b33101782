from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldwright.domain.costing.price import (
    inversions,
    price_from,
    price_ladder,
    price_of,
    rise_at,
    sale_price,
    tiered,
)
from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.money import Currency
from mouldwright.domain.shop import PricePolicy

EUR = Currency("EUR")


def policy(rule: str = "mark-up", rate: str = "0", **more: object) -> PricePolicy:
    return PricePolicy(rule=rule, rate=Decimal(rate), **more)


def test_40_percent_mark_up_and_40_percent_margin_are_not_the_same() -> None:
    fifty = Fraction(50)
    assert price_of(policy("mark-up", "0.4"), EUR, fifty, 1).price_each == Decimal("70.00")
    assert price_of(policy("margin", "0.4"), EUR, fifty, 1).price_each == Decimal("83.33")


@pytest.mark.parametrize(
    ("mark_up", "margin"),
    # margin = mark-up / (1 + mark-up), worked by hand
    [
        *(("0.25", "0.2"), ("0.333333", "0.25"), ("0.5", "0.333333"), ("1", "0.5")),
        *(("0.3", "0.230769"), ("0.428571", "0.3"), ("0.666667", "0.4"), ("1.5", "0.6")),
    ],
)
def test_a_mark_up_answers_to_its_margin(mark_up: str, margin: str) -> None:
    by_mark_up = sale_price(policy("mark-up", mark_up), Fraction(100))
    by_margin = sale_price(policy("margin", margin), Fraction(100))
    assert float(by_margin) == pytest.approx(float(by_mark_up), rel=2e-6)


@pytest.mark.parametrize("rate", ["1", "1.2", "-0.1"])
def test_a_margin_of_the_whole_price_is_refused(rate: str) -> None:
    with pytest.raises(InvalidInput) as raised:
        price_of(policy("margin", rate), EUR, Fraction(50), 1)
    assert raised.value.faults[0].path == "shop.price.rate"


def test_a_mark_up_may_pass_the_whole_cost() -> None:
    assert sale_price(policy("mark-up", "1.5"), Fraction(50)) == 125


def test_two_pieces_at_14_are_topped_up_to_the_smallest_order_before_tax() -> None:
    rules = policy(least_order=Decimal(60), tax_rate=Decimal("0.23"), deposit_rate=Decimal("0.40"))
    price = price_of(rules, EUR, Fraction(14), 2)
    assert (price.goods, price.top_up, price.net) == (Decimal(28), Decimal(32), Decimal(60))
    # 60 x 0.23 = 13.80; 73.80 x 0.40 = 29.52
    assert (price.tax, price.gross) == (Decimal("13.80"), Decimal("73.80"))
    assert (price.deposit, price.balance) == (Decimal("29.52"), Decimal("44.28"))


def test_an_order_above_the_smallest_is_not_topped_up() -> None:
    assert price_of(policy(least_order=Decimal(60)), EUR, Fraction(30), 2).top_up == 0


def test_net_is_the_rounded_price_times_the_quantity() -> None:
    # 10 / 3 = 3.333: 3.33 each and 9.99 for three, not 10.00.
    price = price_of(policy(), EUR, Fraction(10, 3), 3)
    assert (price.price_each, price.net) == (Decimal("3.33"), Decimal("9.99"))


@pytest.mark.parametrize(
    ("code", "cost", "each"),
    # ISO 4217: EUR has two decimals, JPY none, KWD three. Halves go up: binary floats
    # round 2.675 down.
    [("EUR", "2.675", "2.68"), ("JPY", "1234.5", "1235"), ("KWD", "1.2345", "1.235")],
)
def test_prices_round_by_the_currency(code: str, cost: str, each: str) -> None:
    price = price_of(policy(), Currency(code), Fraction(cost), 1)
    assert price.price_each == Decimal(each)


def test_24_pieces_cost_more_in_all_than_25_and_23_do_not() -> None:
    tiers = [(1, Decimal("20.00")), (25, Decimal("18.50"))]
    nets = {n: price_from(policy(), EUR, tiered(tiers, n), n).net for n in range(1, 51)}
    (found,) = inversions(nets)
    assert (found.quantity, found.net) == (24, Decimal("480.00"))
    assert (found.instead, found.instead_net) == (25, Decimal("462.50"))
    assert nets[23] == Decimal("460.00")
    assert found.text == "24 pieces come to 480.00 and 25 to 462.50: offer 25."


def test_a_list_that_starts_too_high_has_no_price() -> None:
    with pytest.raises(ValueError, match="larger quantity"):
        tiered([(5, Decimal(3))], 4)


def test_breaks_are_shown_at_the_quantities_of_the_policy() -> None:
    rules = policy(breaks=(1, 5, 10))
    costs: dict[int, Fraction | None] = {1: Fraction(9), 5: Fraction(7), 10: None, 25: Fraction(5)}
    shown = price_ladder(rules, EUR, costs)
    assert [(p.quantity, p.price_each) for p in shown] == [(1, Decimal(9)), (5, Decimal(7))]


def test_a_cost_that_only_falls_never_rises() -> None:
    assert rise_at({1: Fraction(9), 2: Fraction(7), 3: Fraction(6)}, 3) is None


def test_a_rise_with_nothing_cheaper_ahead_suggests_the_smaller_number_alone() -> None:
    rise = rise_at({1: Fraction(9), 2: Fraction(7), 3: Fraction(8)}, 3)
    assert rise is not None
    assert rise.next_quantity is None
    assert rise.text(EUR) == "Each of 3 costs 8.00, each of 2 only 7.00: suggest 2."


amounts = st.decimals("0.001", "999", places=4)
shares = st.decimals("0", "0.95", places=3)


@settings(deadline=None, max_examples=60)
@given(
    amounts,
    st.integers(1, 2000),
    shares,
    shares,
    shares,
    amounts,
    st.sampled_from(["EUR", "JPY", "KWD"]),
)
def test_money_always_adds_up_to_the_minor_unit(
    cost: Decimal,
    quantity: int,
    rate: Decimal,
    tax: Decimal,
    deposit: Decimal,
    least: Decimal,
    code: str,
) -> None:
    currency = Currency(code)
    rules = policy("margin", str(rate), tax_rate=tax, deposit_rate=deposit, least_order=least)
    price = price_of(rules, currency, Fraction(cost), quantity)
    assert price.goods == price.price_each * quantity
    assert price.net == price.goods + price.top_up >= currency.round(least)
    assert price.gross == price.net + price.tax == price.deposit + price.balance
    for amount in (price.price_each, price.net, price.tax, price.gross, price.deposit):
        assert currency.holds(amount)
    assert price.top_up == 0 or price.net == currency.round(least)
    assert (
        abs(Fraction(price.tax) - Fraction(price.net) * Fraction(tax))
        <= Fraction(currency.minor_unit) / 2
    )


@settings(deadline=None, max_examples=60)
@given(st.dictionaries(st.integers(1, 60), st.decimals("1", "99", places=2), max_size=20))
def test_every_inversion_and_only_those_is_found(nets: dict[int, Decimal]) -> None:
    found = {i.quantity for i in inversions(nets)}
    wanted = {q for q, net in nets.items() if any(n > q and nets[n] < net for n in nets)}
    assert found == wanted
