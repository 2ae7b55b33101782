"""How much lift a foil of finite span gives at an angle: the ends leak, a stubby fin most.

a is the slope of the lift coefficient over the angle in radians, a0 = 2π of a thin foil without
ends, A = span² / area. Lifting line: a = a0 / (1 + a0 / (π e A)) (Prandtl). Helmbold, for low A:
a = a0 / (√(1 + (a0/πA)²) + a0/πA). Anderson, "Fundamentals of Aerodynamics", finite wings (from
memory). Symmetric foils at small angles; no stall is reckoned.
"""

from __future__ import annotations

import math

THIN_FOIL_PER_RAD = 2 * math.pi
# Below this the lifting line says too much: at A = 2 by a fifth.
LEAST_ASPECT_OF_LINE = 5.0
# Past this no foil of a bench still lifts in proportion to its angle.
MOST_ANGLE_DEG = 12.0


def lifting_line_per_rad(aspect: float, efficiency: float = 1.0) -> float:
    """Return a by the lifting line, with span efficiency e."""
    return THIN_FOIL_PER_RAD / (1 + THIN_FOIL_PER_RAD / (math.pi * efficiency * aspect))


def helmbold_per_rad(aspect: float) -> float:
    """Return a by Helmbold's form for low aspect ratios."""
    leak = THIN_FOIL_PER_RAD / (math.pi * aspect)
    return THIN_FOIL_PER_RAD / (math.sqrt(1 + leak**2) + leak)


def lift_slope_per_rad(aspect: float, efficiency: float = 0.95) -> float:
    """Return a by the form that holds for the aspect ratio."""
    if holds_as_line(aspect):
        return lifting_line_per_rad(aspect, efficiency)
    return helmbold_per_rad(aspect)


def holds_as_line(aspect: float) -> bool:
    """Return whether a span is long enough for the lifting line."""
    return aspect >= LEAST_ASPECT_OF_LINE


def lift_coefficient_at(angle_deg: float, aspect: float, efficiency: float = 0.95) -> float:
    """Return CL at an angle, by the form that holds for the aspect ratio."""
    return lift_slope_per_rad(aspect, efficiency) * math.radians(angle_deg)
