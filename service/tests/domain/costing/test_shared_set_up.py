"""What an order saves by sharing mixes with booked ones: worked by hand, kept or given."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import builders
import pytest

from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.costing.price import price_from
from mouldwright.domain.costing.shared_set_up import shared_set_up
from mouldwright.domain.offer_lines import SentLot, goods_lines, offered
from mouldwright.domain.shop import PricePolicy
from mouldwright.domain.terms import Terms

# Twelve minutes of hands for each oven load of up to eight parts, at 30 an hour and 10 overhead.
LOAD = builders.hands("load", 12, per="batch", batch_parts=8)
PROCESS = builders.process(LOAD, builders.hands("trim", 5, per="part"), key="cast")


def shop_with(*orders, **policy):
    shop = builders.shop(
        PROCESS,
        orders,
        people=[builders.person("ada")],
        parts=[builders.part("fin", made_by=["cast"]), builders.part("vane", made_by=["cast"])],
    )
    people = {k: replace(p, wage_per_hour=Decimal(30)) for k, p in shop.people.items()}
    return replace(shop, people=people, overhead_per_hour=Decimal(10), price=PricePolicy(**policy))


def order(number: str, quantity: int, part: str = "fin"):
    return builders.order(number, quantity, part=part, process="cast")


def shared(shop, quantity):
    model = cost_model(shop, shop.part("fin"), PROCESS, charge=None)
    return shared_set_up(model, quantity, shop.orders)


def test_two_half_loads_go_as_one() -> None:
    # 4 + 4 in loads of 8: two loads apart, one together; 12 min at 40.00 an hour is 8.00.
    found = shared(shop_with(order("1", 4)), 4)
    assert found is not None
    assert (found.orders, found.batches, found.saved) == (("1",), 1, Fraction(8))


@pytest.mark.parametrize(
    ("booked", "quantity"),
    [([order("1", 8)], 8), ([order("1", 5)], 4), ([order("1", 4, "vane")], 4), ([], 4)],
)
def test_full_loads_other_parts_and_an_empty_bench_share_nothing(booked, quantity) -> None:
    assert shared(shop_with(*booked), quantity) is None


def test_booked_orders_share_among_themselves_before() -> None:
    # 3 + 3 booked are one load already; 2 more fit in it, so that one load is saved and not two.
    found = shared(shop_with(order("1", 3), order("2", 3)), 2)
    assert found is not None
    assert (found.orders, found.batches) == (("1", "2"), 1)


@pytest.mark.parametrize(("rule", "line"), [("kept", []), ("given", [Decimal("-10.00")])])
def test_what_is_saved_is_kept_or_given_by_the_shops_rule(rule, line) -> None:
    # 8.00 of cost at a margin of 20 % is 10.00 of price.
    shop = shop_with(order("1", 4), rate=Decimal("0.2"), shared_set_up=rule)
    found = shared(shop, 4)
    price = price_from(shop.price, shop.currency, Decimal("20.00"), 4)
    lots = [SentLot(quantity=4)]
    goods = goods_lines("Fin", price, lots)
    lines, whole = offered(shop, price, goods, Terms(), lots, shared=found.saved)
    assert [each.amount for each in lines if each.kind == "shared"] == line
    assert whole.net == Decimal("80.00") + sum(line)
