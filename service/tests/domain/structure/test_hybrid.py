"""Skins over a core, on sections whose numbers can be worked by hand."""

from dataclasses import replace

import pytest

from mouldwright.domain.material import Material
from mouldwright.domain.part.requirement import Part, Requirement
from mouldwright.domain.part.shape import Naca4, Rectangle
from mouldwright.domain.process.operation import Operation
from mouldwright.domain.process.process import Process
from mouldwright.domain.structure.kinds import HybridStructure
from mouldwright.domain.structure.making import made

SKIN = Material(key="skin", title="Skin", density_kg_m3=1500, modulus_gpa=60)
CORE = Material(key="core", title="Core", density_kg_m3=100, modulus_gpa=0.1)
MATERIALS = {"skin": SKIN, "core": CORE}
WRAP = HybridStructure(skin="skin", skin_mm=1.0, core="core")
BOX = Part(
    key="box",
    title="Box",
    span_mm=300,
    section=Rectangle(width_mm=40, height_mm=20),
    requirement=Requirement(support="cantilever", load="end", force_n=10, deflection_mm=5),
)


def by(structure):
    return Process(
        key="wrapped",
        title="Wrapped",
        structure=structure,
        operations=(Operation(name="wrap", per="part", attended=True),),
    )


def done(part=BOX, structure=WRAP, materials=MATERIALS):
    return made(part, by(structure), materials)


def test_a_box_bends_by_its_skins_and_its_core():
    # 40 x 20 has I = 26 666.667, the core of 38 x 18 has 18 468: EI = 60 000 · (26 666.667 -
    # 18 468) + 100 · 18 468 = 491 920 000 + 1 846 800 = 493 766 800 N mm².
    assert done().root_bending_n_mm2 == pytest.approx(493_766_800, rel=1e-4)


def test_it_weighs_its_skins_and_its_core():
    # Skin 800 - 684 = 116 mm² at 1.5 mg/mm³, core 684 mm² at 0.1, over 300 mm: 52.2 + 20.52 g.
    grams = {each.material: each.finished_g for each in done().charge.constituents}
    assert grams["skin"] == pytest.approx(52.2, rel=1e-4)
    assert grams["core"] == pytest.approx(20.52, rel=1e-4)


def test_only_the_share_of_the_fibres_that_lies_along_counts():
    # Half the skins' modulus: 30 000 · 8 198.667 + 1 846 800.
    half = done(structure=replace(WRAP, skin_factor=0.5))
    assert half.root_bending_n_mm2 == pytest.approx(30_000 * 8198.667 + 1_846_800, rel=1e-4)


def test_a_core_as_stiff_as_its_skins_is_a_solid():
    same = {"skin": SKIN, "core": replace(CORE, modulus_gpa=60)}
    assert done(materials=same).root_bending_n_mm2 == pytest.approx(60_000 * 26_666.667)


def test_a_section_thinner_than_two_skins_is_all_skin():
    flat = replace(BOX, section=Rectangle(width_mm=40, height_mm=1.8))
    only = done(flat)
    assert only.root_bending_n_mm2 == pytest.approx(60_000 * 40 * 1.8**3 / 12)
    assert only.charge.constituents[1].finished_g == 0


def test_shear_is_left_to_the_core():
    # G = 100 / 2.7 MPa on 5/6 of 800 mm².
    assert done().shear_n[0, 0] == pytest.approx(100 / 2.7 * 5 / 6 * 800)


def test_a_tapered_foil_is_between_its_core_and_its_skin():
    foil = replace(BOX, section=Naca4(code="0012", chord_mm=64, tip_chord_mm=54))
    ei = done(foil).root_bending_n_mm2
    second = 6.809608640e-5 * 64**4  # of the solid open 0012, printed in section tables
    assert 100 * second < ei < 60_000 * second
    assert ei > 0.5 * 60_000 * second  # 1 mm of 7.7: the outer 45 % of an ellipse's I and more


def test_skins_that_meet_leave_no_core_and_are_refused_with_what_would_do():
    # Two skins of 8 mm in 6 mm of bar.
    thin = replace(BOX, section=Rectangle(width_mm=40, height_mm=6))
    reasons = done(thin, replace(WRAP, skin_mm=8.0)).reasons
    assert reasons == (
        "two skins of 8 mm leave no core in 6.0 mm of thickness: make them thinner than 3.0 mm",
    )
