"""Airfoil coordinates as files hold them, in either common ordering, turned into one loop."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from mouldwright.domain.part.polygon import sound_loop
from mouldwright.domain.part.shape import Loop, Point

_CHORD_SLACK = 0.05
# From the end of one block to the start of the next x falls by nearly the whole chord.
_LEAP = 0.9


def loop_from_columns(rows: Sequence[Sequence[float]]) -> Loop:
    """Return one loop from a file's two columns, in shares of the chord.

    Two orderings are common: one run from the tail over the top to the nose and back below,
    or two blocks, each from nose to tail, with or without a first row that counts them. Which
    side comes first does not matter.

    Args:
        rows: x and y of each row of numbers, in the order of the file.

    Returns:
        Points from the trailing edge over the top to the trailing edge again.

    Raises:
        ValueError: if a row has not two numbers, the counts do not fit, x does not run from
            about 0 to about 1, or the outline crosses itself.
    """
    for number, row in enumerate(rows, start=1):
        if len(row) != 2:
            raise ValueError(f"row {number} has {len(row)} numbers; two are wanted, x and y")
    points: list[Point] = [(float(x), float(y)) for x, y in rows]
    if len(points) < 4:
        raise ValueError(f"an airfoil needs at least 4 points, there are {len(points)}")
    blocks = _counted(points) or _two_blocks(points)
    if blocks:
        first, second = blocks
        points = [*reversed(first), *(second[1:] if second[0] == first[0] else second)]
    _check_chord(points)
    sound_loop(tuple(points))
    if _signed_area(points) < 0:
        points.reverse()
    return tuple(points)


def _counted(points: list[Point]) -> tuple[list[Point], list[Point]] | None:
    upper, lower = points[0]
    if upper < 1.5 or lower < 1.5:
        return None
    rest = points[1:]
    if upper != int(upper) or lower != int(lower) or int(upper) + int(lower) != len(rest):
        raise ValueError(
            f"the first row counts {upper:g} and {lower:g} points but {len(rest)} follow"
        )
    return rest[: int(upper)], rest[int(upper) :]


def _two_blocks(points: list[Point]) -> tuple[list[Point], list[Point]] | None:
    """Return the blocks where the run starts at the nose, split at the leap back to it."""
    xs = [x for x, _ in points]
    if xs[0] > (min(xs) + max(xs)) / 2:
        return None
    leaps = [b - a for a, b in itertools.pairwise(xs)]
    at = min(range(len(leaps)), key=leaps.__getitem__) + 1
    if leaps[at - 1] > -_LEAP * (max(xs) - min(xs)):
        raise ValueError(
            "the points start at the nose but do not come in two blocks from nose to tail; "
            "list them from the tail over the top to the nose and back below"
        )
    return points[:at], points[at:]


def _check_chord(points: list[Point]) -> None:
    low, high = min(x for x, _ in points), max(x for x, _ in points)
    if abs(low) > _CHORD_SLACK or abs(high - 1) > _CHORD_SLACK:
        raise ValueError(
            f"x runs from {low:g} to {high:g}; give shares of the chord, 0 at the nose and 1 "
            f"at the tail"
        )


def _signed_area(points: list[Point]) -> float:
    following = [*points[1:], points[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, following, strict=True)) / 2
