"""NACA 4-digit sections, with the open trailing edge: outline and exact integrals.

Thickness and camber lines as in Ladson, Brooks, Hill and Sproles, "Computer Program to
Obtain Ordinates for NACA Airfoils", NASA TM-4741, 1996 (from memory). Thickness is laid
off normal to the camber line. Everything is in shares of the chord.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from mouldwright.domain.part.integrals import AreaIntegrals, Array

TAIL_TERM = 0.1015
# Greatest thickness over the nominal one, at 0.29983 of the chord: the ordinates do not peak
# at exactly half the nominal thickness.
SYMMETRIC_THICKEST = 1.000288
_THICKNESS = (0.2969, -0.1260, -0.3516, 0.2843, -TAIL_TERM)


@dataclass(frozen=True, slots=True, kw_only=True)
class NacaDigits:
    """What the four digits say, in shares of the chord."""

    camber: float
    camber_at: float
    thickness: float


def digits(code: str) -> NacaDigits:
    """Return what a code says.

    Raises:
        ValueError: if it is not four digits, has no thickness, or has camber placed nowhere.
    """
    if len(code) != 4 or not (code.isascii() and code.isdigit()):
        raise ValueError(f"a NACA 4-digit code has four digits, for example 0012, not {code!r}")
    found = NacaDigits(
        camber=int(code[0]) / 100, camber_at=int(code[1]) / 10, thickness=int(code[2:]) / 100
    )
    if found.thickness == 0:
        raise ValueError(f"NACA {code} has no thickness: the last two digits must be above 00")
    if found.camber > 0 and found.camber_at == 0:
        raise ValueError(
            f"NACA {code} has camber but its place is 0: give the second digit as 1 to 9"
        )
    return found


def half_thickness(x: Array, thickness: float) -> Array:
    """Return the ordinate of the thickness line at x, both in shares of the chord."""
    root = np.sqrt(x)
    a, b, c, d, e = _THICKNESS
    return 5 * thickness * (a * root + x * (b + x * (c + x * (d + x * e))))


def _curves(said: NacaDigits, s: Array) -> tuple[Array, Array, Array, Array]:
    """Return upper and lower points and their rates of change at s = √x.

    In s the thickness line is a polynomial, so the round nose costs no accuracy.

    Returns:
        Upper points, lower points, and d/ds of each; every one of shape (2, n).
    """
    x, dx = s * s, 2 * s
    a, b, c, d, e = _THICKNESS
    five_t = 5 * said.thickness
    yt = five_t * s * (a + s * (b + s**2 * (c + s**2 * (d + s**2 * e))))
    dyt = five_t * (a + s * (2 * b + s**2 * (4 * c + s**2 * (6 * d + s**2 * 8 * e))))
    m, p = said.camber, said.camber_at
    if m == 0:
        zero = np.zeros_like(s)
        upper, lower = np.stack([x, yt]), np.stack([x, -yt])
        return upper, lower, np.stack([dx, dyt]), np.stack([dx + zero, -dyt])
    fore = x < p
    scale = np.where(fore, m / p**2, m / (1 - p) ** 2)
    yc = scale * (np.where(fore, 0.0, 1 - 2 * p) + 2 * p * x - x * x)
    slope, bend = scale * 2 * (p - x), -2 * scale
    norm = np.sqrt(1 + slope**2)
    sin, cos = slope / norm, 1 / norm
    turn = bend * dx / norm**2  # dθ/ds
    dyc = slope * dx
    upper = np.stack([x - yt * sin, yc + yt * cos])
    lower = np.stack([x + yt * sin, yc - yt * cos])
    dnormal_x, dnormal_y = dyt * sin + yt * cos * turn, dyt * cos - yt * sin * turn
    return (
        upper,
        lower,
        np.stack([dx - dnormal_x, dyc + dnormal_y]),
        np.stack([dx + dnormal_x, dyc - dnormal_y]),
    )


@lru_cache(maxsize=4)
def _gauss(count: int) -> tuple[Array, Array]:
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return (nodes + 1) / 2, weights / 2


@lru_cache(maxsize=256)
def naca_integrals(code: str) -> AreaIntegrals:
    """Return the integrals of the section on a chord of 1, from the curves themselves.

    Gauss quadrature along the outline in √x: exact to rounding for a symmetric section,
    where everything is a polynomial, and to about 1e-12 with camber.

    Raises:
        ValueError: as ``digits``.
    """
    said = digits(code)
    nodes, weights = _gauss(32)
    ends = [0.0, 1.0] if said.camber == 0 else [0.0, math.sqrt(said.camber_at), 1.0]
    s = np.concatenate([a + (b - a) * nodes for a, b in itertools.pairwise(ends)])
    w = np.concatenate([(b - a) * weights for a, b in itertools.pairwise(ends)])
    upper, lower, upper_rate, lower_rate = _curves(said, s)
    tail_upper, tail_lower, _, _ = _curves(said, np.array([1.0]))
    tail = tail_lower + (tail_upper - tail_lower) * nodes
    tail_rate = (tail_upper - tail_lower) + 0 * tail
    # Anticlockwise: over the top from the tail to the nose, back below, up the tail face.
    x = np.concatenate([upper[0], lower[0], tail[0]])
    y = np.concatenate([upper[1], lower[1], tail[1]])
    dx = np.concatenate([-w * upper_rate[0], w * lower_rate[0], weights * tail_rate[0]])
    dy = np.concatenate([-w * upper_rate[1], w * lower_rate[1], weights * tail_rate[1]])
    return AreaIntegrals(
        area=-float((y * dx).sum()),
        first_x=float((x**2 * dy).sum()) / 2,
        first_y=-float((y**2 * dx).sum()) / 2,
        second_xx=float((x**3 * dy).sum()) / 3,
        second_yy=-float((y**3 * dx).sum()) / 3,
        second_xy=float((x**2 * y * dy).sum()) / 2,
    )


@lru_cache(maxsize=64)
def naca_outline(code: str, panels: int = 60) -> Array:
    """Return the outline on a chord of 1 as a polygon, anticlockwise from the upper tail.

    Args:
        code: The four digits.
        panels: Straight edges on each side, closest at nose and tail (cosine spacing).

    Returns:
        Points of shape (2 panels + 1, 2), read-only; the tail face closes it.

    Raises:
        ValueError: as ``digits``.
    """
    said = digits(code)
    s = np.sqrt((1 - np.cos(np.linspace(0, math.pi, panels + 1))) / 2)
    upper, lower, _, _ = _curves(said, s)
    outline = np.concatenate([upper.T[::-1], lower.T[1:]])
    outline.setflags(write=False)
    return outline
