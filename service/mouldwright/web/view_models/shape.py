"""Shapes, requirements and structures in words."""

from __future__ import annotations

from mouldwright.domain.part.lift import THIN_FOIL_PER_RAD
from mouldwright.domain.part.load import Load, lift_coefficient
from mouldwright.domain.part.requirement import Part, Requirement
from mouldwright.domain.part.section import section_at
from mouldwright.domain.part.shape import (
    Coordinates,
    Ellipse,
    Naca4,
    Polygon,
    Rectangle,
    Shape,
    Tube,
)
from mouldwright.domain.shop import Shop
from mouldwright.domain.structure.kinds import (
    CastStructure,
    HybridStructure,
    MeasuredStructure,
    MixStructure,
    PrintStructure,
    Structure,
)
from mouldwright.usecases.what_if import force_before_factor_n
from mouldwright.web.labels import choice_of
from mouldwright.web.words import LOADS, SUPPORTS, figure, measure, percent

Facts = tuple[tuple[str, str], ...]


def shape_words(shape: Shape) -> str:
    """Return a section in a few words, root size first."""
    if isinstance(shape, Naca4):
        return f"NACA {shape.code}, chord {_taper(shape.chord_mm, shape.tip_chord_mm)}"
    if isinstance(shape, Coordinates):
        source = f" {shape.source}" if shape.source else ""
        return f"Airfoil{source}, chord {_taper(shape.chord_mm, shape.tip_chord_mm)}"
    if isinstance(shape, Polygon):
        holes = f" with {len(shape.holes_mm)} holes" if shape.holes_mm else ""
        taper = f", {percent(shape.tip_scale)} at the tip" if shape.tip_scale != 1 else ""
        return f"Polygon of {len(shape.points_mm)} corners{holes}{taper}"
    if isinstance(shape, Rectangle | Ellipse):
        name = "Rectangle" if isinstance(shape, Rectangle) else "Ellipse"
        width = _taper(shape.width_mm, shape.tip_width_mm)
        return f"{name}, {width} by {_taper(shape.height_mm, shape.tip_height_mm)}"
    assert isinstance(shape, Tube)
    inner = f", inner {_taper(shape.inner_mm, shape.tip_inner_mm)}" if shape.inner_mm else ""
    return f"Tube, outer {_taper(shape.outer_mm, shape.tip_outer_mm)}{inner}"


def _taper(root: float, tip: float | None) -> str:
    return f"{root:g} mm" if tip is None or tip == root else f"{root:g} to {tip:g} mm"


def part_facts(part: Part) -> Facts:
    """Return a part's sizes and what follows from them."""
    facts = [("Section", shape_words(part.section)), ("Span", f"{part.span_mm:g} mm")]
    try:
        root, tip = section_at(part.section, 0.0), section_at(part.section, 1.0)
    except ValueError as unsound:
        return (*facts, ("Not sound", str(unsound)))
    facts += [
        ("Thickest at the root", f"{figure(root.thickness_mm)} mm"),
        ("Area, root and tip", f"{figure(root.area_mm2)} and {figure(tip.area_mm2)} mm²"),
        ("Second moment at the root", f"{figure(root.second_moment_x_mm4, 0)} mm⁴"),
    ]
    return tuple(facts)


def requirement_facts(part: Part) -> Facts:
    """Return what a part must bear; empty where nothing is asked."""
    asked = part.requirement
    if asked is None:
        return ()
    facts = [
        ("Held", SUPPORTS[asked.support].lower()),
        ("Load", _load(part, asked)),
        ("Most it may bend", f"{asked.deflection_mm:g} mm"),
    ]
    if asked.factor != 1:
        facts.append(("Safety factor", f"{asked.factor:g} on the load"))
    if asked.mass_g is not None:
        facts.append(("Most it may weigh", f"{asked.mass_g:g} g"))
    if asked.mount_n_mm_per_rad is not None:
        facts.append(("Mounts", f"{asked.mount_n_mm_per_rad:g} N mm a radian"))
    if asked.twist_deg is not None:
        facts.append(("Most it may twist", f"{asked.twist_deg:g}° at {asked.torque_n_mm:g} N mm"))
    if asked.root_stress_share is not None:
        facts.append(("At the root", f"{percent(asked.root_stress_share)} of the strength"))
    if asked.service_temperature_c is not None:
        facts.append(("The hottest it gets", f"{asked.service_temperature_c:g} °C"))
    if asked.must_be_fit_to_sell:
        facts.append(("Only by", "a process marked fit to sell"))
    return tuple(facts)


def load_origin(load: Load | None) -> Facts:
    """Return where a force comes from, figure by figure; empty where it is stated as it acts."""
    if load is None or (load.flow is None and load.factor == 1):
        return ()
    facts = []
    flow = load.flow
    if flow is not None:
        facts += [
            ("Dynamic pressure", f"{figure(flow.pressure_pa)} Pa, half the density by speed²"),
            ("Plan area", f"{figure(flow.area_mm2, 0)} mm², span by mean chord"),
            ("Lift coefficient", f"{flow.lift_coefficient:.3f}"),
        ]
        if flow.finite_span is not None:
            span = flow.finite_span
            facts.append(
                (
                    "What the ends leave of it",
                    f"{span.per_rad:.3f} a radian at an aspect ratio of {span.aspect_ratio:.2f}, "
                    f"by {span.rule}; without ends it would be {THIN_FOIL_PER_RAD:.3f}",
                )
            )
        facts.append(("Pressure by area by lift", f"{measure(load.force_n / load.factor)} N"))
    if load.factor != 1:
        facts.append(("With the safety factor", f"{load.factor:g}: {measure(load.force_n)} N"))
    return tuple(facts)


def _load(part: Part, asked: Requirement) -> str:
    force = f"{figure(force_before_factor_n(part))} N {LOADS[asked.load]}"
    if asked.speed_m_s is None:
        return force
    return (
        f"{force}, from {asked.speed_m_s:g} m/s in a fluid of "
        f"{asked.fluid_density_kg_m3:g} kg/m³ {_lift(part, asked)}"
    )


def _lift(part: Part, asked: Requirement) -> str:
    lifts = lift_coefficient(part, asked)
    if asked.angle_deg is None or lifts is None:
        return f"at a lift coefficient of {asked.lift_coefficient:g}"
    return f"at {asked.angle_deg:g}°, which is a lift coefficient of {lifts:.2f} for its span"


def structure_facts(shop: Shop, structure: Structure | None) -> Facts:
    """Return what a process makes a part of."""

    def named(key: str) -> str:
        found = shop.materials.get(key)
        return found.title if found else key

    if isinstance(structure, MixStructure):
        return (
            ("Made of", f"{named(structure.fibre)} in {named(structure.matrix)}"),
            ("Fibre", f"{percent(structure.fibre_mass_fraction)} by mass, {structure.fractions}"),
            ("Air", percent(structure.void_fraction)),
            ("Stiffness by", choice_of(structure.rule, "rule")),
            ("Fibres lie", choice_of(structure.orientation, "orientation")),
        )
    if isinstance(structure, CastStructure):
        rods = [
            f"{named(rod.material)} at {rod.at[0]:g}, {rod.at[1]:g} of the chord"
            for rod in structure.rods
        ]
        facts = [("Made of", named(structure.matrix))]
        facts += [("Rod", rod) for rod in rods] or [("Rods", "none")]
        if structure.cover_mm:
            facts.append(("Least cover", f"{structure.cover_mm:g} mm over a rod"))
        return tuple(facts)
    if isinstance(structure, PrintStructure):
        return (
            ("Made of", named(structure.material)),
            ("Walls", f"{structure.walls} of {structure.wall_mm:g} mm"),
            ("Infill", percent(structure.infill)),
            ("Across the layers", f"{percent(structure.layer_factor)} of the stiffness"),
        )
    if isinstance(structure, HybridStructure):
        return (
            ("Skins", f"{named(structure.skin)}, {structure.skin_mm:g} mm"),
            ("Along the part", percent(structure.skin_factor)),
            ("Core", named(structure.core)),
        )
    if isinstance(structure, MeasuredStructure):
        return (
            ("Modulus", f"{structure.modulus_gpa:g} GPa, measured"),
            ("Density", f"{structure.density_kg_m3:g} kg/m³"),
            ("Source", structure.source or "nobody says"),
        )
    return (("Made of", "not said: add a structure to the process"),)
