"""How a part bends: beams of any taper, held four ways, with shear flexibility.

Timoshenko's beam in the small-deflection limit. Sagging moments are positive, loads and
deflections point the same way. The span is cut into panels; in each, integrals are taken
by Gauss quadrature, which is exact for the polynomials of a uniform beam.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from mouldwright.domain.part.integrals import Array
from mouldwright.domain.part.requirement import LoadShape, Support

PANELS = 64
# Deflections over this share of the span strain the small-deflection theory: for an
# end-loaded cantilever it errs by 0.7 % at 0.083 and 2.8 % at 0.16 (Bisshopp and Drucker,
# "Large deflection of cantilever beams", 1945; from memory, re-derived from the elastica).
LARGE_DEFLECTION_SHARE = 0.1
_GAUSS_X, _GAUSS_W = np.polynomial.legendre.leggauss(4)
_NODES = (_GAUSS_X + 1) / 2
_WEIGHTS = _GAUSS_W / 2
# Shares of the span at which stiffness must be known: (PANELS, 4).
STATIONS: Array = (np.arange(PANELS)[:, None] + _NODES[None, :]) / PANELS


@dataclass(frozen=True, slots=True, kw_only=True)
class Bending:
    """The answer of a beam.

    Attributes:
        deflection_mm: The greatest along the span.
        x_mm: Places along the span, shape (PANELS + 1,).
        curve_mm: Deflection there.
        moment_n_mm: Bending moment there, sagging above zero.
        root_moment_n_mm: Moment at x = 0, its size.
        greatest_moment_n_mm: The greatest size of moment along the span.
    """

    deflection_mm: float
    x_mm: Array
    curve_mm: Array
    moment_n_mm: Array
    root_moment_n_mm: float
    greatest_moment_n_mm: float


def bend(
    *,
    span_mm: float,
    bending_n_mm2: Array,
    shear_n: Array,
    support: Support,
    load: LoadShape,
    force_n: float,
    mount_n_mm_per_rad: float | None = None,
) -> Bending:
    """Return how a beam bends under a load.

    Args:
        span_mm: Length.
        bending_n_mm2: EI at ``STATIONS``, shape (PANELS, 4).
        shear_n: Shear area times shear modulus there; infinite leaves shear out.
        support: How it is held; "elastic mounts" have the stiffness given, at both ends.
        load: Where the force acts; "triangular" is greatest at the root, x = 0.
        force_n: Total force.
        mount_n_mm_per_rad: Rotational stiffness of each mount.

    Raises:
        ValueError: if the load does not go with the support, or a mount has no stiffness.
    """
    x = STATIONS * span_mm
    knots = np.linspace(0.0, span_mm, PANELS + 1)
    if support == "cantilever":
        moment_at, shear_at = _cantilever(span_mm, load, force_n)
        moment, shear = moment_at(x), shear_at(x)
        end_moments = np.zeros(2)
    else:
        moment_at, shear_at = _simple(span_mm, load, force_n)
        spring = _spring(support, mount_n_mm_per_rad)
        moment, shear = moment_at(x), shear_at(x)
        end_moments = _held(span_mm, bending_n_mm2, shear_n, moment, shear, spring)
        moment = moment - end_moments[0] * (1 - x / span_mm) - end_moments[1] * x / span_mm
        shear = shear + (end_moments[0] - end_moments[1]) / span_mm
    step = span_mm / PANELS
    curvature = -moment / bending_n_mm2
    slope = np.concatenate([[0.0], np.cumsum((curvature @ _WEIGHTS) * step)])
    reach = knots[1:, None] - x
    rise = slope[:-1] * step + ((curvature * reach + shear / shear_n) @ _WEIGHTS) * step
    curve = np.concatenate([[0.0], np.cumsum(rise)])
    if support != "cantilever":
        # The slope at x = 0 follows from no deflection at the far support.
        curve = curve - curve[-1] * knots / span_mm
    at_knots = moment_at(knots) - end_moments[0] * (1 - knots / span_mm)
    at_knots = at_knots - end_moments[1] * knots / span_mm
    return Bending(
        deflection_mm=_greatest(curve),
        x_mm=knots,
        curve_mm=curve,
        moment_n_mm=at_knots,
        root_moment_n_mm=abs(float(at_knots[0])),
        greatest_moment_n_mm=float(np.abs(at_knots).max()),
    )


_Along = Callable[[Array], Array]


def _cantilever(span: float, load: LoadShape, force: float) -> tuple[_Along, _Along]:
    """Return moment and shear of a beam clamped at x = 0 and free at the other end."""
    half = span / 2
    if load == "end":
        return (lambda x: -force * (span - x)), (lambda x: force * np.ones_like(x))
    if load == "centre":
        return (
            (lambda x: -force * np.maximum(half - x, 0.0)),
            (lambda x: np.where(x < half, force, 0.0)),
        )
    if load == "uniform":
        each = force / span
        return (lambda x: -each * (span - x) ** 2 / 2), (lambda x: each * (span - x))
    # Intensity 2W/L at the root, falling to nothing at the tip.
    root = 2 * force / span
    return (
        (lambda x: -root * (span - x) ** 3 / (6 * span)),
        (lambda x: root * (span - x) ** 2 / (2 * span)),
    )


def _simple(span: float, load: LoadShape, force: float) -> tuple[_Along, _Along]:
    """Return moment and shear of a beam on two simple supports."""
    half = span / 2
    if load == "end":
        raise ValueError(
            'an "end" load on two supports bends nothing: write "centre", "uniform" or "triangular"'
        )
    if load == "centre":
        return (
            (lambda x: force / 2 * np.minimum(x, span - x)),
            (lambda x: np.where(x < half, force / 2, -force / 2)),
        )
    if load == "uniform":
        each = force / span
        return (lambda x: each * x * (span - x) / 2), (lambda x: each * (half - x))
    # Intensity q(x) = 2W/L (1 - x/L); reactions 2W/3 at x = 0 and W/3 at the other end.
    root = 2 * force / span
    return (
        (lambda x: 2 * force / 3 * x - root * x**2 / 2 + root * x**3 / (6 * span)),
        (lambda x: 2 * force / 3 - root * x + root * x**2 / (2 * span)),
    )


def _spring(support: Support, mount: float | None) -> float:
    if support == "simply supported":
        return 0.0
    if support == "both ends fixed":
        return math.inf
    if mount is None or mount < 0:
        raise ValueError('elastic mounts need a stiffness of 0 or more: give "mount_n_mm_per_rad"')
    return mount


def _held(
    span: float, bending: Array, shear_stiffness: Array, moment: Array, shear: Array, spring: float
) -> Array:
    """Return the end moments that hold the ends of a simple beam back (force method).

    Raises nothing; a spring of 0 gives none, an infinite one lets the ends not turn.
    """
    if spring == 0:
        return np.zeros(2)
    share = STATIONS
    unit = (1 - share, share)
    slope = (-1 / span, 1 / span)
    step = span / PANELS

    def whole(values: Array) -> float:
        return float((values @ _WEIGHTS).sum() * step)

    flexibility = np.array(
        [
            [
                whole(unit[i] * unit[j] / bending + slope[i] * slope[j] / shear_stiffness)
                for j in (0, 1)
            ]
            for i in (0, 1)
        ]
    )
    turned = np.array(
        [whole(unit[i] * moment / bending + slope[i] * shear / shear_stiffness) for i in (0, 1)]
    )
    if math.isfinite(spring):
        flexibility += np.eye(2) / spring
    held: Array = np.linalg.solve(flexibility, turned)
    return held


def _greatest(curve: Array) -> float:
    """Return the greatest size of deflection, between knots by the parabola through three."""
    size = np.abs(curve)
    at = int(size.argmax())
    if at in (0, len(size) - 1):
        return float(size[at])
    left, middle, right = size[at - 1 : at + 2]
    bow = left - 2 * middle + right
    if bow == 0:
        return float(middle)
    return float(middle - (right - left) ** 2 / (8 * bow))
