"""The first bending frequency of a part, from its stiffness and mass along the span."""

from __future__ import annotations

import math

import numpy as np

from mouldwright.domain.part.beam import PANELS, STATIONS
from mouldwright.domain.part.integrals import Array
from mouldwright.domain.part.requirement import Support

ELEMENTS = 16
_GRAMS_TO_TONNES = 1e-6  # with mm and N, mass is in tonnes


def first_frequency_hz(
    *,
    span_mm: float,
    bending_n_mm2: Array,
    mass_g_mm: Array,
    support: Support,
    mount_n_mm_per_rad: float | None = None,
) -> float:
    """Return the first bending frequency in hertz, by beam elements with cubic shapes.

    Args:
        span_mm: Length.
        bending_n_mm2: EI at the beam's stations, shape (PANELS, 4).
        mass_g_mm: Mass per length there.
        support: How it is held.
        mount_n_mm_per_rad: Rotational stiffness of each elastic mount.
    """
    panels = PANELS // ELEMENTS
    stiffness = bending_n_mm2.reshape(ELEMENTS, panels * 4)
    mass = mass_g_mm.reshape(ELEMENTS, panels * 4) * _GRAMS_TO_TONNES
    length = span_mm / ELEMENTS
    share = STATIONS.reshape(ELEMENTS, panels * 4) * ELEMENTS - np.arange(ELEMENTS)[:, None]
    weights = _weights(panels) * length
    shapes, curvatures = _shapes(share[0], length)
    rigid = np.einsum("p,ep,ip,jp->eij", weights, stiffness, curvatures, curvatures)
    heavy = np.einsum("p,ep,ip,jp->eij", weights, mass, shapes, shapes)
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


def _weights(panels: int) -> Array:
    """Return quadrature weights over one element, adding up to 1."""
    _, gauss = np.polynomial.legendre.leggauss(4)
    return np.tile(gauss / 2 / panels, panels)


def _shapes(share: Array, length: float) -> tuple[Array, Array]:
    """Return Hermite's cubic shapes and their curvatures at shares of an element."""
    s = share
    shapes = np.stack(
        [
            1 - 3 * s**2 + 2 * s**3,
            length * (s - 2 * s**2 + s**3),
            3 * s**2 - 2 * s**3,
            length * (s**3 - s**2),
        ]
    )
    curvatures = np.stack(
        [
            (-6 + 12 * s) / length**2,
            (-4 + 6 * s) / length,
            (6 - 12 * s) / length**2,
            (6 * s - 2) / length,
        ]
    )
    return shapes, curvatures
