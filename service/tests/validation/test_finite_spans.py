"""Lift of a finite span and twist of plain bars, against printed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mouldwright.domain.part.beam import STATIONS
from mouldwright.domain.part.lift import (
    helmbold_per_rad,
    lift_coefficient_at,
    lifting_line_per_rad,
)
from mouldwright.domain.part.load import aspect_ratio, force_n, load_of
from mouldwright.domain.part.requirement import Part, Requirement
from mouldwright.domain.part.shape import Rectangle
from mouldwright.domain.part.twist import twist_deg
from mouldwright.wire.answers.deflection import LoadAnswer


@pytest.mark.parametrize("aspect", [2, 4, 5, 6, 8, 10])
def test_an_elliptic_wing_has_two_pi_times_a_over_a_plus_two(aspect):
    # Anderson, Fundamentals of Aerodynamics, section 5.3, with a0 = 2π and e = 1 (from memory).
    assert lifting_line_per_rad(aspect) == pytest.approx(2 * math.pi * aspect / (aspect + 2))


def test_a_wing_of_six_to_one_at_five_degrees():
    # 2π · 6/8 = 4.712389 a radian, times 5° = 0.0872665, is 0.411234.
    assert lift_coefficient_at(5, 6, 1.0) == pytest.approx(0.411234, abs=1e-6)


@pytest.mark.parametrize(("aspect", "slope"), [(2, 2.602581), (3, 3.362659), (4, 3.883222)])
def test_a_stubby_fin_lifts_by_helmbolds_form(aspect, slope):
    # a0 / (√(1 + (2/A)²) + 2/A) by hand; at A = 2: 2π / (√2 + 1) = 2.602581.
    assert helmbold_per_rad(aspect) == pytest.approx(slope, abs=1e-6)


def test_the_form_changes_where_the_line_says_too_much():
    assert lift_coefficient_at(1, 4.9) == pytest.approx(helmbold_per_rad(4.9) * math.radians(1))
    assert lift_coefficient_at(1, 5.0) == pytest.approx(
        lifting_line_per_rad(5.0, 0.95) * math.radians(1)
    )


def test_a_fin_on_a_hull_is_mirrored_and_bears_what_its_angle_gives():
    # 0.20 x 0.10 m in sea water of 1025 at 6 m/s: ½ρv² = 18 450 Pa on 0.02 m² = 369 N a unit of
    # CL. Alone A = 2, mirrored 4: Helmbold 3.883222 · 5° = 0.338875, so 125.04 N.
    asked = Requirement(
        support="cantilever",
        load="uniform",
        deflection_mm=5,
        speed_m_s=6,
        fluid_density_kg_m3=1025,
        angle_deg=5,
    )
    fin = Part(key="fin", title="Fin", span_mm=200, section=Rectangle(width_mm=100, height_mm=8))
    assert aspect_ratio(fin, asked) == pytest.approx(4)
    assert force_n(fin, asked) == pytest.approx(125.04, abs=0.01)
    # Each step of it can be looked at.
    flow = load_of(fin, asked).flow
    assert flow.pressure_pa == pytest.approx(18_450)
    assert flow.area_mm2 == pytest.approx(20_000)
    assert flow.lift_coefficient == pytest.approx(0.338875, abs=1e-6)
    assert flow.finite_span.per_rad == pytest.approx(3.883222, abs=1e-6)
    assert flow.finite_span.rule == "Helmbold"


def test_an_answer_says_what_makes_a_load():
    # 0.6 x 0.12 m in air of 1.225 at 20 m/s: 245 Pa on 0.072 m² at 0.6 is 10.584 N; twice as
    # much with a safety factor of 2.
    wing = Part(key="wing", title="Wing", span_mm=600, section=Rectangle(width_mm=120, height_mm=9))
    asked = Requirement(
        support="cantilever",
        load="uniform",
        deflection_mm=50,
        speed_m_s=20,
        fluid_density_kg_m3=1.225,
        lift_coefficient=0.6,
        factor=2.0,
    )
    answer = LoadAnswer.of(load_of(wing, asked))
    assert answer.force_n == pytest.approx(2 * 10.584)
    assert (answer.dynamic_pressure_pa, answer.plan_area_mm2) == pytest.approx((245, 72_000))
    assert answer.lift_rule is None
    stated = LoadAnswer.of(load_of(wing, Requirement(
        support="cantilever", load="end", deflection_mm=5, force_n=4.0
    )))  # fmt: skip
    assert (stated.force_n, stated.dynamic_pressure_pa) == (4.0, None)


def test_a_bar_twists_by_t_l_over_g_j():
    # T L / GJ: 200 N mm · 200 mm / (1111.11 MPa · 702.0324 mm⁴) = 0.051281 rad = 2.9382°, J of
    # 20 x 5 being 0.280813 · 20 · 5³ (Timoshenko and Goodier, torsion of rectangles, from memory).
    stiff = np.full(STATIONS.shape, 1111.11 * 0.280813 * 20 * 125)
    found = twist_deg(span_mm=200, torsion_n_mm2=stiff, torque_n_mm=200, support="cantilever")
    assert found == pytest.approx(2.9382, abs=2e-3)
    # Held at both ends and twisted in the middle, a quarter of it.
    held = twist_deg(span_mm=200, torsion_n_mm2=stiff, torque_n_mm=200, support="both ends fixed")
    assert held == pytest.approx(found / 4, rel=1e-9)


def test_a_taper_twists_by_the_integral_of_its_shares():
    # GJ falling straight from 4 to 1: ∫ dx / (4 - 3x) = ln 4 / 3.
    stiff = 4.0 - 3.0 * STATIONS
    found = twist_deg(span_mm=1.0, torsion_n_mm2=stiff, torque_n_mm=1.0, support="cantilever")
    assert math.radians(found) == pytest.approx(math.log(4) / 3, rel=1e-6)
