"""Integrals over an area: how much there is of it, where its middle lies, how it resists bending.

Everything here follows from Green's theorem: an integral over an area is one along its
outline, exact for straight edges (Steger, "On the calculation of arbitrary moments of
polygons", 1996, from memory; any text on mechanics of materials has the first three).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaIntegrals:
    """Integrals over an area about the axes it is drawn in, in mm.

    Attributes:
        area: ∫dA, mm².
        first_x: ∫x dA, mm³.
        first_y: ∫y dA, mm³.
        second_xx: ∫x² dA, mm⁴.
        second_yy: ∫y² dA, mm⁴.
        second_xy: ∫xy dA, mm⁴.
    """

    area: float
    first_x: float
    first_y: float
    second_xx: float
    second_yy: float
    second_xy: float

    def less(self, other: AreaIntegrals) -> AreaIntegrals:
        """Return the integrals with another area cut out."""
        return AreaIntegrals(
            area=self.area - other.area,
            first_x=self.first_x - other.first_x,
            first_y=self.first_y - other.first_y,
            second_xx=self.second_xx - other.second_xx,
            second_yy=self.second_yy - other.second_yy,
            second_xy=self.second_xy - other.second_xy,
        )

    def moved(self, x: float, y: float) -> AreaIntegrals:
        """Return the integrals of the same area moved by (x, y)."""
        return AreaIntegrals(
            area=self.area,
            first_x=self.first_x + x * self.area,
            first_y=self.first_y + y * self.area,
            second_xx=self.second_xx + 2 * x * self.first_x + x * x * self.area,
            second_yy=self.second_yy + 2 * y * self.first_y + y * y * self.area,
            second_xy=self.second_xy + x * self.first_y + y * self.first_x + x * y * self.area,
        )

    @property
    def centroid(self) -> tuple[float, float]:
        """Return (x, y) of the centroid."""
        return self.first_x / self.area, self.first_y / self.area

    def central(self) -> AreaIntegrals:
        """Return the integrals about parallel axes through the centroid."""
        x, y = self.centroid
        return self.moved(-x, -y)


def principal(about_x: float, about_y: float, product: float) -> tuple[float, float, float]:
    """Return the greatest and least second moment and the angle of the axis of the greatest.

    Args:
        about_x: ∫y² dA about the centroid, mm⁴.
        about_y: ∫x² dA about the centroid, mm⁴.
        product: ∫xy dA about the centroid, mm⁴.

    Returns:
        Greatest, least (mm⁴), and the angle in radians, anticlockwise from x, of the axis
        about which the second moment is greatest (Mohr's circle).
    """
    middle, half = (about_x + about_y) / 2, (about_x - about_y) / 2
    radius = math.hypot(half, product)
    angle = 0.5 * math.atan2(-product, half) if radius > 1e-12 * middle else 0.0
    return middle + radius, middle - radius, angle


def loop_integrals(loop: Array) -> AreaIntegrals:
    """Return the integrals of a closed polygon; the order of its points does not matter.

    Args:
        loop: Corner points, shape (n, 2), the last joined to the first.
    """
    # About its own first point: far from the origin, large terms would cancel.
    base_x, base_y = float(loop[0, 0]), float(loop[0, 1])
    x, y = loop[:, 0] - base_x, loop[:, 1] - base_y
    xn, yn = np.roll(x, -1), np.roll(y, -1)
    cross = x * yn - xn * y
    area = float(cross.sum()) / 2
    sign = -1.0 if area < 0 else 1.0
    about_base = AreaIntegrals(
        area=sign * area,
        first_x=sign * float(((x + xn) * cross).sum()) / 6,
        first_y=sign * float(((y + yn) * cross).sum()) / 6,
        second_xx=sign * float(((x * x + x * xn + xn * xn) * cross).sum()) / 12,
        second_yy=sign * float(((y * y + y * yn + yn * yn) * cross).sum()) / 12,
        second_xy=sign * float(((x * yn + 2 * x * y + 2 * xn * yn + xn * y) * cross).sum()) / 24,
    )
    return about_base.moved(base_x, base_y)


def station_weights(stations: Array) -> Array:
    """Return the share of the span each of the beam's stations stands for, flat, adding up to 1."""
    panels, each = stations.shape
    return even_weights(panels, each)


@lru_cache(maxsize=16)
def even_weights(panels: int, each: int = 4) -> Array:
    """Return Gauss weights of so many points in each of equal panels, flat, adding up to 1."""
    _, gauss = np.polynomial.legendre.leggauss(each)
    return np.tile(gauss / 2 / panels, panels)
