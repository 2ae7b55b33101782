"""How far a part gives way under one newton at one place, measured at that place.

The unit-load theorem with shear: δ = ∫ m² / EI dx + ∫ v² / GA dx, m and v the moment and shear
of the unit load (Castigliano; any text on mechanics of materials).
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from mouldwright.domain.part.beam import STATIONS
from mouldwright.domain.part.integrals import Array

_PANELS = 64
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(4)


def give_mm_per_n(
    *,
    part_span_mm: float,
    bending_n_mm2: Array,
    shear_n: Array,
    support: Literal["cantilever", "simply supported"],
    start_mm: float,
    span_mm: float,
    load_at_mm: float,
) -> float:
    """Return the deflection under a unit load where it acts, in mm/N.

    Args:
        part_span_mm: Length of the whole part, root to tip.
        bending_n_mm2: EI at the beam's stations along the whole part.
        shear_n: Shear area times shear modulus there.
        support: How it is held.
        start_mm: From the root to the clamp or the first support.
        span_mm: Between the supports; of no effect on a cantilever.
        load_at_mm: From the clamp or the first support to the load.
    """
    near, near_step = _stretch(0.0, load_at_mm)
    if support == "cantilever":
        pieces = [(near, near_step, load_at_mm - near, np.ones_like(near))]
    else:
        far, far_step = _stretch(load_at_mm, span_mm)
        left, right = 1 - load_at_mm / span_mm, load_at_mm / span_mm
        pieces = [
            (near, near_step, left * near, np.full_like(near, left)),
            (far, far_step, right * (span_mm - far), np.full_like(far, right)),
        ]
    stations = STATIONS.ravel() * part_span_mm
    gives = 0.0
    for x, step, moment, shear in pieces:
        bending = np.interp(start_mm + x, stations, bending_n_mm2.ravel())
        stiff = np.interp(start_mm + x, stations, shear_n.ravel())
        gives += float((step * (moment**2 / bending + shear**2 / stiff)).sum())
    return gives


def _stretch(first: float, last: float) -> tuple[Array, Array]:
    """Return places between two ends and the length each stands for."""
    edges = np.linspace(first, last, _PANELS + 1)
    step = (last - first) / _PANELS
    x = edges[:-1, None] + (_NODES[None, :] + 1) / 2 * step
    return x.ravel(), np.tile(_WEIGHTS / 2 * step, _PANELS)
