"""The force a part must bear: stated, or from speed, area and lift coefficient."""

from __future__ import annotations

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.part.lift import lift_coefficient_at
from mouldwright.domain.part.requirement import Part, Requirement
from mouldwright.domain.part.section import section_at


def dynamic_pressure_pa(density_kg_m3: float, speed_m_s: float) -> float:
    """Return ½ρv² in pascals: air of 1.225 kg/m³ at 44.7 m/s presses with 1224 Pa."""
    return 0.5 * density_kg_m3 * speed_m_s**2


def plan_area_mm2(part: Part) -> float:
    """Return span times mean chord (or width)."""
    root, tip = section_at(part.section, 0.0), section_at(part.section, 1.0)
    return part.span_mm * (root.width_mm + tip.width_mm) / 2


def aspect_ratio(part: Part, requirement: Requirement) -> float:
    """Return span² / area; a root on a wall mirrors the foil and doubles both."""
    alone = part.span_mm**2 / plan_area_mm2(part)
    return 2 * alone if requirement.root_on_wall else alone


def lift_coefficient(part: Part, requirement: Requirement) -> float | None:
    """Return CL as stated, or from the angle and the finite span; None where neither is given."""
    if requirement.angle_deg is None:
        return requirement.lift_coefficient
    return lift_coefficient_at(
        requirement.angle_deg, aspect_ratio(part, requirement), requirement.span_efficiency
    )


def force_n(part: Part, requirement: Requirement) -> float:
    """Return the total force in newtons, safety factor included.

    Raises:
        InvalidInput: if neither or both of a force and a speed are given, or a speed
            without its lift coefficient and fluid density.
    """
    lifts = lift_coefficient(part, requirement)
    flow = (requirement.speed_m_s, lifts, requirement.fluid_density_kg_m3)
    path = f"parts.{part.key}.requirement"
    if requirement.force_n is not None:
        if any(value is not None for value in flow):
            raise InvalidInput([_fault(path, "a force and a speed are both given.")])
        return requirement.force_n * requirement.factor
    speed, lift, density = flow
    if speed is None or lift is None or density is None:
        raise InvalidInput([_fault(path, "it names no whole load.")])
    area_m2 = plan_area_mm2(part) / 1e6
    return dynamic_pressure_pa(density, speed) * area_m2 * lift * requirement.factor


def _fault(path: str, problem: str) -> Fault:
    return Fault(
        path=path,
        value="",
        problem=problem,
        remedy="Give force_n, or all of speed_m_s, lift_coefficient and fluid_density_kg_m3.",
    )
