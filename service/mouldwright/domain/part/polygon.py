"""Polygons with holes: whether they are sound, what is inside, and how far from the edge."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from mouldwright.domain.part.integrals import AreaIntegrals, Array, loop_integrals
from mouldwright.domain.part.shape import Loop

Edges = tuple[Array, Array]


def sound_loop(points: Loop, what: str = "the outline") -> Array:
    """Return the corner points of a loop, repeated ones dropped, once it is known to be sound.

    Args:
        points: Corner points; a last one equal to the first is dropped.
        what: What the loop is called in a message.

    Raises:
        ValueError: if it has fewer than three corners, no area, or crosses itself.
    """
    loop = np.array(points, dtype=np.float64).reshape(-1, 2)
    if not np.isfinite(loop).all():
        raise ValueError(f"{what} holds a coordinate that is not a number")
    if len(loop):
        size = float(np.ptp(loop, axis=0).max())
        moved = np.abs(loop - np.roll(loop, 1, axis=0)).max(axis=1)
        loop = loop[moved > 1e-12 * size]
    if len(loop) < 3:
        raise ValueError(f"{what} needs at least three different corners, it has {len(loop)}")
    away = loop - loop[0]
    furthest = away[np.hypot(*away.T).argmax()]
    if np.abs(away[:, 0] * furthest[1] - away[:, 1] * furthest[0]).max() <= 1e-12 * size**2:
        raise ValueError(f"{what} encloses no area: its corners lie on one line")
    crossing = first_crossing(loop)
    if crossing is not None:
        a, b = crossing
        raise ValueError(
            f"{what} crosses itself: the edge from corner {a + 1} meets the edge from corner "
            f"{b + 1}; list the corners in order round the outline"
        )
    return loop


def edges_of(loops: Sequence[Array]) -> Edges:
    """Return start and end points of every edge of every loop, each of shape (n, 2)."""
    starts = np.concatenate(loops)
    ends = np.concatenate([np.roll(loop, -1, axis=0) for loop in loops])
    return starts, ends


def _side(a: Array, b: Array, c: Array) -> Array:
    """Return twice the signed area of each triangle (a, b, c)."""
    first = (b[..., 0] - a[..., 0]) * (c[..., 1] - a[..., 1])
    second = (b[..., 1] - a[..., 1]) * (c[..., 0] - a[..., 0])
    sides: Array = first - second
    return sides


def _meetings(
    one: Edges, other: Edges, tolerance: float
) -> np.ndarray[tuple[int, int], np.dtype[np.bool_]]:
    """Return which edges of one meet which of the other, touching included."""
    p, q = one[0][:, None, :], one[1][:, None, :]
    r, s = other[0][None, :, :], other[1][None, :, :]
    d1, d2 = _side(p, q, r), _side(p, q, s)
    d3, d4 = _side(r, s, p), _side(r, s, q)
    apart = ((d1 > tolerance) & (d2 > tolerance)) | ((d1 < -tolerance) & (d2 < -tolerance))
    apart |= ((d3 > tolerance) & (d4 > tolerance)) | ((d3 < -tolerance) & (d4 < -tolerance))
    for axis in (0, 1):
        low_one, high_one = np.minimum(p, q)[..., axis], np.maximum(p, q)[..., axis]
        low_other, high_other = np.minimum(r, s)[..., axis], np.maximum(r, s)[..., axis]
        apart |= (high_one < low_other) | (high_other < low_one)
    return ~apart


def first_crossing(loop: Array) -> tuple[int, int] | None:
    """Return the first two edges of a loop that meet without being neighbours, else None.

    Neighbours that fold back on each other count as meeting.
    """
    count = len(loop)
    edges = edges_of([loop])
    size = float(np.ptp(loop, axis=0).max())
    meet = _meetings(edges, edges, 1e-15 * size**2)
    index = np.arange(count)
    for step in (0, 1, -1):
        meet[index, (index + step) % count] = False
    found = np.argwhere(np.triu(meet))
    if len(found):
        return int(found[0, 0]), int(found[0, 1])
    along = edges[1] - edges[0]
    following = np.roll(along, -1, axis=0)
    cross = along[:, 0] * following[:, 1] - along[:, 1] * following[:, 0]
    lengths = np.hypot(*along.T) * np.hypot(*following.T)
    folded = (np.abs(cross) <= 1e-12 * lengths) & ((along * following).sum(axis=1) < 0)
    back = np.flatnonzero(folded)
    return (int(back[0]), int((back[0] + 1) % count)) if len(back) else None


def sound_region(points: Loop, holes: Sequence[Loop]) -> tuple[Array, ...]:
    """Return outer loop and holes, once they are known to be sound together.

    Raises:
        ValueError: if a loop is not sound, a hole reaches outside, or two holes meet.
    """
    outer = sound_loop(points)
    inner = [sound_loop(hole, f"hole {n}") for n, hole in enumerate(holes, start=1)]
    tolerance = 1e-15 * float(np.ptp(outer, axis=0).max()) ** 2
    for number, hole in enumerate(inner, start=1):
        edges = edges_of([hole])
        outside = not inside(edges_of([outer]), hole[:1])[0]
        if outside or _meetings(edges, edges_of([outer]), tolerance).any():
            raise ValueError(f"hole {number} reaches the outline: a hole lies wholly inside")
        for other_number, other in enumerate(inner[: number - 1], start=1):
            nested = inside(edges_of([other]), hole[:1])[0] or inside(edges, other[:1])[0]
            if nested or _meetings(edges, edges_of([other]), tolerance).any():
                raise ValueError(f"holes {other_number} and {number} meet: draw them as one")
    return (outer, *inner)


def region_integrals(loops: Sequence[Array]) -> AreaIntegrals:
    """Return the integrals of an outer loop less its holes."""
    found = loop_integrals(loops[0])
    for hole in loops[1:]:
        found = found.less(loop_integrals(hole))
    return found


def inside(edges: Edges, points: Array) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Return which points lie inside, holes being outside (even-odd rule).

    Args:
        edges: Of every loop.
        points: Shape (n, 2).
    """
    (x0, y0), (x1, y1) = edges[0].T, edges[1].T
    px, py = points[:, :1], points[:, 1:]
    spans = (x0 <= px) != (x1 <= px)
    run = np.where(x1 == x0, 1.0, x1 - x0)
    below = y0 + (px - x0) * (y1 - y0) / run < py
    odd = np.count_nonzero(spans & below, axis=1) % 2 == 1
    return np.asarray(odd, dtype=np.bool_)


def distance(edges: Edges, points: Array) -> Array:
    """Return each point's distance to the nearest edge.

    Args:
        edges: Of every loop.
        points: Shape (n, 2).
    """
    start, along = edges[0], edges[1] - edges[0]
    away = points[:, None, :] - start[None]
    share = np.clip((away * along).sum(axis=2) / (along * along).sum(axis=1), 0.0, 1.0)
    apart = away - share[..., None] * along
    nearest: Array = np.sqrt((apart * apart).sum(axis=2).min(axis=1))
    return nearest


def thickest(loops: Sequence[Array], rounds: int = 9, grid: int = 24) -> float:
    """Return the diameter of the largest circle that fits into a region.

    A grid of points, refined about the best of them until the step is below 1e-6 of the
    region's size.
    """
    edges = edges_of(loops)
    low, high = loops[0].min(axis=0), loops[0].max(axis=0)
    middle, half = (low + high) / 2, (high - low) / 2
    best = 0.0
    for _ in range(rounds):
        steps = np.linspace(-1, 1, grid)
        x, y = np.meshgrid(middle[0] + half[0] * steps, middle[1] + half[1] * steps)
        points = np.column_stack([x.ravel(), y.ravel()])
        room = np.where(inside(edges, points), distance(edges, points), 0.0)
        at = int(room.argmax())
        if room[at] > best:
            best, middle = float(room[at]), points[at]
        half = half / 4
    return 2 * best


def thickest_across(loop: Array, columns: int = 128) -> float:
    """Return the greatest thickness along y of one loop, from columns across it."""
    left, right = float(loop[:, 0].min()), float(loop[:, 0].max())
    x = left + (right - left) * ((np.arange(columns) + 0.5) / columns)[:, None]
    (x0, y0), (x1, y1) = edges_of([loop])[0].T, edges_of([loop])[1].T
    run = x1 - x0
    height = y0 + (x - x0) * (y1 - y0) / np.where(run == 0, 1.0, run)
    # Upper edges run one way, lower ones the other, whichever way round the loop is listed.
    across = np.where((x0 <= x) != (x1 <= x), height * np.sign(run), 0.0).sum(axis=1)
    return float(np.abs(across).max())
