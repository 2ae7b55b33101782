"""Weights at the bench, worked by hand from the demo shop's files."""

from dataclasses import replace
from decimal import Decimal

import pytest

from mouldwright.domain.record.charge_sheet import charge_sheet, weighed
from mouldwright.scenario.demo import open_demo

DEMO = open_demo("foil-bench").shop


def sheet(part="stabiliser", process="pressed", pulls=1, shop=DEMO):
    return charge_sheet(shop, shop.part(part), shop.process(process), pulls)


def by_material(found):
    return {each.material: each for each in found.weighings}


def test_three_pulls_take_fibre_by_the_cavity_and_resin_with_what_is_squeezed_out():
    # The demo shop's README works the part out: 105.97 g, 0.5843 of it fibre. Fibre 61.92 g,
    # 185.8 for three; resin 44.05 g, loaded 1.15 times, 50.66 g, three 151.98, and 4 g stay in
    # the cup: 156.0. At 100 : 30 that is 120.0 of resin and 36.0 of hardener.
    found = sheet(pulls=3)
    weights = {key: each.grams for key, each in by_material(found).items()}
    assert weights["chopped-carbon"] == Decimal("185.8")
    assert (weights["epoxy-resin"], weights["epoxy-hardener"]) == (
        Decimal("120.0"),
        Decimal("36.0"),
    )
    assert found.mixes == 1
    assert found.squeezed_g == pytest.approx(3 * 44.05 * 0.15, abs=0.02)
    # By volume: 36.0 g at 0.96 g/ml.
    assert by_material(found)["epoxy-hardener"].millilitres == pytest.approx(37.5)


def test_a_scale_of_one_gram_is_flagged_on_a_few_grams_of_hardener():
    # Half a gram on 7.2 g is 6.9 %. A cup of 31.2 g at 100 : 30 holds 24.0 and 7.2.
    coarse = replace(DEMO, scale_step_g=Decimal(1))
    epoxy = coarse.materials["laminating-epoxy"]
    small = replace(epoxy, mix=replace(epoxy.mix, least_mixed_g=Decimal(0), lost_g=Decimal(4)))
    coarse = replace(coarse, materials={**coarse.materials, "laminating-epoxy": small})
    fin = replace(coarse.part("sensor-fin"), made_by=("pressed",))
    found = charge_sheet(coarse, fin, coarse.process("pressed"))
    hardener = by_material(found)["epoxy-hardener"]
    assert hardener.is_coarse
    assert hardener.off_share == pytest.approx(0.5 / float(hardener.grams))
    assert all(not each.is_coarse for each in sheet(pulls=3).weighings)


def test_more_than_one_cup_holds_is_mixed_in_cups_all_alike():
    # Ten pulls take 506.6 g of resin; a cup holds 400 with 4 lost, so two of 253.3 + 4 = 257.3 g.
    found = sheet(pulls=10)
    assert found.mixes == 2
    cup = sum(each.grams for each in found.weighings if each.of)
    assert cup == pytest.approx(Decimal("257.3"), abs=Decimal("0.2"))
    assert found.lost_g == 8


def test_two_fins_come_of_a_pull_and_rods_are_cut_not_weighed():
    found = sheet("sensor-fin", "cast-fin")
    assert found.parts == 2
    assert by_material(found)["carbon-rod-3"].metres == pytest.approx(0.24)
    assert not by_material(found)["carbon-rod-3"].is_coarse


@pytest.mark.parametrize(
    ("grams", "state"), [(102.7, "light"), (102.9, "good"), (109.0, "good"), (109.3, "heavy")]
)
def test_a_part_is_good_within_three_per_cent_of_what_it_should_weigh(grams, state):
    # 105.97 g, so 102.79 to 109.15 g.
    assert weighed(sheet(), grams).state == state


def test_air_follows_from_the_mass_as_from_a_density():
    # With 2 % of air it weighs 105.97 g, without any 108.13; 100.0 g are then 7.52 % of air.
    found = weighed(sheet(), 100.0)
    assert found.void_share == pytest.approx(1 - 100.0 / (105.97 / 0.98), abs=1e-4)
    assert found.share == pytest.approx(100 / 105.97, abs=1e-4)


def test_no_pull_is_no_sheet():
    with pytest.raises(ValueError, match="one pull or more"):
        sheet(pulls=0)


def test_what_is_mixed_beyond_need_is_said_with_its_why():
    # The fin's pull needs less of the mix than is worth mixing: what is needed, with what stays in
    # the cup, and what is left over add up to the least that is mixed.
    found = sheet("sensor-fin", "cast-fin")
    mix = DEMO.materials["fast-resin"].mix
    assert found.least_mixed_g == mix.least_mixed_g
    assert found.left_over_g > 0
    mixed = sum(each.grams for each in found.weighings if each.of)
    assert found.needed_g + found.left_over_g == pytest.approx(float(mixed), abs=0.2)
    assert sheet(pulls=3).left_over_g == 0.0


def test_a_part_heavier_than_a_solid_one_holds_no_air():
    # Solid it is 105.97 / 0.98 = 108.13 g.
    assert weighed(sheet(), 108.0).void_share == pytest.approx(0.0012, abs=1e-3)
    assert weighed(sheet(), 109.0).void_share is None
