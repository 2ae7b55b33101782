"""The first bending frequency of a part, from its stiffness and mass along the span.

Timoshenko's beam without the turning inertia of its sections: they give way in shear, which is
what matters over a soft core, and ring by their mass alone. Leaving the turning out overstates
the frequency by ½ (π r / L)² with r the section's radius of gyration, a thousandth at most for
parts sixteen times as long as they are thick.
"""

from __future__ import annotations

import math

import numpy as np

from mouldwright.domain.part.beam import PANELS, STATIONS
from mouldwright.domain.part.integrals import Array, even_weights
from mouldwright.domain.part.requirement import Support

ELEMENTS = 16
_GRAMS_TO_TONNES = 1e-6  # with mm and N, mass is in tonnes


def first_frequency_hz(
    *,
    span_mm: float,
    bending_n_mm2: Array,
    mass_g_mm: Array,
    support: Support,
    shear_n: Array | None = None,
    mount_n_mm_per_rad: float | None = None,
    gyration_mm2: Array | None = None,
) -> float:
    """Return the first bending frequency in hertz, by beam elements.

    The shapes of an element are those of an even one that bends and gives way in shear (Friedman
    and Kosmatka, "An improved two-node Timoshenko beam finite element", 1993; from memory), the
    true stiffness and mass being summed over them: Ritz's method, never too low but by rounding.

    Args:
        span_mm: Length.
        bending_n_mm2: EI at the beam's stations, shape (PANELS, 4).
        mass_g_mm: Mass per length there.
        support: How it is held.
        shear_n: Shear area times shear modulus there; None leaves shear out.
        mount_n_mm_per_rad: Rotational stiffness of each elastic mount.
        gyration_mm2: Square of the radius of gyration there, second moment over area: what the
            turning of the sections weighs; None leaves it out.
    """
    panels = PANELS // ELEMENTS
    bending = bending_n_mm2.reshape(ELEMENTS, panels * 4)
    mass = mass_g_mm.reshape(ELEMENTS, panels * 4) * _GRAMS_TO_TONNES
    length = span_mm / ELEMENTS
    share = (STATIONS.reshape(ELEMENTS, panels * 4) * ELEMENTS - np.arange(ELEMENTS)[:, None])[0]
    weights = even_weights(panels) * length
    softer = np.zeros(ELEMENTS)
    if shear_n is not None:
        shear = shear_n.reshape(ELEMENTS, panels * 4)
        softer = 12 / length**2 * (bending @ weights) / (shear @ weights)
    shapes, turns, curvatures, slips = _shapes(share, length, softer)
    rigid = np.einsum("p,ep,eip,ejp->eij", weights, bending, curvatures, curvatures)
    if shear_n is not None:
        rigid = rigid + (shear @ weights)[:, None, None] * slips[:, :, None] * slips[:, None, :]
    heavy = np.einsum("p,ep,eip,ejp->eij", weights, mass, shapes, shapes)
    if gyration_mm2 is not None:
        turning = mass * gyration_mm2.reshape(ELEMENTS, panels * 4)
        heavy = heavy + np.einsum("p,ep,eip,ejp->eij", weights, turning, turns, turns)
    size = 2 * (ELEMENTS + 1)
    whole_rigid, whole_heavy = np.zeros((size, size)), np.zeros((size, size))
    for element in range(ELEMENTS):
        at = slice(2 * element, 2 * element + 4)
        whole_rigid[at, at] += rigid[element]
        whole_heavy[at, at] += heavy[element]
    if support == "elastic mounts" and mount_n_mm_per_rad:
        whole_rigid[1, 1] += mount_n_mm_per_rad
        whole_rigid[-1, -1] += mount_n_mm_per_rad
    held = {
        "cantilever": (0, 1),
        "both ends fixed": (0, 1, size - 2, size - 1),
    }.get(support, (0, size - 2))
    free = np.setdiff1d(np.arange(size), held)
    cut = np.ix_(free, free)
    slowest = np.linalg.eigvals(np.linalg.solve(whole_rigid[cut], whole_heavy[cut])).real.max()
    return float(1 / math.sqrt(slowest) / (2 * math.pi))


def _shapes(share: Array, length: float, softer: Array) -> tuple[Array, Array, Array, Array]:
    """Return how an element lies, turns, curves and slips for each end height and turn.

    Shapes (ELEMENTS, 4, points) thrice and (ELEMENTS, 4): the slip is even along it.

    Args:
        share: Places along an element.
        length: Of an element.
        softer: 12 EI / (GA L²) of each element; nothing gives Hermite's cubics.
    """
    s, f = share[None, :], softer[:, None]
    scale = 1 / (1 + f)
    shapes = [
        1 - 3 * s**2 + 2 * s**3 + f * (1 - s),
        length * (s - 2 * s**2 + s**3 + f / 2 * (s - s**2)),
        3 * s**2 - 2 * s**3 + f * s,
        length * (s**3 - s**2 - f / 2 * (s - s**2)),
    ]
    turns = [
        (-6 * s + 6 * s**2) / length,
        1 - 4 * s + 3 * s**2 + f * (1 - s),
        (6 * s - 6 * s**2) / length,
        3 * s**2 - 2 * s + f * s,
    ]
    curvatures = [
        (-6 + 12 * s) / length**2,
        (-4 - f + 6 * s) / length,
        (6 - 12 * s) / length**2,
        (-2 + f + 6 * s) / length,
    ]
    slips = [-softer / length, -softer / 2, softer / length, -softer / 2]
    return (
        np.stack([scale * each for each in shapes], axis=1),
        np.stack([scale * each for each in turns], axis=1),
        np.stack([scale * each for each in curvatures], axis=1),
        np.stack([scale[:, 0] * each for each in slips], axis=1),
    )
