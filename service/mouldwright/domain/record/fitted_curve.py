"""A unit-theory learning curve laid through logged times: run by run, with how sure it is.

log2 of a time goes down a straight line over log2 of its place within its order. One slope is
fitted through all runs, each with a level of its own (least squares about each run's own means),
so that a slow week or another pair of hands is not taken for forgetting; a run is what the same
hands did of one order. With N times of G runs the slope's standard error is
s / √Σ(x - x̄ of its run)², s² = Σr² / (N - G - 1), and the interval about it Student's t (analysis
of covariance, any text on statistics). The rate is 2 to the slope.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from mouldwright.domain.special import stdtrit

# Fewer times, or fewer doublings, say nothing that a person should act on; common practice, no
# source.
LEAST_TASKS = 10
LEAST_PLACE = 4
CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedCurve:
    """How an operation's time falls with repetition.

    Attributes:
        tasks: That it is laid through.
        rate: Time of the second as a share of the first's, and at every doubling; None where
            it is refused.
        least: With 95 % confidence the rate lies from here; None with it
        most: to here.
        first: Of a first one by the line, as a share of the standard of a first one.
        refused: Why there is none, with what is lacking; empty where there is one.
    """

    tasks: int
    rate: float | None = None
    least: float | None = None
    most: float | None = None
    first: float | None = None
    refused: str = ""

    @property
    def is_sure(self) -> bool:
        """Return whether times fall at all: the interval lies below 1."""
        return self.most is not None and self.most < 1


def fitted_curve(times: Sequence[tuple[str, int, float]]) -> FittedCurve:
    """Return the curve through times.

    Args:
        times: For each task its run, its place within that order from 1, and its minutes as
            a share of the standard of a first one, above 0.
    """
    by_run: dict[str, list[tuple[float, float]]] = {}
    for run, place, share in times:
        by_run.setdefault(run, []).append((math.log2(place), math.log2(share)))
    count = len(times)
    if count < LEAST_TASKS:
        return FittedCurve(
            tasks=count, refused=f"Too few: {count} of the {LEAST_TASKS} times a curve wants."
        )
    if max(place for _, place, _ in times) < LEAST_PLACE:
        return FittedCurve(
            tasks=count,
            refused=f"No order went as far as its {LEAST_PLACE}th: nothing was repeated enough.",
        )
    off = []
    for points in by_run.values():
        x_mean = sum(x for x, _ in points) / len(points)
        y_mean = sum(y for _, y in points) / len(points)
        off += [(x - x_mean, y - y_mean) for x, y in points]
    whole = sum(x * x for x, _ in off)
    freedom = count - len(by_run) - 1
    if whole == 0 or freedom < 1:
        return FittedCurve(
            tasks=count, refused="The times are of too many orders, with too few of each."
        )
    slope = sum(x * y for x, y in off) / whole
    error = math.sqrt(sum((y - slope * x) ** 2 for x, y in off) / freedom / whole)
    away = float(stdtrit(freedom, (1 + CONFIDENCE) / 2)) * error
    every = [point for points in by_run.values() for point in points]
    level = sum(y - slope * x for x, y in every) / count
    return FittedCurve(
        tasks=count,
        rate=2**slope,
        least=2 ** (slope - away),
        most=2 ** (slope + away),
        first=2**level,
    )
