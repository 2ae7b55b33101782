from decimal import Decimal
from fractions import Fraction

import pytest
from costing_bench import attended, family, mould_hold, part, process, shop
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldwright.domain.costing.price import rise_at
from mouldwright.domain.costing.tooling import Tooling, lives_left, tooling_for
from mouldwright.domain.costing.unit_cost import unit_cost, unit_costs
from mouldwright.domain.costing.work_cost import coats_over, conditionings
from mouldwright.domain.process.mould import Mould, MouldFamily
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.structure.kinds import MeasuredStructure

# 10 min a piece at 36 an hour is 6 a piece.
CAST = process(attended("pour", "pull", "10"), holds=(mould_hold("pour", "pour"),))


def costs(moulds: MouldFamily, quantities: list[int], policy: str) -> list[Fraction]:
    bench = shop(CAST, moulds, tooling=policy)
    found = unit_costs(bench, part(), CAST, quantities, charge=None)
    return [cost for cost in found if cost is not None]


def test_the_31st_piece_needs_a_second_mould_and_lifts_the_price_of_all() -> None:
    # Mould 90, life 30, 6 a piece, every part good, none at hand: 90/30 + 6 = 9.00;
    # 2 x 90/31 + 6 = 11.81.
    moulds = family(0, life_pulls=30, cost=Decimal(90))
    at_30, at_31, at_60 = costs(moulds, [30, 31, 60], "to the order")
    assert (at_30, at_60) == (9, 9)
    assert round(float(at_31), 2) == 11.81


def test_the_rise_is_said_with_what_to_suggest() -> None:
    moulds = family(0, life_pulls=30, cost=Decimal(90))
    ladder = dict(enumerate(costs(moulds, list(range(1, 70)), "to the order"), start=1))
    rise = rise_at(ladder, 31)
    assert rise is not None
    assert (rise.lower_quantity, rise.next_quantity) == (30, 60)
    assert rise_at(ladder, 30) is None


def test_by_life_every_piece_bears_its_share() -> None:
    moulds = family(0, life_pulls=30, cost=Decimal(90), cavities=2)
    # 31 pieces are 16 pulls of two: 32 starts x 90 / (30 x 2) = 48, and 160 min of hands.
    assert costs(moulds, [31], "by life") == [Fraction(48 + 96, 31)]


@pytest.mark.parametrize(
    ("expected", "each"),
    # Mould 90, life 30. 40 expected take two: 180 / 40 = 4.50; 20 take one: 4.50; 60 take two
    # whole ones: 3.00, as by their life; 10 take one: 9.00. And 6.00 of hands.
    [(40, "10.5"), (20, "10.5"), (60, "9"), (10, "15"), (None, "9")],
)
def test_the_pulls_expected_bear_the_whole_moulds_they_take(expected, each) -> None:
    moulds = family(0, life_pulls=30, cost=Decimal(90), expected_pulls=expected)
    assert costs(moulds, [7], "by life") == [Fraction(each)]


def test_a_mould_that_never_wears_is_paid_by_the_pulls_expected() -> None:
    # 90 over 45 pulls are 2.00 each.
    assert costs(family(0, cost=Decimal(90), expected_pulls=45), [7], "by life") == [8]


def test_moulds_at_hand_are_free_to_the_order_until_their_life_is_used() -> None:
    moulds = family(life_pulls=30, cost=Decimal(90), moulds=(Mould(number="1", pulls=10),))
    assert costs(moulds, [20, 21], "to the order") == [6, 6 + Fraction(90, 21)]


@pytest.mark.parametrize(
    ("pulls", "moulds"),
    # 24 good at 70 % are 35 pulls on two moulds of 30; 21 good are 30 pulls on one.
    [(35, 2), (30, 1), (60, 2), (61, 3)],
)
def test_moulds_are_whole_and_counted_from_pulls(pulls: int, moulds: int) -> None:
    tooling = Tooling(family=family(0, life_pulls=30), lives_left=(), cost=None)
    assert tooling.new_for(pulls) == tooling.used_for(pulls) == moulds


def test_24_good_at_70_percent_wear_two_moulds_and_21_wear_one() -> None:
    way = process(
        attended("pour", "pull", "1", good_rate=Decimal("0.7")), holds=(mould_hold("pour", "pour"),)
    )
    bench = shop(way, family(3, life_pulls=30))
    used = {good: unit_cost(bench, part(), way, good, charge=None) for good in (21, 24, 42, 84)}
    assert [(c.pulls, c.moulds_used) for c in used.values()] == [
        (30, 1),
        (35, 2),
        (60, 2),
        (120, 4),
    ]
    # 120 pulls are more than the 90 left in three moulds: one more is needed.
    assert (used[84].moulds_at_hand, used[84].new_moulds) == (3, 1)


def test_the_least_worn_moulds_are_counted_first_and_spent_ones_left_out() -> None:
    moulds = family(
        life_pulls=30,
        moulds=(
            Mould(number="1", pulls=30),
            Mould(number="2", pulls=25),
            Mould(number="3", pulls=2),
        ),
    )
    assert lives_left(moulds) == (28, 5)
    tooling = Tooling(family=moulds, lives_left=lives_left(moulds), cost=None)
    assert (tooling.used_for(28), tooling.used_for(29), tooling.new_for(33)) == (1, 2, 0)
    assert tooling.new_for(34) == 1


def test_the_first_family_with_a_usable_mould_is_used() -> None:
    spent = family(key="old", life_pulls=5, moulds=(Mould(number="1", pulls=5),))
    fresh = family(key="new")
    assert tooling_for(shop(spent, fresh), "fin", "way") == fresh
    assert tooling_for(shop(spent), "fin", "way") == spent
    assert tooling_for(shop(), "fin", "way") is None


def test_a_mould_the_shop_builds_costs_the_work_of_building_it() -> None:
    building = process(
        attended("sand", "part", "60"),
        attended("wax", "part", "30", wait_min=30),
        key="build",
        structure=None,
    )
    moulds = family(0, life_pulls=10, made_by="build")
    bench = shop(CAST, building, moulds, tooling="to the order")
    # 90 min at 36 is 54 a mould; 10 pieces at 6 and one mould.
    assert unit_cost(bench, part(), CAST, 10, charge=None).total == 114


def test_a_built_mould_whose_material_is_not_known_makes_the_cost_unknown() -> None:
    building: Process = process(
        attended("print", "part", "60"),
        key="build",
        structure=MeasuredStructure(modulus_gpa=2.0, density_kg_m3=1200.0),
    )
    moulds = family(0, life_pulls=10, made_by="build")
    bench = shop(CAST, building, moulds)
    cost = unit_cost(bench, part(), CAST, 10, charge=None)
    assert cost.total is None
    assert "moulds.fin-way.cost" in cost.unknown[0]


def test_a_mould_without_cost_is_free_and_the_reader_is_told() -> None:
    cost = unit_cost(shop(CAST, family(life_pulls=10)), part(), CAST, 10, charge=None)
    assert cost.total == 60
    assert any("states no cost" in caution for caution in cost.cautions)


def test_no_mould_for_the_part_makes_the_cost_unknown() -> None:
    cost = unit_cost(shop(CAST), part(), CAST, 10, charge=None)
    assert cost.total is None
    assert 'part = "fin"' in cost.unknown[0]


WAXED = family(coats=(4, 2, 1), coats_every=5, life_pulls=20)


def test_eight_pulls_of_a_new_mould_take_eight_coats() -> None:
    # 4 + 2 + 1 + 0 + 0 + 0 + 0 + 1
    assert coats_over(WAXED, 8) == 8
    assert conditionings(WAXED, 8) == 8


@settings(deadline=None, max_examples=60)
@given(st.integers(0, 120))
def test_coats_are_those_due_before_each_pull(pulls: int) -> None:
    due = sum(WAXED.coats_at((pull - 1) % 20 + 1) for pull in range(1, pulls + 1))
    assert conditionings(WAXED, pulls) == due


def test_a_coat_takes_the_minutes_of_the_conditioning_once() -> None:
    coat = Operation(
        name="wax", per="conditioning", attended=True, fixed_min=Decimal(10), skill="wet"
    )
    way = process(attended("pour", "pull"), holds=(mould_hold("pour", "pour"),), conditioning=coat)
    cost = unit_cost(shop(way, WAXED), part(), way, 8, charge=None)
    assert cost.by_kind()["conditioning"] == 48  # 80 min at 36
