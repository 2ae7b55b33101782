"""A pressed mix: fractions, voids, orientation."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.material import Fibre, Material
from mouldwright.domain.structure.kinds import MixStructure
from mouldwright.domain.structure.mix import (
    finished_mass_fraction,
    fractions,
    halpin_tsai,
    modulus_gpa,
    planar_random,
    shear_modulus_gpa,
    void_knock_down,
)

CHOP = Material(
    key="chop",
    title="Chop",
    density_kg_m3=1800,
    modulus_gpa=230,
    transverse_modulus_gpa=15,
    fibre=Fibre(length_mm=12, diameter_um=7),
)
EPOXY = Material(key="epoxy", title="Epoxy", density_kg_m3=1150, modulus_gpa=3.0)
MIX = MixStructure(fibre="chop", matrix="epoxy", fibre_mass_fraction=0.5)
NONE = Decimal(0)

shares = st.floats(0.01, 0.9)


def test_two_ways_to_measure_voids_agree_on_one_part():
    # ASTM D3171 and D2734 (from memory): half fibre by mass, 1.370 g/cm³ measured. Volumes of
    # the whole are 0.5·1.370/1.80 = 38.055556 % and 0.5·1.370/1.15 = 59.565217 %, so
    # 2.379227 % is left for voids.
    voids = 0.02379227
    found = fractions(replace(MIX, void_fraction=voids), CHOP, EPOXY, NONE)
    assert found.density_kg_m3 == pytest.approx(1370, abs=1e-3)
    fibre = found.fibre_mass * found.density_kg_m3 / 1800
    matrix = (1 - found.fibre_mass) * found.density_kg_m3 / 1150
    assert fibre == pytest.approx(0.38055556, abs=1e-7)
    assert matrix == pytest.approx(0.59565217, abs=1e-7)
    assert 1 - fibre - matrix == pytest.approx(voids, abs=1e-9)


@given(shares, st.floats(0.0, 1.0))
def test_squeezing_out_leaves_more_fibre_and_loading_it_back_gives_the_same(share, extra):
    finished = finished_mass_fraction(share, extra)
    assert finished >= share
    stated = replace(MIX, fibre_mass_fraction=finished, fractions="finished")
    assert fractions(stated, CHOP, EPOXY, Decimal(repr(extra))).fibre_mass_loaded == pytest.approx(
        share
    )


@given(shares, shares, st.sampled_from(["planar random", "random", "aligned"]))
def test_more_fibre_is_stiffer(one, other, orientation):
    mix = replace(MIX, orientation=orientation)
    less, more = (modulus_gpa(mix, CHOP, EPOXY, v) for v in sorted((one, other)))
    assert less <= more * (1 + 1e-12)


@given(shares)
def test_aligned_is_stiffer_than_planar_and_planar_than_solid_random(volume):
    for rule in ("halpin-tsai", "cox-krenchel"):
        aligned, planar, solid = (
            modulus_gpa(replace(MIX, rule=rule, orientation=o), CHOP, EPOXY, volume)
            for o in ("aligned", "planar random", "random")
        )
        assert solid < planar < aligned
        # Voigt's mixture is never passed.
        assert aligned <= (230 * volume + 3.0 * (1 - volume)) * (1 + 1e-9)


def test_the_rule_named_is_the_rule_used():
    # V = 0.30 of this fibre in this matrix, worked from the rules apart from this code:
    # Tsai-Pagano 29.312888; Cox-Krenchel 3/8 · η · 230 · 0.3 + 3 · 0.7 with η = 0.995393.
    assert modulus_gpa(MIX, CHOP, EPOXY, 0.30) == pytest.approx(29.312888, abs=1e-6)
    krenchel = modulus_gpa(replace(MIX, rule="cox-krenchel"), CHOP, EPOXY, 0.30)
    assert krenchel == pytest.approx(0.375 * 0.995393 * 69 + 2.1, abs=1e-4)


def test_solid_random_fibres_average_one_part_along_and_four_across():
    # E = E_L/5 + 4 E_T/5 (Lavengood and Goettler 1971; from memory), V = 0.30: E_L 70.064253
    # and E_T 4.862069.
    found = modulus_gpa(replace(MIX, orientation="random"), CHOP, EPOXY, 0.30)
    assert found == pytest.approx(70.064253 / 5 + 4 * 4.862069 / 5, abs=1e-6)


@pytest.mark.parametrize("rule", ["halpin-tsai", "cox-krenchel"])
def test_no_fibre_leaves_the_matrix(rule):
    assert modulus_gpa(replace(MIX, rule=rule), CHOP, EPOXY, 0.0) == pytest.approx(3.0)


def test_voids_take_stiffness_off():
    # 1 - 1.9 p + 0.9 p² (Coble and Kingery 1956; from memory): 2 % voids leave 96.236 %.
    assert void_knock_down(0.02) == pytest.approx(0.96236)
    assert void_knock_down(0.0) == 1
    assert void_knock_down(1.0) == pytest.approx(0.0)
    sound, porous = (
        modulus_gpa(replace(MIX, void_fraction=v), CHOP, EPOXY, 0.3) for v in (0.0, 0.02)
    )
    assert porous == pytest.approx(0.96236 * sound)


def test_workshop_chopped_carbon_lies_where_published_figures_lie():
    # Gate, not a target: 15 to 45 GPa at 30 to 45 % by volume and 1.30 to 1.50 g/cm³ (from
    # memory; flexural figures of carbon moulding compounds lie about 33 to 35 GPa).
    for by_mass in (0.40, 0.50, 0.55):
        share = fractions(replace(MIX, fibre_mass_fraction=by_mass), CHOP, EPOXY, NONE)
        assert 15 < modulus_gpa(MIX, CHOP, EPOXY, share.fibre_volume) < 45
        assert 1300 < share.density_kg_m3 < 1500


@pytest.mark.parametrize(
    ("length_mm", "along"),
    # Halpin-Tsai E_L at V = 0.30, worked from the rule apart from this code: long chop is as
    # good as endless, the fibre of a printing filament is not.
    [(0.1, 27.3986), (0.2, 38.6363), (3, 67.1411), (6, 69.0601), (12, 70.0643), (25, 70.5988)],
)
def test_long_chop_is_as_stiff_as_endless_and_short_is_not(length_mm, along):
    slender = 2 * length_mm / 0.007
    assert halpin_tsai(230.0, 3.0, 0.30, slender) == pytest.approx(along, abs=1e-4)
    fibre = replace(CHOP, fibre=Fibre(length_mm=length_mm, diameter_um=7))
    assert modulus_gpa(MIX, fibre, EPOXY, 0.30) == pytest.approx(
        planar_random(along, 4.862069), abs=1e-4
    )


def test_a_shear_modulus_not_stated_follows_from_poissons_ratio():
    # G = E / 2(1 + ν) = 3.0 / 2.7.
    assert shear_modulus_gpa(EPOXY) == pytest.approx(3.0 / 2.7)
    assert shear_modulus_gpa(replace(EPOXY, shear_modulus_gpa=1.0)) == 1.0


@pytest.mark.parametrize(
    ("fibre", "matrix", "path"),
    [
        (replace(CHOP, fibre=None), EPOXY, r"materials\.chop\.fibre"),
        (replace(CHOP, modulus_gpa=None), EPOXY, r"materials\.chop\.modulus_gpa"),
        (CHOP, replace(EPOXY, modulus_gpa=None), r"materials\.epoxy\.modulus_gpa"),
    ],
)
def test_what_a_rule_lacks_is_named(fibre, matrix, path):
    with pytest.raises(InvalidInput, match=path):
        modulus_gpa(MIX, fibre, matrix, 0.3)
