from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from mouldwright.domain.costing.set_cost import set_cost
from mouldwright.domain.hours.opening import OpeningHours
from mouldwright.domain.material import Material
from mouldwright.domain.money import Currency
from mouldwright.domain.order import PartSet, SetItem, SetPart
from mouldwright.domain.part.constituent import Charge, Constituent
from mouldwright.domain.part.requirement import Part
from mouldwright.domain.part.shape import Rectangle
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Person, Shop
from mouldwright.domain.supplier import Offer, Supplier

CUT = Operation(name="cut", per="part", attended=True, fixed_min=Decimal(10))
FIT = Operation(name="fit", per="part", attended=True, fixed_min=Decimal(6))
PACK = Operation(name="pack", per="order", attended=True, fixed_min=Decimal(12))
BOX = Rectangle(width_mm=20, height_mm=5)
SHOP = Shop(
    name="Bench",
    currency=Currency("EUR"),
    hours=OpeningHours(weekly=(((480, 960),),) * 7, zone="UTC"),
    service_level=None,
    people={
        "ana": Person(key="ana", title="Ana", skills=frozenset(), wage_per_hour=Decimal("30.00"))
    },
    materials={"bar": Material(key="bar", title="Bar", density_kg_m3=1000)},
    suppliers={
        "yard": Supplier(
            key="yard",
            title="Yard",
            offers=(
                Offer(
                    supplier="yard",
                    number=1,
                    price=Decimal("10.00"),
                    contains_g={"bar": Decimal(1000)},
                ),
            ),
        )
    },
    parts={key: Part(key=key, title=key, span_mm=100, section=BOX) for key in ("left", "right")},
    processes={"sawn": Process(key="sawn", title="Sawn", structure=None, operations=(CUT,))},
)
PAIR = PartSet(
    key="pair",
    title="Pair",
    parts=(SetPart(part="left", process="sawn"), SetPart(part="right", process="sawn", count=2)),
    items=(SetItem(name="bolt", cost=Decimal("0.40"), count=3),),
    operations=(FIT, PACK),
)


def charge(grams):
    return Charge(
        constituents=(
            Constituent(material="bar", finished_g=grams, loaded_g=grams, density_kg_m3=1000),
        ),
        volume_mm3=grams * 1000,
    )


CHARGES = {("left", "sawn"): charge(100.0), ("right", "sawn"): charge(50.0)}


def test_a_set_costs_its_parts_its_fittings_and_the_work_on_it():
    # 4 sets, 30 an hour. Cutting 4 + 8 parts, 10 min: 2 h = 60. Bar 4·100 + 8·50 = 800 g at
    # 10 a kg = 8. Bolts 12 at 0.40 = 4.80. Fitting 4·6 min = 0.4 h = 12, packing 0.2 h = 6.
    # In all 90.80, 22.70 a set.
    cost = set_cost(SHOP, PAIR, 4, charges=CHARGES)
    assert cost.total == Fraction("90.80")
    assert cost.per_good_part == Fraction("22.70")
    assert cost.people_hours == Decimal("2.6")
    assert (cost.starts, cost.quantity) == (12, 4)


def test_the_lines_of_a_set_add_up_to_its_total():
    cost = set_cost(SHOP, PAIR, 7, charges=CHARGES)
    assert sum(line.amount for line in cost.lines) == cost.total


def test_a_pack_opened_for_one_part_serves_the_others():
    # 800 g in all take one pack of 1000 g; part by part it would be two.
    bought = set_cost(replace(SHOP, materials_charged="bought"), PAIR, 4, charges=CHARGES)
    assert [pack.packs for pack in bought.packs] == [1]
    assert bought.total == Fraction("90.80") + 2
    assert bought.materials_bought == 10
    assert bought.materials_used == 8


def test_the_chance_of_whole_sets_is_the_product_over_its_parts():
    # One good in two for each of the cuts: a set needs its one left and both rights.
    risky = replace(CUT, good_rate=Decimal("0.5"))
    shop = replace(
        SHOP,
        service_level=Decimal("0.7"),
        processes={"sawn": replace(SHOP.processes["sawn"], operations=(risky,))},
    )
    # left: 2 starts give one good with 1 - 1/4 = 0.75. right: two good of 4 starts have
    # 1 - (1 + 4)/16 = 0.6875 < 0.7, of 5 starts 1 - (1 + 5)/32 = 0.8125.
    cost = set_cost(shop, PAIR, 1, charges=CHARGES)
    assert cost.starts == 2 + 5
    assert cost.chance == pytest.approx(0.75 * 0.8125)


def test_a_set_with_a_part_of_unknown_cost_has_none_itself():
    shop = replace(SHOP, suppliers={})
    cost = set_cost(shop, PAIR, 1, charges=CHARGES)
    assert cost.total is None
    assert any("bar" in reason.lower() for reason in cost.unknown)
