"""Values that read like a slip of unit: metres for millimetres, MPa for GPa, g for kg."""

from __future__ import annotations

from collections.abc import Iterator

from mouldwright.domain.consistency.finding import warning
from mouldwright.domain.errors import Fault
from mouldwright.domain.shop import Shop

# Nothing held at one end and judged by its bending is shorter than this.
SHORTEST_SPAN_MM = 5.0
# Stiffer than diamond along any axis, and lighter or heavier than what a bench works
# (from memory: diamond 1,050 to 1,200 GPa; foams from 15 kg/m3, tungsten 19,300).
STIFFEST_GPA = 1200.0
LIGHTEST_KG_M3 = 10.0
HEAVIEST_KG_M3 = 20_000.0


def size_faults(shop: Shop) -> Iterator[Fault]:
    """Yield warnings of values that are out of all likelihood in the unit of their key."""
    for part in shop.parts.values():
        at = ("parts", part.key)
        if part.span_mm < SHORTEST_SPAN_MM:
            yield warning(
                (*at, "span_mm"),
                part.span_mm,
                "that is a very short part, and all its figures follow from it.",
                f"A span is in millimetres: {part.span_mm:g} m would be "
                f"{part.span_mm * 1000:g}, {part.span_mm:g} cm {part.span_mm * 10:g}.",
            )
        asked = part.requirement
        if asked is not None and asked.deflection_mm > part.span_mm:
            yield warning(
                (*at, "requirement", "deflection_mm"),
                asked.deflection_mm,
                f"the part may bend further than its span of {part.span_mm:g} mm.",
                "Both are in millimetres.",
            )
    for material in shop.materials.values():
        at = ("materials", material.key)
        modulus = material.modulus_gpa
        if modulus is not None and modulus > STIFFEST_GPA:
            yield warning(
                (*at, "modulus_gpa"),
                modulus,
                "nothing is as stiff as that.",
                f"A modulus is in GPa: {modulus:g} MPa would be {modulus / 1000:g}.",
            )
        density = material.density_kg_m3
        if not LIGHTEST_KG_M3 <= density <= HEAVIEST_KG_M3:
            yield warning(
                (*at, "density_kg_m3"),
                density,
                "nothing a bench works is as light or as heavy as that.",
                f"A density is in kg/m3: {density:g} g/cm3 would be {density * 1000:g}.",
            )
