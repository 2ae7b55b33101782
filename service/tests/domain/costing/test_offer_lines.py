"""Discounts, haste, deliveries and the smallest order as lines that add up to the cent."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction

import builders
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldwright.domain.costing.price import price_from, price_of
from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.money import Currency
from mouldwright.domain.offer_lines import SentLot, goods_lines, offered, surcharge_of
from mouldwright.domain.shop import Discount, Instalment, Outbound, PricePolicy, RushTier
from mouldwright.domain.terms import Delivery, Terms, check_terms

EUR = Currency("EUR")
TIERS = (
    RushTier(days_sooner=1, surcharge=Decimal("0.15")),
    RushTier(days_sooner=3, surcharge=Decimal("0.25")),
    RushTier(days_sooner=5, surcharge=Decimal("0.5")),
)
DAY = datetime(2027, 3, 19, 17, tzinfo=UTC)


def shop_with(**policy):
    code = policy.pop("currency", "EUR")
    freight = policy.pop("freight", "0")
    return replace(
        builders.shop([]),
        currency=Currency(code),
        price=PricePolicy(**policy),
        outbound=Outbound(per_order=Decimal(freight)),
    )


def offer(shop, each, lots, terms=None, pack=None):
    quantity = sum(lot.quantity for lot in lots)
    price = price_from(shop.price, shop.currency, Decimal(each), quantity)
    lines = goods_lines("Fin", price, lots, pack=pack)
    return offered(shop, price, lines, terms or Terms(), lots)


def amounts(lines):
    return [(line.kind, str(line.amount)) for line in lines]


def test_a_discount_by_share_is_a_line_of_its_own() -> None:
    # 12 x 20.00 = 240.00; 5 % of it is 12.00; 228.00 net.
    lines, price = offer(
        shop_with(), "20.00", [SentLot(quantity=12)], Terms(discount_rate=Decimal("0.05"))
    )
    assert amounts(lines) == [("parts", "240.00"), ("discount", "-12.00")]
    assert lines[1].text == "Discount, 5 % of the goods"
    assert price.net == Decimal("228.00")


def test_a_class_of_customer_has_a_discount_unless_another_is_agreed() -> None:
    shop = shop_with(discounts=(Discount(who="club", of_goods=Decimal("0.1")),))
    lots = [SentLot(quantity=10)]
    by_class, _ = offer(shop, "7.77", lots, Terms(customer_class="club"))
    # 77.70 x 0.1 = 7.77
    assert amounts(by_class)[1] == ("discount", "-7.77")
    agreed, _ = offer(shop, "7.77", lots, Terms(customer_class="club", discount_rate=Decimal(0)))
    assert amounts(agreed) == [("parts", "77.70")]


def test_an_amount_off_comes_besides_a_share() -> None:
    terms = Terms(discount_rate=Decimal("0.1"), discount_amount=Decimal("3.50"))
    lines, price = offer(shop_with(), "10.00", [SentLot(quantity=2)], terms)
    # 20.00 - 2.00 - 3.50
    assert [a for _, a in amounts(lines)] == ["20.00", "-2.00", "-3.50"]
    assert price.net == Decimal("14.50")


def test_more_cannot_be_taken_off_than_the_goods_come_to() -> None:
    terms = Terms(discount_rate=Decimal("0.1"), discount_amount=Decimal("18.01"))
    with pytest.raises(InvalidInput) as raised:
        offer(shop_with(), "10.00", [SentLot(quantity=2)], terms)
    assert raised.value.faults[0].remedy == "Take off at most 18.00 besides."


@pytest.mark.parametrize(
    ("days", "share"),
    # The tiers above: from 1 day 15 %, from 3 days 25 %, from 5 days 50 %.
    [(0, "0"), (1, "0.15"), (2, "0.15"), (3, "0.25"), (4, "0.25"), (5, "0.5"), (40, "0.5")],
)
def test_haste_costs_by_how_many_days_it_saves(days: int, share: str) -> None:
    assert surcharge_of(PricePolicy(rush=TIERS), days) == Decimal(share)


def test_only_the_lot_that_is_hurried_pays_for_haste() -> None:
    lots = [SentLot(quantity=4, surcharge=Decimal("0.25")), SentLot(quantity=8)]
    lines, price = offer(shop_with(), "20.00", lots)
    # 4 x 20.00 = 80.00, a quarter of it 20.00; all twelve hurried would cost 60.00.
    assert amounts(lines) == [("parts", "80.00"), ("parts", "160.00"), ("rush", "20.00")]
    assert [line.delivery for line in lines] == [1, 2, 1]
    assert price.net == Decimal("260.00")


def test_each_further_delivery_costs_its_freight() -> None:
    # 9.00 of freight at a margin of 0.4 is 15.00, for each delivery but the first.
    shop = shop_with(rate=Decimal("0.4"), freight="9.00")
    lines, price = offer(
        shop, "20.00", [SentLot(quantity=4), SentLot(quantity=4), SentLot(quantity=4)]
    )
    assert amounts(lines)[3:] == [("delivery", "15.00"), ("delivery", "15.00")]
    assert [line.delivery for line in lines[3:]] == [2, 3]
    assert price.net == Decimal("270.00")


def test_an_order_is_topped_up_after_its_discount() -> None:
    # Two at 14 with 10 % off come to 25.20; the smallest order is 60: 34.80 more, before tax.
    shop = shop_with(least_order=Decimal(60), tax_rate=Decimal("0.2"))
    lines, price = offer(shop, "14.00", [SentLot(quantity=2)], Terms(discount_rate=Decimal("0.1")))
    assert amounts(lines)[1:] == [("discount", "-2.80"), ("top-up", "34.80")]
    assert (price.net, price.tax) == (Decimal("60.00"), Decimal("12.00"))


def test_an_order_sent_in_two_is_topped_up_once() -> None:
    # One and one at 14 are 28: 32 more to the smallest order of 60, once and not by delivery.
    shop = shop_with(least_order=Decimal(60))
    lines, price = offer(shop, "14.00", [SentLot(quantity=1), SentLot(quantity=1)])
    kinds = [kind for kind, _ in amounts(lines)]
    assert kinds.count("top-up") == 1
    assert dict(amounts(lines))["top-up"] == "32.00"
    assert price.net == Decimal("60.00")


def test_spares_are_sold_in_packs_at_so_many_times_the_price_of_one() -> None:
    lines, price = offer(shop_with(), "6.15", [SentLot(quantity=12)], pack=4)
    assert (lines[0].quantity, lines[0].unit, lines[0].rate) == (3, "pack of 4", Decimal("24.60"))
    assert price.net == Decimal("73.80") == lines[0].amount


def test_prices_with_their_tax_give_a_net_without_it() -> None:
    # Cost 50 at a mark-up of 40 %: 70.00 before tax, 83.30 with 19 %. Three are 249.90, of
    # which 249.90 x 0.19 / 1.19 = 39.90 is tax and 210.00 the net.
    policy = PricePolicy(
        rule="mark-up", rate=Decimal("0.4"), tax_rate=Decimal("0.19"), tax_included=True
    )
    price = price_of(policy, EUR, Fraction(50), 3)
    assert price.price_each == Decimal("83.30")
    assert (price.net, price.tax, price.gross) == (
        Decimal("210.00"),
        Decimal("39.90"),
        Decimal("249.90"),
    )


def test_tax_in_a_yen_price_is_whole_yen() -> None:
    # 1,000 yen at 10 %, tax in it: 1000 / 11 = 90.909, rounded 91; the net is what is left.
    policy = PricePolicy(rate=Decimal(0), tax_rate=Decimal("0.1"), tax_included=True)
    price = price_from(policy, Currency("JPY"), Decimal(1000), 1)
    assert (price.tax, price.net, price.gross) == (91, 909, 1000)


def test_tax_by_line_is_taken_out_of_each_line() -> None:
    # 10.00 and -0.50 at 23 %: 1.869.. -> 1.87 and -0.0934.. -> -0.09, in all 1.78;
    # on the total of 9.50 it is 1.776.. -> 1.78.
    shop = shop_with(tax_rate=Decimal("0.23"), tax_included=True, tax_on="lines")
    _, price = offer(shop, "10.00", [SentLot(quantity=1)], Terms(discount_amount=Decimal("0.50")))
    assert (price.tax, price.net, price.gross) == (
        Decimal("1.78"),
        Decimal("7.72"),
        Decimal("9.50"),
    )


def test_every_fault_of_what_is_agreed_is_named_at_once() -> None:
    terms = Terms(
        customer_class="clib",
        discount_rate=Decimal(1),
        discount_amount=Decimal("0.005"),
        deliveries=(Delivery(quantity=3), Delivery(quantity=0, rush=True)),
        rush=True,
    )
    policy = PricePolicy(discounts=(Discount(who="club", of_goods=Decimal("0.1")),))
    with pytest.raises(InvalidInput) as raised:
        check_terms(terms, policy, EUR, 5, due=None)
    assert [fault.path for fault in raised.value.faults] == [
        "terms.customer_class",
        "terms.discount_rate",
        "terms.discount_amount",
        "terms.rush",
        "terms.deliveries[1].quantity",
        "terms.deliveries",
        "terms.deliveries[1].rush",
    ]
    assert raised.value.faults[0].remedy == "Did you mean club?"


def test_haste_wants_a_day_to_be_measured_by() -> None:
    with pytest.raises(InvalidInput) as raised:
        check_terms(Terms(rush=True), PricePolicy(rush=TIERS), EUR, 5, due=None)
    assert raised.value.faults[0].path == "due"
    check_terms(Terms(rush=True), PricePolicy(rush=TIERS), EUR, 5, due=DAY)


@pytest.mark.parametrize(
    ("quantity", "left"),
    [(12, [4, 8]), (15, [4, 11]), (7, [4, 3]), (4, [4]), (2, [2])],
)
def test_the_last_deliveries_give_or_take_what_an_order_changes_by(quantity, left) -> None:
    terms = Terms(deliveries=(Delivery(quantity=4, due=DAY), Delivery(quantity=8)))
    assert [each.quantity for each in terms.at(quantity).deliveries] == left


shares = st.decimals("0", "0.9", places=3)


@settings(deadline=None, max_examples=150)
@given(data=st.data())
def test_lines_tax_and_payments_add_up_whatever_is_agreed(data) -> None:
    draw = data.draw
    code = draw(st.sampled_from(["JPY", "EUR", "KWD"]))
    money = Currency(code)
    amount = st.integers(0, 10**6).map(lambda units: Decimal(units).scaleb(-money.digits))
    parts = draw(st.lists(st.integers(1, 9), min_size=1, max_size=4))
    shop = shop_with(
        currency=code,
        freight=f"{draw(amount):f}",
        rate=draw(shares),
        tax_rate=draw(shares),
        tax_on=draw(st.sampled_from(["total", "lines"])),
        tax_included=draw(st.booleans()),
        least_order=draw(amount),
        instalments=tuple(
            Instalment(share=Decimal(share) / sum(parts), when="then") for share in parts
        ),
    )
    lots = draw(
        st.lists(
            st.builds(SentLot, quantity=st.integers(1, 200), surcharge=shares),
            min_size=1,
            max_size=5,
        )
    )
    each = draw(amount)
    goods = each * sum(lot.quantity for lot in lots)
    share = draw(shares)
    most = max(goods - money.round(goods * share), Decimal(0))
    terms = Terms(discount_rate=share, discount_amount=min(draw(amount), most))

    lines, price = offer(shop, each, lots, terms)

    assert all(line.amount == line.rate * line.quantity for line in lines)
    assert all(money.holds(line.amount) and money.holds(line.rate) for line in lines)
    stated = sum(line.amount for line in lines)
    assert stated == (price.gross if shop.price.tax_included else price.net)
    assert price.gross == price.net + price.tax
    assert stated >= money.round(shop.price.least_order)
    assert sum(payment.gross for payment in price.payments) == price.gross
    assert sum(payment.tax for payment in price.payments) == price.tax
    for figure in (price.net, price.tax, price.gross):
        assert money.holds(figure)
    # Never off by more than half a unit for each amount that is rounded.
    net, tax = Fraction(price.net), Fraction(price.tax)
    rounded = len(lines) if shop.price.tax_on == "lines" else 1
    rate = Fraction(shop.price.tax_rate)
    off = abs(tax - net * rate) / ((1 + rate) if shop.price.tax_included else 1)
    assert off <= Fraction(money.minor_unit) / 2 * rounded


def test_an_offer_with_nothing_agreed_is_goods_and_no_more() -> None:
    lines, price = offer(shop_with(), "61.39", [SentLot(quantity=24)])
    assert amounts(lines) == [("parts", "1473.36")]
    plain = price_from(PricePolicy(), EUR, Decimal("61.39"), 24)
    assert price == plain


def test_a_discount_agreed_instead_of_that_of_a_class_is_not_named_after_it() -> None:
    assert Terms(customer_class="club").is_by_class
    assert not Terms(customer_class="club", discount_rate=Decimal("0.1")).is_by_class
    assert not Terms(discount_rate=Decimal("0.1")).is_by_class
