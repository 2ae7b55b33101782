"""How much of a section's area carries shear: the shear area for a load along y."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mouldwright.domain.part.integrals import Array
from mouldwright.domain.part.polygon import edges_of

RECTANGLE_SHARE = 5 / 6


def ellipse_share(width: Array, height: Array) -> Array:
    """Return shear area / area of an ellipse loaded along its height.

    Cowper, "The Shear Coefficient in Timoshenko's Beam Theory", 1966 (from memory), with
    Poisson's ratio left out, which is the softest case; a rectangle then has 5/6.
    """
    a2, b2 = height**2, width**2
    share: Array = 3 * (3 * a2 + b2) / (10 * a2 + 4 * b2)
    return share


def tube_share(outer: Array, inner: Array) -> Array:
    """Return shear area / area of a round tube, from the same source in the same case."""
    ring = (1 + (inner / outer) ** 2) ** 2
    share: Array = 6 * ring / (7 * ring + 20 * (inner / outer) ** 2)
    return share


def slice_share(loops: Sequence[Array], rows: int = 200) -> float:
    """Return shear area / area of any region loaded along y.

    Equal strain energy with Zhuravskii's shear stress V Q / (I b) in each slice of width b:
    I² / (A ∫ Q²/b dy). Timoshenko, Strength of Materials, Part I (from memory). Stress that
    runs across a slice is left out, so flat foils and thin-walled boxes come out too stiff in
    shear, by a third to nearly twice; of a slender part's bend, shear is under one per cent.

    Args:
        loops: Outer loop first, then holes, each of shape (n, 2).
        rows: Slices to cut.
    """
    turned = [
        loop if (_signed(loop) > 0) == (number == 0) else loop[::-1]
        for number, loop in enumerate(loops)
    ]
    starts, ends = edges_of(turned)
    low, high = float(starts[:, 1].min()), float(starts[:, 1].max())
    step = (high - low) / rows
    y = (low + step * (np.arange(rows) + 0.5))[:, None]
    (x0, y0), (x1, y1) = starts.T, ends.T
    rise = y1 - y0
    crossing = (y0 <= y) != (y1 <= y)
    at = x0 + (y - y0) * (x1 - x0) / np.where(rise == 0, 1.0, rise)
    widths = np.where(crossing, at * np.sign(rise), 0.0).sum(axis=1)
    heights = y[:, 0]
    area = widths.sum() * step
    middle = (widths * heights).sum() * step / area
    moment = widths * (heights - middle) * step
    above = np.cumsum(moment[::-1])[::-1] - moment / 2
    second = (widths * ((heights - middle) ** 2 + step**2 / 12)).sum() * step
    energy = (above[widths > 0] ** 2 / widths[widths > 0]).sum() * step
    return float(second**2 / (area * energy))


def _signed(loop: Array) -> float:
    x, y = loop.T
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())
