"""The hour's price step by step, and the list that shows which group of cost was forgotten."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import builders
import pytest

from mouldwright.domain.costing.checklist import checklist
from mouldwright.domain.costing.hour_price import hour_prices
from mouldwright.domain.costing.labour import mean_hour_cost
from mouldwright.domain.costing.lines import KINDS
from mouldwright.domain.costing.unit_cost import unit_cost
from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.shop import Outbound, Person, PricePolicy, Shop


def person(key: str, wage: str, skills: str, on_costs: str = "0.3") -> Person:
    return Person(
        key=key,
        title=key.title(),
        skills=frozenset(skills.split()),
        wage_per_hour=Decimal(wage),
        on_cost_rate=Decimal(on_costs),
    )


def shop_of(*people: Person, **more: object) -> Shop:
    return replace(builders.shop([], people=people), **more)


def test_an_hour_is_built_up_from_the_wage() -> None:
    # 20 + 6 = 26 paid; of an 8-hour day 2 are mail, bids and books, so 26 / 0.75 = 34.6667
    # worked, of which 8.6667 is time nobody pays for; 6 of overhead: 40.6667. At a margin of
    # 40 % that is sold at 67.7778.
    shop = shop_of(
        person("ada", "20.00", "wet"),
        unbillable_share=Decimal("0.25"),
        overhead_per_hour=Decimal("6.00"),
        price=PricePolicy(rule="margin", rate=Decimal("0.4")),
    )
    (ada,) = hour_prices(shop).people
    assert (ada.wage, ada.on_costs) == (20, 6)
    assert (ada.worked, ada.unpaid) == (Fraction(104, 3), Fraction(26, 3))
    assert (ada.overhead, ada.cost) == (6, Fraction(122, 3))
    assert ada.price == Fraction(122, 3) / Fraction(3, 5)


def test_a_skill_is_priced_by_the_mean_of_those_who_have_it() -> None:
    # 13 and 26 worked: anyone 19.50; laying up is Ada's alone.
    shop = shop_of(person("ada", "20.00", "wet finish"), person("jon", "10.00", "finish"))
    by_skill = {each.skill: each for each in hour_prices(shop).skills}
    assert by_skill[None].worked == by_skill["finish"].worked == Fraction(39, 2)
    assert (by_skill["wet"].worked, by_skill["wet"].people) == (26, ("ada",))
    # It is what the cost lines of orders count with.
    assert all(each.worked == mean_hour_cost(shop, skill) for skill, each in by_skill.items())


def test_where_nobody_works_there_is_no_hour() -> None:
    with pytest.raises(InvalidInput) as raised:
        hour_prices(shop_of())
    assert raised.value.faults[0].path == "people"


def test_every_group_of_cost_is_named_and_what_is_forgotten_is_a_zero() -> None:
    shop = shop_of(
        person("ada", "20.00", "wet"),
        packaging_per_part=Decimal("0.50"),
        outbound=Outbound(per_order=Decimal("9.00"), returns_share=Decimal("0.1")),
    )
    process = builders.process(builders.hands("pour", 30, per="part"), key="cast")
    cost = unit_cost(shop, builders.part("fin"), process, 4, charge=None)
    found = {each.group: each for each in checklist(cost, Decimal("1.25"))}
    assert set(found) == (set(KINDS) - {"outbound"}) | {"freight", "returns", "payment fee"}
    # 4 x 0.5 h at 26.00, 4 x 0.50, 9.00; a tenth of those 63.00 for returns.
    amounts = {group: each.amount for group, each in found.items() if each.is_charged}
    assert amounts == {
        "labour": 52,
        "packaging": 2,
        "freight": 9,
        "returns": Fraction(63, 10),
        "payment fee": Fraction(5, 4),
    }
    whole = sum(each.amount for group, each in found.items() if group != "payment fee")
    assert whole == cost.total
