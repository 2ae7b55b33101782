"""The force a part must bear."""

import pytest

from mouldwright.domain.errors import InvalidInput
from mouldwright.domain.part.load import force_n, plan_area_mm2
from mouldwright.domain.part.requirement import Part, Requirement
from mouldwright.domain.part.shape import Naca4, Polygon


def part(section, span=200.0):
    return Part(key="fin", title="Fin", span_mm=span, section=section)


FIN = part(Naca4(code="0012", chord_mm=100))


def asked(**more):
    return Requirement(support="cantilever", load="uniform", deflection_mm=10, **more)


def test_water_loads_a_fin_by_its_own_density():
    # ½ · 1025 · 6² = 18 450 Pa on 0.2 x 0.1 m with a lift coefficient of 0.5: 184.5 N.
    flow = asked(speed_m_s=6, lift_coefficient=0.5, fluid_density_kg_m3=1025)
    assert force_n(FIN, flow) == pytest.approx(184.5)


def test_the_safety_factor_is_on_the_load():
    assert force_n(FIN, asked(force_n=14.0, factor=1.5)) == pytest.approx(21.0)
    flow = asked(speed_m_s=6, lift_coefficient=0.5, fluid_density_kg_m3=1025, factor=2.0)
    assert force_n(FIN, flow) == pytest.approx(369.0)


def test_plan_area_is_span_times_mean_chord():
    assert plan_area_mm2(part(Naca4(code="0012", chord_mm=64, tip_chord_mm=54))) == 59 * 200
    wedge = Polygon(points_mm=((5, 0), (25, 0), (5, 10)), tip_scale=0.5)
    assert plan_area_mm2(part(wedge)) == pytest.approx(15 * 200)


@pytest.mark.parametrize(
    "given",
    [
        {},
        {"speed_m_s": 6.0},
        {"speed_m_s": 6.0, "lift_coefficient": 0.5},
        {"lift_coefficient": 0.5, "fluid_density_kg_m3": 1025.0},
        {"force_n": 10.0, "speed_m_s": 6.0},
    ],
    ids=str,
)
def test_a_load_given_by_halves_or_twice_says_what_would_be_right(given):
    with pytest.raises(InvalidInput) as caught:
        force_n(FIN, asked(**given))
    (fault,) = caught.value.faults
    assert fault.path == "parts.fin.requirement"
    assert fault.remedy == (
        "Give force_n, or all of speed_m_s, lift_coefficient and fluid_density_kg_m3."
    )
