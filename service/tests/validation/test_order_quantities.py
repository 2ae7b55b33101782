"""Purchases with price breaks, against published examples of the order quantity.

A year's cost is demand over the quantity times what one purchase costs, and the holding of half of
it. What one purchase costs is the buy list's: its shipping stands for the cost of ordering, its
breaks for the discounts. The holding is added here.
"""

from decimal import Decimal
from fractions import Fraction
from math import sqrt

import builders
import pytest

from mouldwright.buying.cover import buy_list
from mouldwright.domain.costing.stock_need import Shortage
from mouldwright.domain.supplier import Offer, Supplier


def bought(quantity: int, ordering: str, breaks: list[tuple[int, str]]) -> Decimal:
    """Return what the cheapest purchase of so many costs, ordering included."""
    offer = Offer(
        supplier="yard",
        number=1,
        price=Decimal(breaks[0][1]),
        contains_g={"unit": Decimal(1)},
        price_breaks=tuple((count, Decimal(price)) for count, price in breaks[1:]),
    )
    yard = Supplier(key="yard", title="Yard", shipping=Decimal(ordering), offers=(offer,))
    shop = builders.shop((), suppliers={"yard": yard})
    short = Shortage(material="unit", unit="g", needed=Fraction(quantity), usable=Fraction(0))
    purchase = buy_list(shop, [short]).best
    assert purchase is not None
    return purchase.total


def a_year(
    demand: int, quantity: int, ordering: str, holding: str, breaks: list[tuple[int, str]]
) -> float:
    """Return a year's cost; holding is a share of the price a year."""
    price = next(Decimal(p) for n, p in reversed(breaks) if n <= quantity)
    kept = Decimal(quantity) / 2 * Decimal(holding) * price
    return float(Decimal(demand) / quantity * bought(quantity, ordering, breaks) + kept)


# wizedu.com/questions/608973: demand 5000, 49 an order, 20 % of the price held, 5.00 and 2 % less
# from 1000, 3 % less from 2000; its answer is 1000. The totals are worked by hand here:
# 1000: 24500 + 245 + 490; 2000: 24250 + 122.50 + 970.
SHELF = [(1, "5.00"), (1000, "4.90"), (2000, "4.85")]


@pytest.mark.parametrize(
    ("quantity", "total"), [(700, 25_700.0), (1000, 25_235.0), (2000, 25_342.5)]
)
def test_totals_of_a_published_discount_schedule(quantity: int, total: float) -> None:
    assert a_year(5000, quantity, "49", "0.20", SHELF) == pytest.approx(total, abs=0.01)


def test_the_published_order_quantity_costs_least() -> None:
    totals = {q: a_year(5000, q, "49", "0.20", SHELF) for q in (700, 900, 1000, 1500, 2000, 2500)}
    assert min(totals, key=totals.__getitem__) == 1000
    # sqrt(2 x 5000 x 49 / 1.00) = 700, the best at the plain price.
    assert sqrt(2 * 5000 * 49 / (0.2 * 5)) == 700


# nursingexpertshelp.com, least-cost order quantities with quantity discounts: demand 800, 60 an
# order, 30 % held; 53 below 50, 51.50, 49.50 from 100, 48 from 200, 47 from 500; its totals.
SHOP = [(1, "53"), (50, "51.50"), (100, "49.50"), (200, "48"), (500, "47")]


@pytest.mark.parametrize(
    ("quantity", "total"), [(79, 42_417.9), (100, 40_822.5), (200, 40_080.0), (500, 41_221.0)]
)
def test_totals_of_a_second_published_schedule(quantity: int, total: float) -> None:
    assert a_year(800, quantity, "60", "0.30", SHOP) == pytest.approx(total, abs=0.1)


@pytest.mark.parametrize(
    ("quantity", "total"), [(700, 25_700.0), (1000, 24_725.0), (2000, 24_822.5)]
)
def test_totals_of_a_textbook_discount_schedule(quantity: int, total: float) -> None:
    # Heizer & Render, Operations Management, quantity discounts, from memory: 5000 a year, 49 an
    # order, 20 % held; 5.00, 4.80 from 1000, 4.75 from 2000. 1000: 24000 + 245 + 480.
    breaks = [(1, "5.00"), (1000, "4.80"), (2000, "4.75")]
    assert a_year(5000, quantity, "49", "0.20", breaks) == pytest.approx(total, abs=0.01)


@pytest.mark.parametrize(
    ("quantity", "total"), [(70, 14_967.89), (80, 14_154.40), (100, 13_353.92)]
)
def test_totals_where_a_piece_costs_the_same_to_hold_at_every_price(
    quantity: int, total: float
) -> None:
    # Stevenson, Operations Management, quantity discounts, from memory: 816 a year, 12 an order,
    # 4 a year to hold a piece; 20, 18 from 50, 17 from 80, 16 from 100. 80: 13872 + 122.40 + 160.
    breaks = [(1, "20"), (50, "18"), (80, "17"), (100, "16")]
    price = next(Decimal(p) for n, p in reversed(breaks) if n <= quantity)
    share = str(Decimal(4) / price)
    assert a_year(816, quantity, "12", share, breaks) == pytest.approx(total, abs=0.01)


def test_a_break_far_above_the_best_quantity_is_worth_its_holding() -> None:
    # Worked by hand: 2000 a year, 20 an order, 20 % held; 2.25, and 2.00 from 1000.
    # sqrt(2 x 2000 x 20 / 0.45) = 421.6: 4500 + 94.79 + 94.95; 1000: 4000 + 40 + 200.
    breaks = [(1, "2.25"), (1000, "2.00")]
    assert a_year(2000, 422, "20", "0.20", breaks) == pytest.approx(4689.74, abs=0.01)
    assert a_year(2000, 1000, "20", "0.20", breaks) == pytest.approx(4240.00, abs=0.001)


def test_one_less_than_a_break_is_bought_at_the_break_where_that_costs_less() -> None:
    # 990 at 5.00 are 4950, 1000 at 4.90 are 4900: ten more are taken.
    assert bought(990, "49", SHELF) == 4949
    assert bought(900, "49", SHELF) == 4549
