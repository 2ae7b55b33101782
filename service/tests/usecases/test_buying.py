"""What to buy for open orders, and for one more on top of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import builders
import pytest

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.material import Lot, Material, Stock
from mouldwright.domain.part.shape import Rectangle
from mouldwright.domain.structure.kinds import MeasuredStructure
from mouldwright.domain.supplier import Offer, Supplier
from mouldwright.usecases.buying import Wanted, to_buy

NOW = builders.at("2027-03-01 08:30")
# 100 x 10 x 10 mm of 1,000 kg/m3 is 10 g a part.
FIN = builders.part("fin", section=Rectangle(width_mm=10.0, height_mm=10.0), made_by=("pressed",))
PRESSED = builders.process(
    builders.hands("press", 10, per="part"),
    structure=MeasuredStructure(modulus_gpa=3.0, density_kg_m3=1000.0, material="putty"),
)
PUTTY = Material(key="putty", title="Putty", density_kg_m3=1000.0)
ESTUARY = Supplier(
    key="estuary",
    title="Estuary",
    lead_days=6,
    offers=(
        Offer(
            supplier="estuary",
            number=1,
            price=Decimal("5.00"),
            contains_g={"putty": Decimal(100)},
        ),
    ),
)


def bench(*orders, stock_g=0, expires=None, offers=True):
    lots = {"putty": (Lot(material="putty", grams=Decimal(stock_g), expires=expires),)}
    return builders.shop(
        PRESSED,
        orders,
        people=[builders.person("ines")],
        parts=[FIN],
        materials=[PUTTY],
        suppliers={"estuary": ESTUARY} if offers else {},
        stock=Stock(lots=lots),
    )


def bought(shop, **more):
    return to_buy(shop, now=NOW, **more)


def packs(found):
    return [p.count for d in found.found.best.deliveries for p in d.packs]


def test_open_orders_draw_on_the_stock_and_the_rest_is_bought_in_whole_packs():
    # 12 + 15 fins take 270 g; 60 g are there; 210 g are three packs of 100 g.
    shop = bench(builders.order("1", 12), builders.order("2", 15), stock_g=60)
    found = bought(shop)
    assert packs(found) == [3]
    assert found.orders == 2
    assert found.arrives == date(2027, 3, 7)


def test_one_order_more_finds_what_the_open_ones_leave_of_the_stock():
    # 10 fins leave 50 of 150 g; 12 more take 120 g, so 70 g are missing: one pack.
    shop = bench(builders.order("1", 10), stock_g=150)
    found = bought(shop, beside=Wanted(part="fin", process="pressed", quantity=12))
    assert [n.missing for n in found.found.needs] == [70]
    assert packs(found) == [1]


def test_one_order_more_is_not_charged_with_what_the_open_ones_lack():
    shop = bench(builders.order("1", 30), stock_g=0)
    found = bought(shop, beside=Wanted(part="fin", process="pressed", quantity=12))
    assert [n.missing for n in found.found.needs] == [120]


def test_starts_that_an_order_fixes_are_what_it_draws():
    shop = bench(builders.order("1", 10, starts=14))
    assert [n.missing for n in bought(shop).found.needs] == [140]


def test_stock_that_will_have_expired_by_the_day_asked_does_not_count():
    shop = bench(builders.order("1", 10), stock_g=100, expires=date(2027, 3, 10))
    assert packs(bought(shop)) == []
    assert packs(bought(shop, by="2027-03-11")) == [1]


def test_nothing_short_is_nothing_to_buy():
    found = bought(bench(builders.order("1", 1), stock_g=10))
    assert found.found.needs == ()
    assert found.found.best.total == 0


@pytest.mark.parametrize("by", ["soon", "2027-02-28"])
def test_a_day_that_is_none_or_over_is_refused(by):
    with pytest.raises(InvalidInput) as caught:
        bought(bench(), by=by)
    assert caught.value.faults[0].path == "by"


def test_a_part_with_two_ways_needs_its_process():
    shop = bench()
    parts = {"fin": replace(FIN, made_by=("pressed", "cast"))}
    with pytest.raises(InvalidInput, match="pressed, cast"):
        bought(replace(shop, parts=parts), beside=Wanted(part="fin", process=None, quantity=1))


def test_a_delivery_is_there_on_an_open_day_and_is_ordered_in_time_for_one() -> None:
    # Monday 1 March and six days is Sunday 7 March: somebody takes it in on Monday the 8th. For
    # Sunday the 14th it has to be there on Friday the 12th, so it is ordered by Saturday the 6th.
    open_days = builders.opening(builders.week("08:00-16:00"))
    shop = replace(bench(builders.order("1", 12)), hours=open_days)
    bought = to_buy(shop, now=NOW, by="2027-03-14")
    days = bought.days["estuary"]
    assert (days.arrives, days.order_by) == (date(2027, 3, 8), date(2027, 3, 6))
    assert bought.arrives == date(2027, 3, 8)
    assert not bought.found.late
    # By Sunday the 7th nobody brings it: it would have to be there on Friday the 5th.
    assert to_buy(shop, now=NOW, by="2027-03-07").found.late == ("putty",)
