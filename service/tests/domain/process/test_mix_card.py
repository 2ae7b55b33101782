from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from costing_bench import material, resin
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldwright.domain.process.mix_card import mass_shares, mix_card

STOCK = {m.key: m for m in (material("part-a"), material("part-b"))}


def test_300_grams_of_100_to_45_add_up_on_the_scale() -> None:
    # 300 x 100 / 145 = 206.897, 300 x 45 / 145 = 93.103.
    mixed = resin(parts={"part-a": Decimal(100), "part-b": Decimal(45)})
    card = mix_card(mixed, STOCK, 300)
    assert card.components_g == {"part-a": Decimal("206.9"), "part-b": Decimal("93.1")}
    assert card.total_g == Decimal("300.0") == sum(card.components_g.values())


def test_two_to_one_by_volume_goes_through_the_densities() -> None:
    # 1 x 0.97 / (2 x 1.15) = 0.42174: 100 : 42.2 by mass and not 100 : 50.
    mixed = resin(parts={"part-a": Decimal(2), "part-b": Decimal(1)}, by="volume")
    stock = {
        "part-a": material("part-a", density_kg_m3=1150.0),
        "part-b": material("part-b", density_kg_m3=970.0),
    }
    assert mixed.mix is not None
    shares = mass_shares(mixed.mix, stock)
    assert round(float(100 * shares["part-b"] / shares["part-a"]), 1) == 42.2


def test_100_to_30_by_mass_is_100_to_36_32_by_volume() -> None:
    # 30 / 0.95 over 100 / 1.15 = 0.36316, worked by hand; the mix by those volumes comes
    # back to the shares by mass.
    volumes = {"part-a": Decimal(100), "part-b": Decimal("36.315789")}
    stock = {
        "part-a": material("part-a", density_kg_m3=1150.0),
        "part-b": material("part-b", density_kg_m3=950.0),
    }
    mix = resin(parts=volumes, by="volume").mix
    assert mix is not None
    shares = mass_shares(mix, stock)
    assert float(shares["part-b"] / shares["part-a"]) == pytest.approx(0.3, abs=1e-8)


def test_a_coarse_scale_on_little_hardener_is_far_off() -> None:
    # Half a step of 1 g on 7 g of hardener is 7 % either way.
    mixed = resin(parts={"part-a": Decimal(100), "part-b": Decimal(30)})
    card = mix_card(mixed, STOCK, Decimal("31.2"), resolution_g=Decimal(1))
    assert card.components_g["part-b"] == 7
    assert card.ratio_uncertainty == Fraction(1, 14)
    assert card.too_coarse(STOCK) == (
        "A step of 1 g on the scale leaves Part b up to 7 % off: use a finer scale or mix more"
    )


@pytest.mark.parametrize(
    ("grams", "is_said"),
    # Hardener is 30 of 130. Half a step of 1 g on 25 g is 2.0 %, on 24 g 2.08 %.
    [("108", False), ("104", True), ("31.2", True)],
)
def test_a_scale_is_too_coarse_where_it_may_be_more_than_two_per_cent_off(
    grams: str, is_said: bool
) -> None:
    mixed = resin(parts={"part-a": Decimal(100), "part-b": Decimal(30)})
    card = mix_card(mixed, STOCK, Decimal(grams), resolution_g=Decimal(1))
    assert bool(card.too_coarse(STOCK)) == is_said
    assert not mix_card(mixed, STOCK, Decimal(grams)).too_coarse(STOCK)


def test_a_card_is_rounded_up_but_never_past_the_most() -> None:
    mixed = resin(most_mixed_g=Decimal(150))
    assert mix_card(mixed, STOCK, Decimal("149.95"), resolution_g=Decimal("0.1")).total_g == 150
    tight = resin(most_mixed_g=Decimal("150.5"))
    assert mix_card(tight, STOCK, Decimal("150.2"), resolution_g=Decimal(1)).total_g == 150


def test_a_plain_material_has_no_card() -> None:
    with pytest.raises(ValueError, match="not mixed"):
        mix_card(replace(resin(), mix=None), STOCK, 100)


@settings(deadline=None, max_examples=60)
@given(
    st.decimals("0.1", "500", places=2),
    st.lists(st.decimals("0.5", "100", places=1), min_size=1, max_size=4),
    st.sampled_from(["0.01", "0.1", "1", "0.5"]),
)
def test_components_always_add_up_to_the_total(
    grams: Decimal, parts: list[Decimal], resolution: str
) -> None:
    mixed = resin(parts={f"part-{i}": p for i, p in enumerate(parts)}, most_mixed_g=Decimal(1000))
    step = Decimal(resolution)
    card = mix_card(mixed, {}, grams, resolution_g=step)
    assert sum(card.components_g.values()) == card.total_g >= grams
    assert card.total_g - grams < step
    for i, share in enumerate(parts):
        wanted = Fraction(card.total_g) * Fraction(share) / Fraction(sum(parts))
        assert abs(Fraction(card.components_g[f"part-{i}"]) - wanted) < Fraction(step)
