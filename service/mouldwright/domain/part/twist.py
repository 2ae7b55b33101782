"""How far a part twists under a torque: θ = ∫ T / GJ dx (Saint-Venant; any mechanics text)."""

from __future__ import annotations

import math

from mouldwright.domain.part.beam import STATIONS
from mouldwright.domain.part.integrals import Array, station_weights
from mouldwright.domain.part.requirement import Support


def twist_deg(
    *, span_mm: float, torsion_n_mm2: Array, torque_n_mm: float, support: Support
) -> float:
    """Return the greatest angle of twist in degrees.

    A cantilever is twisted at its tip, root held. A part held at both ends is twisted at its
    middle, and both halves share the torque as their stiffness has it.

    Args:
        span_mm: Length.
        torsion_n_mm2: GJ at the beam's stations.
        torque_n_mm: Applied.
        support: How it is held.
    """
    each = station_weights(STATIONS) * span_mm / torsion_n_mm2.ravel()
    if support == "cantilever":
        return math.degrees(torque_n_mm * float(each.sum()))
    near = STATIONS.ravel() < 0.5
    left, right = float(each[near].sum()), float(each[~near].sum())
    return math.degrees(torque_n_mm * left * right / (left + right))
