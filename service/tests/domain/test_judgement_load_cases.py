"""Judgement on two supports and on mounts: stress, frequency, closing force, refusals."""

from dataclasses import replace

import pytest

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.hours.opening import OpeningHours
from mouldwright.domain.judgement import judge
from mouldwright.domain.material import Fibre, Material
from mouldwright.domain.money import Currency
from mouldwright.domain.part.requirement import Part, Requirement
from mouldwright.domain.part.shape import Polygon, Rectangle
from mouldwright.domain.process.process import Process
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import MeasuredStructure, MixStructure

SHOP = Shop(
    name="Bench",
    currency=Currency("EUR"),
    hours=OpeningHours(weekly=((),) * 7, zone="UTC"),
    theory_factor=0.8,
    materials={
        "chop": Material(
            key="chop",
            title="Chop",
            density_kg_m3=1800,
            modulus_gpa=230,
            transverse_modulus_gpa=15,
            fibre=Fibre(length_mm=6, diameter_um=7),
        ),
        "epoxy": Material(key="epoxy", title="Epoxy", density_kg_m3=1150, modulus_gpa=3),
    },
)
# 20 x 5 mm on 200 mm, E = 3000 MPa: EI = 625 000 N mm², W = M/2.5 · 208.333.
BAR = Part(key="bar", title="Bar", span_mm=200, section=Rectangle(width_mm=20, height_mm=5))
MEASURED = MeasuredStructure(modulus_gpa=3, density_kg_m3=1200)
MIX = MixStructure(fibre="chop", matrix="epoxy", fibre_mass_fraction=0.5)


def judged(support, load, structure=MEASURED, section=BAR.section, **more):
    asked = Requirement(support=support, load=load, force_n=10, deflection_mm=50, **more)
    process = Process(key="made", title="Made", structure=structure, operations=())
    return judge(SHOP, replace(BAR, section=section, requirement=asked), process)


@pytest.mark.parametrize(
    ("support", "load", "root", "greatest"),
    [
        # M c/I with M over PL of Roark's Table 8.1 (from memory) and PL c/I = 24 MPa.
        ("cantilever", "end", 24.0, 24.0),
        ("cantilever", "triangular", 8.0, 8.0),
        ("simply supported", "centre", 0.0, 6.0),
        ("simply supported", "uniform", 0.0, 3.0),
        ("both ends fixed", "centre", 3.0, 3.0),
        ("both ends fixed", "uniform", 2.0, 2.0),
    ],
)
def test_stress_is_given_at_the_root_and_where_it_is_greatest(support, load, root, greatest):
    found = judged(support, load)
    assert found.root_stress_mpa == pytest.approx(root, abs=1e-9)
    assert found.greatest_stress_mpa == pytest.approx(greatest)


def test_on_a_sharp_taper_the_greatest_stress_lies_away_from_the_root():
    # Height runs from 5 to 1 mm, so M c/I goes as (1 - s)/(5 - 4s)², rising to s = 3/4, where
    # it is 1/16 against 1/25 at the root: 24 · 25/16 = 37.5 MPa.
    taper = Rectangle(width_mm=20, height_mm=5, tip_height_mm=1)
    found = judged("cantilever", "end", section=taper)
    assert found.root_stress_mpa == pytest.approx(24.0)
    assert found.greatest_stress_mpa == pytest.approx(37.5, rel=1e-3)


def test_stress_is_statics_and_keeps_out_of_the_theory_factor():
    by_theory, measured = judged("cantilever", "end", MIX), judged("cantilever", "end")
    assert by_theory.theory_factor == 0.8
    assert by_theory.root_stress_mpa == pytest.approx(measured.root_stress_mpa)


def test_a_bar_rings_at_the_handbook_frequency():
    # ω = 1.8751² √(EI/ρA L⁴) (Blevins; from memory): ρA = 0.12 g/mm = 1.2e-7 t/mm,
    # √(625 000/(1.2e-7·200⁴)) = 57.0544, · 3.51602 / 2π = 31.927 Hz.
    assert judged("cantilever", "end").first_frequency_hz == pytest.approx(31.927, rel=1e-3)


def test_mounts_lie_between_free_and_fixed_ends_and_state_their_stiffness():
    free, fixed = judged("simply supported", "centre"), judged("both ends fixed", "centre")
    held = judged("elastic mounts", "centre", mount_n_mm_per_rad=6250.0)
    assert fixed.deflection_mm < held.deflection_mm < free.deflection_mm
    assert free.first_frequency_hz < held.first_frequency_hz < fixed.first_frequency_hz


@pytest.mark.parametrize(
    ("support", "load", "said"),
    [
        ("simply supported", "end", 'write "centre", "uniform" or "triangular"'),
        ("elastic mounts", "centre", "mount_n_mm_per_rad"),
    ],
)
def test_a_load_case_that_does_not_hold_together_names_the_part(support, load, said):
    with pytest.raises(InvalidInput, match=said) as caught:
        judged(support, load)
    assert caught.value.faults[0].path == "parts.bar.requirement"


def test_what_closing_takes_is_said_where_a_pressure_is_stated():
    # 2 MPa on 200 x 20 mm of plan: 8000 N.
    found = judged("cantilever", "end", replace(MIX, closing_pressure_mpa=2.0))
    assert found.closing_force_n == pytest.approx(8000)
    assert found.makeable
    assert judged("cantilever", "end", MIX).closing_force_n is None


def test_a_section_that_leans_is_warned_of():
    wedge = Polygon(points_mm=((0, 0), (30, 0), (0, 60)))
    assert any("bends sideways" in w for w in judged("cantilever", "end", section=wedge).warnings)


def test_a_section_that_is_none_cannot_be_made():
    found = judged("cantilever", "end", section=Rectangle(width_mm=0, height_mm=5))
    assert not found.makeable
    assert found.meets_requirement is False
    assert "width_mm is 0; it must be above zero" in found.reasons[0]
