"""Torsion constants: closed forms where there is one, else a stated estimate."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from mouldwright.domain.part.integrals import AreaIntegrals, Array, loop_integrals


def rectangle_torsion(width: Array, height: Array) -> Array:
    """Return J of a rectangle, mm⁴.

    Saint-Venant's series; Timoshenko and Goodier, Theory of Elasticity, torsion of
    rectangular bars (from memory).
    """
    long, short = np.maximum(width, height), np.minimum(width, height)
    n = np.arange(1, 40, 2)
    terms = np.tanh(n * math.pi / 2 * (long / short)[..., None]) / n**5
    beta = 1 / 3 - 64 / math.pi**5 * (short / long) * terms.sum(axis=-1)
    constant: Array = beta * long * short**3
    return constant


def ellipse_torsion(width: Array, height: Array) -> Array:
    """Return J of an ellipse by its full axes, mm⁴: π a³ b³ / (a² + b²), halves a and b."""
    a, b = width / 2, height / 2
    constant: Array = math.pi * a**3 * b**3 / (a**2 + b**2)
    return constant


def slender_torsion(area: float, second_moment: float, length: float) -> float:
    """Return J of a solid slender section such as a foil: 4 I / (1 + 16 I / (A U²)).

    Roark's Formulas for Stress and Strain, torsion of an elongated section (from memory). Against
    finite elements it is 1 % high for a foil of 12 % of its chord, 2.5 % at 21, over 3 past 23.

    Args:
        area: mm².
        second_moment: About the long axis, mm⁴.
        length: U, along the middle of the section, mm.
    """
    return 4 * second_moment / (1 + 16 * second_moment / (area * length**2))


def region_torsion(loops: Sequence[Array]) -> float:
    """Return an estimate of J for any region: A⁴ / (4π² Ip), that of each hole taken off.

    Saint-Venant's rule for solid sections, exact for an ellipse and, with the hole taken
    off, for a round tube; a few per cent high for compact shapes, a sixth for a box, a third
    for an L, and no use for thin open ones.
    """

    def solid(found: AreaIntegrals) -> float:
        central = found.central()
        return float(found.area**4 / (4 * math.pi**2 * (central.second_xx + central.second_yy)))

    outer, *holes = (solid(loop_integrals(loop)) for loop in loops)
    return max(outer - sum(holes), 0.0)
