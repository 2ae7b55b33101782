"""The force a part must bear: stated, or from speed, area and lift coefficient."""

from __future__ import annotations

from dataclasses import dataclass

from mouldwright.domain.errors import Fault, InvalidInput
from mouldwright.domain.part.lift import holds_as_line, lift_coefficient_at, lift_slope_per_rad
from mouldwright.domain.part.requirement import Part, Requirement
from mouldwright.domain.part.section import section_at


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """The force on a part, and where it comes from.

    Attributes:
        force_n: In all, the safety factor included.
        factor: That safety factor.
        flow: What makes it; None where the force is stated.
    """

    force_n: float
    factor: float
    flow: Flow | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Flow:
    """A force from the flow along a part: dynamic pressure x plan area x lift coefficient.

    Attributes:
        pressure_pa: ½ρv².
        area_mm2: Span times mean chord.
        finite_span: How the lift follows from the angle; None where it is stated.
    """

    pressure_pa: float
    area_mm2: float
    lift_coefficient: float
    finite_span: FiniteSpan | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FiniteSpan:
    """What is lost of the lift at the ends of a span.

    Attributes:
        aspect_ratio: Span² / area, mirrored where the root stands on a wall.
        per_rad: Slope of the lift coefficient over the angle.
        rule: Which published form gave it.
    """

    angle_deg: float
    aspect_ratio: float
    per_rad: float
    rule: str


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
        InvalidInput: as ``load_of``.
    """
    return load_of(part, requirement).force_n


def load_of(part: Part, requirement: Requirement) -> Load:
    """Return the load a part must bear, and where it comes from.

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
        return Load(force_n=requirement.force_n * requirement.factor, factor=requirement.factor)
    speed, lift, density = flow
    if speed is None or lift is None or density is None:
        raise InvalidInput([_fault(path, "it names no whole load.")])
    pressure, area = dynamic_pressure_pa(density, speed), plan_area_mm2(part)
    return Load(
        force_n=pressure * area / 1e6 * lift * requirement.factor,
        factor=requirement.factor,
        flow=Flow(
            pressure_pa=pressure,
            area_mm2=area,
            lift_coefficient=lift,
            finite_span=_finite_span(part, requirement),
        ),
    )


def _finite_span(part: Part, requirement: Requirement) -> FiniteSpan | None:
    if requirement.angle_deg is None:
        return None
    aspect = aspect_ratio(part, requirement)
    return FiniteSpan(
        angle_deg=requirement.angle_deg,
        aspect_ratio=aspect,
        per_rad=lift_slope_per_rad(aspect, requirement.span_efficiency),
        rule="lifting line (Prandtl)" if holds_as_line(aspect) else "Helmbold",
    )


def _fault(path: str, problem: str) -> Fault:
    return Fault(
        path=path,
        value="",
        problem=problem,
        remedy="Give force_n, or all of speed_m_s, lift_coefficient and fluid_density_kg_m3.",
    )
