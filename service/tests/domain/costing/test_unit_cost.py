from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from costing_bench import (
    attended,
    charged,
    family,
    loaded,
    material,
    mould_hold,
    offer,
    part,
    person,
    process,
    resin,
    shop,
    sold_by,
    unattended,
)
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldwright.domain.costing.cost_model import cost_model
from mouldwright.domain.costing.lines import KINDS
from mouldwright.domain.costing.unit_cost import UnitCost, cost_of, unit_cost, unit_costs
from mouldwright.domain.errors import HardLimit, InvalidInput
from mouldwright.domain.material import Rod
from mouldwright.domain.process.process import Consumable, Hold, Process
from mouldwright.domain.shop import Shop, Station


def money(text: str) -> Fraction:
    return Fraction(text)


def by_text(cost: UnitCost) -> dict[str, Fraction | None]:
    return {line.text: line.amount for line in cost.lines}


PRESSED = process(
    attended("reset", "pull", "6"),
    attended("mix", "batch", "4", material="resin", pot_life_until="load"),
    attended("load", "pull", "12"),
    unattended("cure", "pull", "60"),
    attended("trim", "part", "9"),
    attended("inspect", "part", "3", good_rate=Decimal("0.8")),
    holds=(mould_hold("reset", "cure"), Hold(resource="clamps", first="load", last="cure")),
    conditioning=attended("condition", "conditioning", "20"),
    consumables=(
        Consumable(name="gloves", cost=Decimal("1.10"), per="pull"),
        Consumable(name="cup", cost=Decimal("0.50"), per="batch"),
        Consumable(name="paper", cost=Decimal("0.20"), per="part"),
        Consumable(name="plastic sheet", cost=Decimal("2.00"), per="order"),
    ),
)
BENCH = shop(
    PRESSED,
    part(),
    person("ann", "wet", wage="24", on_cost_rate=Decimal("0.25")),
    Station(key="clamps", title="Clamps", count=5, cost_per_hour=Decimal("0.60")),
    resin(pot_life_min=30, most_mixed_g=Decimal(500), lost_g=Decimal(5)),
    material("part-a"),
    material("part-b"),
    family(5, cavities=2, life_pulls=30, cost=Decimal(60), conditioned_every_pulls=4),
    suppliers=sold_by(offer(1, "26", grams={"part-a": 1000, "part-b": 300})),
    overhead_per_hour=Decimal(6),
    packaging_per_part=Decimal("0.50"),
)
CHARGE = charged(loaded("resin", 100.0))


def test_every_line_of_a_small_order_is_as_worked_by_hand() -> None:
    # 4 good at 0.8 from pulls of two: 4 / 1.6 = 2.5 -> 3 pulls, 6 starts. An hour is
    # 24 x 1.25 = 30. Pot life 30 min and 12 min a load: two pulls to a mix, so mixes of
    # 2 and 1 pulls: 405 g and 205 g.
    cost = unit_cost(BENCH, part(), PRESSED, 4, charge=CHARGE)
    assert (cost.pulls, cost.starts) == (3, 6)
    assert by_text(cost) == {
        "reset": money("9"),  # 18 min
        "mix": money("4"),  # 2 x 4 min
        "load": money("18"),  # 36 min
        "trim": money("27"),  # 6 x 9 min
        "inspect": money("9"),  # 6 x 3 min
        "condition": money("7.5"),  # 3/4 x 20 min
        # 610 g at 26 / 1300 a gram, by share of the mix
        "Part a, in Resin": money("12.2") * 100 / 130,
        "Part b, in Resin": money("12.2") * 30 / 130,
        "whole packs beyond what is used": 0,
        "gloves": money("3.3"),
        "cup": money("1"),
        "paper": money("1.2"),
        "plastic sheet": money("2"),
        "fin-way, by the life of a mould": money("6"),  # 3 x 60 / 30
        "Clamps": money("2.16"),  # 3 x 72 min at 0.60
        "packaging": money("2"),  # good parts alone
        "overhead on attended hours": money("14.9"),  # (134 + 15) min at 6
        "no freight or returns stated": money("0"),
    }
    assert cost.total == money("119.26")
    assert cost.per_good_part == money("29.815")
    assert cost.people_hours == Decimal("2.483333")
    assert cost.spare_parts == money("0.8")
    (mix,) = cost.mixes
    assert mix.members == (2, 1)
    assert mix.each_g == (405, 205)
    assert (mix.in_parts_g, mix.lost_g, mix.surplus_g, mix.mixed_g) == (600, 10, 0, 610)


def test_scrap_is_what_a_perfect_yield_would_save() -> None:
    perfect = replace(
        PRESSED,
        operations=tuple(replace(o, good_rate=Decimal(1)) for o in PRESSED.operations),
    )
    cost = unit_cost(BENCH, part(), PRESSED, 4, charge=CHARGE)
    best = unit_cost(BENCH, part(), perfect, 4, charge=CHARGE)
    assert cost.total is not None
    assert best.total is not None
    assert cost.scrap_share == 1 - best.total / cost.total
    assert best.scrap_share == 0


def test_setup_falls_wholly_on_one_piece_and_is_shared_by_ten() -> None:
    # 90 min once and 40 min a piece at 36 an hour: (90 + 40) / 60 x 36 = 78.00;
    # (90 + 400) / 60 x 36 / 10 = 29.40.
    way = process(attended("set up", "order", "90"), attended("make", "part", "40"))
    costs = unit_costs(shop(), part(), way, [1, 10], charge=None)
    assert costs == (78, money("29.4"))


@pytest.mark.parametrize("quantity", [0, -3, 2.5])
def test_no_quantity_has_no_cost(quantity: int) -> None:
    way = process(attended("set up", "order", "90"))
    with pytest.raises(InvalidInput) as raised:
        unit_cost(shop(), part(), way, quantity, charge=None)
    assert raised.value.faults[0].path == "quantity"


def test_a_material_nobody_sells_makes_the_cost_unknown_and_is_named() -> None:
    bare = replace(BENCH, suppliers=sold_by(offer(1, "20", grams={"part-a": 1000})))
    cost = unit_cost(bare, part(), PRESSED, 4, charge=CHARGE)
    assert cost.total is None
    assert cost.per_good_part is None
    assert cost.scrap_share is None
    assert cost.unknown == (
        "the price of part-b is unknown: no offer holds it; add one, or its cost_per_kg",
    )
    assert by_text(cost)["Part b, in Resin"] is None
    assert unit_costs(bare, part(), PRESSED, [4], charge=CHARGE) == (None,)


def test_a_skill_nobody_has_makes_the_cost_unknown() -> None:
    way = process(attended("paint", "part", "5", skill="paint"))
    cost = unit_cost(shop(), part(), way, 4, charge=None)
    assert cost.total is None
    assert 'nobody with the skill "paint"' in cost.unknown[0]


def test_groups_that_were_not_thought_of_show_as_zeros() -> None:
    cost = unit_cost(shop(), part(), process(attended("make", "part", "40")), 4, charge=None)
    assert {line.kind for line in cost.lines} == set(KINDS)
    none_stated = {line.text: line.amount for line in cost.lines if "no " in line.text}
    assert set(none_stated.values()) == {0}
    assert {"no consumables stated", "no mould", "no station"} <= set(none_stated)


def test_the_reader_is_told_where_no_yield_is_stated() -> None:
    cost = unit_cost(shop(), part(), process(attended("make", "part", "40")), 4, charge=None)
    assert any("states a good rate" in caution for caution in cost.cautions)
    assert not any(
        "good rate" in caution
        for caution in unit_cost(BENCH, part(), PRESSED, 4, charge=CHARGE).cautions
    )


def test_labour_is_at_the_mean_of_those_who_can() -> None:
    people = (person("ann", "wet", wage="30"), person("bo", "wet", "dry", wage="20"))
    way = process(attended("wet work", "order", "60"), attended("dry", "order", "60", skill="dry"))
    cost = unit_cost(shop(*people), part(), way, 1, charge=None)
    assert by_text(cost)["wet work"] == 25
    assert by_text(cost)["dry"] == 20


def test_an_operation_for_two_costs_two() -> None:
    way = process(attended("carry", "order", "60", people=2))
    cost = unit_cost(shop(), part(), way, 1, charge=None)
    assert cost.total == 72
    assert cost.people_hours == 2


def test_the_unbillable_share_of_a_paid_day_is_in_the_hour() -> None:
    # Two of eight paid hours sell nothing: 36 / 0.75 = 48.
    way = process(attended("make", "order", "60"))
    cost = unit_cost(shop(unbillable_share=Decimal("0.25")), part(), way, 1, charge=None)
    assert cost.total == 48


def test_minutes_by_member_count_all_parts() -> None:
    way = process(
        attended("lay out", "order", "10", each_min=Decimal(2)),
        attended("pour", "pull", "5", each_min=Decimal(1)),
        attended("trim", "part", "3", each_min=Decimal(4)),
    )
    bench = shop(family(cavities=3))
    # No hold on a mould, so no cavities: 4 pulls of one part.
    # 10 + 8, 4 x 6, 4 x 7 = 70 min at 36
    assert unit_cost(bench, part(), way, 4, charge=None).total == 42


def test_hands_learn_and_machines_do_not() -> None:
    # Unit theory at 80 %: four units take 3.1421 first units (tables of learning curves).
    way = process(
        attended("sand", "part", "10", learning_rate=Decimal("0.8")),
        unattended("print", "part", "60", station="printer"),
    )
    printer = Station(key="printer", title="Printer", cost_per_hour=Decimal(1))
    cost = unit_cost(shop(printer), part(), way, 4, charge=None)
    assert float(by_text(cost)["sand"] or 0) == pytest.approx(31.421 / 60 * 36, abs=1e-3)
    assert by_text(cost)["Printer"] == 4


PRINTED = process(
    attended("start", "batch", "5", batch_parts=3, skill="wet"),
    unattended("print", "batch", "40", each_min=Decimal(135)),
    attended("remove", "batch", "3"),
    holds=(Hold(resource="printer", first="start", last="remove"),),
)


def test_a_plate_of_three_holds_its_printer_once() -> None:
    printer = Station(key="printer", title="Printer", count=2, cost_per_hour=Decimal("0.60"))
    cost = unit_cost(shop(printer), part(), PRINTED, 7, charge=None)
    # Plates of 3, 2, 2: 3 x (5 + 40 + 3) + 7 x 135 = 1089 min at 0.60 an hour.
    assert by_text(cost)["Printer"] == money("10.89")
    assert by_text(cost)["start"] == 9  # 15 min


def test_parts_that_enter_singly_share_a_station_by_whole_loads() -> None:
    way = process(unattended("dry", "part", "720", station="cabinet"))
    cabinet = Station(key="cabinet", title="Cabinet", room=24, cost_per_hour=Decimal("0.10"))
    costs = unit_costs(shop(cabinet), part(), way, [1, 24, 25], charge=None)
    assert [cost * q for cost, q in zip(costs, [1, 24, 25], strict=True) if cost] == [
        money("1.2"),
        money("1.2"),
        money("2.4"),
    ]


def test_each_unit_held_through_a_load_is_charged_for_the_whole_load() -> None:
    way = process(
        attended("close", "pull", "10"),
        unattended("bake", "batch", "60", each_min=Decimal(5), batch_pulls=2),
        attended("open", "pull", "4"),
        holds=(Hold(resource="clamps", first="close", last="open"),),
    )
    clamps = Station(key="clamps", title="Clamps", count=4, cost_per_hour=Decimal(60))
    cost = unit_cost(shop(clamps), part(), way, 3, charge=None)
    # Loads of 2 and 1: two units for 70 min, one for 65; 14 min of each besides; 1 a minute.
    assert by_text(cost)["Clamps"] == 2 * 70 + 65 + 3 * 14


def test_least_waits_within_a_hold_are_part_of_it() -> None:
    way = process(
        attended("close", "pull", "10"),
        attended("open", "pull", "5", wait_min=45),
        holds=(Hold(resource="press", first="close", last="open"),),
    )
    press = Station(key="press", title="Press", cost_per_hour=Decimal(60))
    assert by_text(unit_cost(shop(press), part(), way, 2, charge=None))["Press"] == 120


def test_waste_is_bought_with_what_is_loaded_and_rods_go_by_the_metre() -> None:
    way = process(attended("make", "part", "0"), waste_share=Decimal("0.25"))
    bench = shop(
        material("polymer", cost_per_kg=Decimal(20)),
        material("rod", rod=Rod(diameter_mm=3.0), cost_per_m=Decimal(2)),
    )
    charge = charged(loaded("polymer", 40.0), loaded("rod", 2.8, 0.26))
    cost = unit_cost(bench, part(), way, 10, charge=charge)
    assert by_text(cost)["Polymer"] == 10  # 10 x 40 g x 1.25 at 20 a kg
    assert by_text(cost)["Rod"] == money("6.5")  # 10 x 0.26 m x 1.25 at 2
    assert cost.drawn == {("polymer", "g"): 500, ("rod", "m"): money("3.25")}


def test_a_surplus_below_the_least_mix_is_charged() -> None:
    thin = replace(
        BENCH,
        materials={
            **BENCH.materials,
            "resin": resin(least_mixed_g=Decimal(260), lost_g=Decimal(5)),
        },
    )
    cost = unit_cost(thin, part(), PRESSED, 1, charge=charged(loaded("resin", 50.0)))
    (mix,) = cost.mixes
    assert (mix.mixed_g, mix.in_parts_g, mix.lost_g, mix.surplus_g) == (260, 100, 5, 155)
    assert cost.materials_used == money("5.2")  # 260 g at 0.02


def test_materials_bought_are_whole_packs_and_the_difference_is_shown() -> None:
    bought = replace(BENCH, materials_charged="bought")
    cost = unit_cost(bought, part(), PRESSED, 4, charge=CHARGE)
    assert (cost.materials_used, cost.materials_bought) == (money("12.2"), 26)
    assert by_text(cost)["whole packs beyond what is used"] == money("13.8")
    assert cost.total == money("119.26") + money("13.8")


def test_one_pull_beyond_the_most_mixed_is_refused_in_words() -> None:
    with pytest.raises(HardLimit, match="staged pour or another resin"):
        unit_cost(BENCH, part(), PRESSED, 4, charge=charged(loaded("resin", 300.0)))


def test_drivers_add_up_to_the_cost_of_a_part() -> None:
    cost = unit_cost(BENCH, part(), PRESSED, 4, charge=CHARGE)
    assert sum(cost.drivers().values()) == cost.per_good_part
    assert cost.drivers()["wages"] == money("74.5") / 4
    assert cost.drivers()["the price of Part a"] == money("12.2") * 100 / 130 / 4


def test_raising_an_input_by_a_tenth_raises_the_cost_by_a_tenth_of_its_driver() -> None:
    ann = BENCH.people["ann"]
    dearer = replace(
        BENCH, people={"ann": replace(ann, wage_per_hour=ann.wage_per_hour * Decimal("1.1"))}
    )
    before = unit_cost(BENCH, part(), PRESSED, 4, charge=CHARGE)
    after = unit_cost(dearer, part(), PRESSED, 4, charge=CHARGE)
    assert before.per_good_part is not None
    assert after.per_good_part == before.per_good_part + before.drivers()["wages"] / 10


def test_kinds_add_up_to_the_total() -> None:
    cost = unit_cost(BENCH, part(), PRESSED, 4, charge=CHARGE)
    assert sum(amount or 0 for amount in cost.by_kind().values()) == cost.total
    assert cost.by_kind()["labour"] == 67


@settings(deadline=None, max_examples=60)
@given(
    st.integers(1, 400),
    st.sampled_from(["by life", "to the order"]),
    st.sampled_from(["used", "bought"]),
    st.sampled_from([None, Decimal("0.9"), Decimal("0.5")]),
    st.booleans(),
)
def test_lines_always_add_up_and_the_quick_way_gives_the_same(
    quantity: int, tooling: str, charged: str, level: Decimal | None, printed: bool
) -> None:
    bench: Shop = replace(
        BENCH,
        tooling=tooling,
        materials_charged=charged,
        service_level=level,
    )
    way: Process = PRINTED if printed else PRESSED
    model = cost_model(bench, part(), way, charge=CHARGE)
    cost = cost_of(model, quantity)
    amounts = [line.amount for line in cost.lines if line.amount is not None]
    assert len(amounts) == len(cost.lines)
    assert all(amount >= 0 for amount in amounts)
    assert sum(amounts) == cost.total
    assert cost.per_good_part == model.per_good_part(quantity)
    assert cost.starts >= quantity
    assert cost.scrap_share is not None
    assert 0 <= cost.scrap_share < 1
    assert sum(cost.drivers().values()) == cost.per_good_part
