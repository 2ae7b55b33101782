"""What is left of a region when a shell of one thickness is taken from its whole outline."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from mouldwright.domain.part.integrals import AreaIntegrals, Array
from mouldwright.domain.part.polygon import edges_of

_STEEP = 0.05
_MOST_BREAKS = 24
_LEAST_COLUMNS = 4
_NOTHING = AreaIntegrals(
    area=0.0, first_x=0.0, first_y=0.0, second_xx=0.0, second_yy=0.0, second_xy=0.0
)


@lru_cache(maxsize=128)
def _gauss(count: int) -> tuple[Array, Array]:
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return (nodes + 1) / 2, weights / 2


def _columns(
    starts: Array, ends: Array, shell_mm: float, between: tuple[float, float], count: int
) -> tuple[Array, Array]:
    """Return where to cut columns, shape (n, 1), and how wide each is.

    Beside a steep edge the core's height leaps, so the quadrature is broken there.
    """
    left, right = between
    run, rise = np.abs(ends - starts).T
    steep = run < _STEEP * rise
    at = np.concatenate([starts[steep, 0], ends[steep, 0]])
    leaps = np.unique(np.concatenate([at - shell_mm, at + shell_mm]))
    leaps = leaps[(leaps > left) & (leaps < right)]
    if len(leaps) > _MOST_BREAKS:
        leaps = leaps[:0]
    knots = np.concatenate([[left], leaps, [right]])
    spans = np.diff(knots)
    each = [_gauss(max(_LEAST_COLUMNS, math.ceil(count * s / (right - left)))) for s in spans]
    x = [k + s * nodes for k, s, (nodes, _) in zip(knots, spans, each, strict=False)]
    widths = [s * weights for s, (_, weights) in zip(spans, each, strict=True)]
    return np.concatenate(x)[:, None], np.concatenate(widths)


def core_integrals(loops: Sequence[Array], shell_mm: float, columns: int = 64) -> AreaIntegrals:
    """Return the integrals of the points further than the shell from every edge.

    The region is cut into columns. In each, the points nearer to an edge than the shell is
    thick form one interval per edge; what no interval covers is either wholly core or
    wholly outside. Exact along a column; Gauss quadrature across columns.

    Args:
        loops: Outer loop first, then holes, each of shape (n, 2) in mm.
        shell_mm: Thickness of the shell; holes have one too.
        columns: Columns to cut.
    """
    starts, ends = edges_of(loops)
    left, right = float(loops[0][:, 0].min()) + shell_mm, float(loops[0][:, 0].max()) - shell_mm
    if right <= left:
        return _NOTHING
    x, widths = _columns(starts, ends, shell_mm, (left, right), columns)
    (x0, y0), (x1, y1) = starts.T, ends.T
    dx, dy = x1 - x0, y1 - y0
    length = np.hypot(dx, dy)
    upright = dx == 0
    run = np.where(upright, 1.0, dx)
    # The normal's x part for the side that faces up.
    lean = -dy / length * np.where(dx < 0, -1.0, 1.0)
    reach = []
    for side in (1.0, -1.0):
        touch = (x - side * shell_mm * lean - x0) / run
        touch = np.where(upright, 0.5 + side * np.where(dy > 0, 0.5, -0.5), touch)
        touch = np.clip(touch, 0.0, 1.0)
        gap = shell_mm**2 - (x - x0 - touch * dx) ** 2
        height = y0 + touch * dy + side * np.sqrt(np.maximum(gap, 0.0))
        reach.append((height, gap >= 0))
    (top, above), (bottom, under) = reach
    near = above | under
    bottom = np.where(near, bottom, np.inf)
    order = np.argsort(bottom, axis=1)
    bottom = np.take_along_axis(bottom, order, axis=1)
    top = np.maximum.accumulate(
        np.take_along_axis(np.where(near, top, -np.inf), order, axis=1), axis=1
    )
    free = (bottom[:, 1:] > top[:, :-1]) & np.isfinite(bottom[:, 1:])
    column, place = np.nonzero(free)
    if not len(column):
        return _NOTHING
    low, high = top[column, place], bottom[column, place + 1]
    at = x[column]
    spans = (x0 <= at) != (x1 <= at)
    below = y0 + (at - x0) * dy / run < ((low + high) / 2)[:, None]
    within = np.count_nonzero(spans & below, axis=1) % 2 == 1
    low, high, at, wide = low[within], high[within], at[within, 0], widths[column[within]]
    tall, mean = high - low, (low + high) / 2
    cells = wide * tall
    return AreaIntegrals(
        area=float(cells.sum()),
        first_x=float((cells * at).sum()),
        first_y=float((cells * mean).sum()),
        second_xx=float((cells * at * at).sum()),
        second_yy=float((cells * (mean * mean + tall * tall / 12)).sum()),
        second_xy=float((cells * at * mean).sum()),
    )
